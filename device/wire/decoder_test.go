package wire

import (
	"bytes"
	"slices"
	"strings"
	"testing"
	"time"
)

func parseFormat(t testing.TB, s string) Format {
	t.Helper()
	f, err := ParseFormat([]byte(s))
	if err != nil {
		t.Fatal(err)
	}
	return f
}

func newDecoder(t testing.TB, s string) *Decoder {
	t.Helper()
	d, err := NewDecoder(parseFormat(t, s))
	if err != nil {
		t.Fatal(err)
	}
	return d
}

const mm = time.Millisecond

// wantTick checks when silence would mean something next; negative = never.
func wantTick(t *testing.T, d *Decoder, want time.Duration) {
	t.Helper()
	if at, ok := d.NextTick(); ok != (want >= 0) || ok && at != want {
		t.Errorf("NextTick %v %v, want %v", at, ok, want)
	}
}

func wantEvents(t *testing.T, events []Event, want ...string) {
	t.Helper()
	var got []string
	for _, e := range events {
		if e.Err != nil {
			got = append(got, e.Err.Code)
		} else {
			got = append(got, strings.TrimSpace(e.Sample.Value+" "+e.Sample.Unit+" "+string(e.Sample.Accept)+" "+strings.Join(e.Sample.Flags, " ")))
		}
	}
	if !slices.Equal(got, want) {
		t.Errorf("got %q, want %q", got, want)
	}
}

func TestNextTick(t *testing.T) {
	d := newDecoder(t, `{"family": "line", "unit": "fixed:mm"}`)
	wantTick(t, d, -1)
	wantEvents(t, d.Feed(20*mm, []byte("2.3")))
	wantTick(t, d, 170*mm)
	wantEvents(t, d.Tick(169*mm))
	wantEvents(t, d.Tick(170*mm), "partial_at_open")
	wantTick(t, d, -1)
	wantEvents(t, d.Feed(500*mm, []byte("12.3")))
	wantTick(t, d, 800*mm)
	wantEvents(t, d.Feed(700*mm, []byte("4")))
	wantTick(t, d, 1000*mm)
	wantEvents(t, d.Tick(999*mm))
	wantEvents(t, d.Tick(5000*mm), "partial_frame")
	wantTick(t, d, -1)
	// The error stands at the moment at which the silence was long enough, not when somebody looked.
	d.Feed(6000*mm, []byte("1"))
	if ev := d.Tick(9000 * mm); len(ev) != 1 || ev[0].At != 6300*mm {
		t.Errorf("got %+v, want the error at 6.3 s", ev)
	}
	// A clock that steps back is taken as standing still.
	wantEvents(t, d.Feed(100*mm, []byte("12.34\r")), "12.34 mm auto")
	wantEvents(t, d.Tick(0))
}

func TestQueryAndAnswer(t *testing.T) {
	d := newDecoder(t, `{"family": "query", "query_hex": "520d", "unit": "fixed:mm", "timeout_ms": 400}`)
	ask, ev := d.Query(500 * mm)
	if !bytes.Equal(ask, []byte("R\r")) || len(ev) != 0 {
		t.Fatalf("asks %q, events %v", ask, ev)
	}
	wantTick(t, d, 900*mm)
	wantEvents(t, d.Feed(520*mm, []byte("1.5\r")), "1.5 mm auto")
	wantTick(t, d, -1)
	// Asked again while an answer is still arriving: that answer belongs to the older question.
	d.Query(1000 * mm)
	wantEvents(t, d.Feed(1010*mm, []byte("1.")))
	_, ev = d.Query(1020 * mm)
	wantEvents(t, ev, "stale_reply")
	wantEvents(t, d.Feed(1030*mm, []byte("6\r1.7\r")), "1.7 mm auto")
	// Asked again without an answer: the older question is given up.
	d.Query(2000 * mm)
	_, ev = d.Query(2100 * mm)
	wantEvents(t, ev, "timeout")
	wantEvents(t, d.Feed(2110*mm, []byte("1.8\r")), "1.8 mm confirm stale_suspect")
	// Nobody asked.
	wantEvents(t, d.Feed(3000*mm, []byte("1.9\r")), "stale_reply")
	// A broken answer is an answer.
	d.Query(4000 * mm)
	wantEvents(t, d.Feed(4010*mm, []byte("x\r2.0\r")), "bad_number", "stale_reply")
	if ask, ev := newDecoder(t, `{"family": "line"}`).Query(0); ask != nil || ev != nil {
		t.Errorf("a line gauge was asked %q %v", ask, ev)
	}
}

func TestBindUnit(t *testing.T) {
	d := newDecoder(t, `{"family": "line", "unit": "required:mm"}`)
	wantEvents(t, d.Feed(500*mm, []byte("0.5 in\r")), "0.5 in confirm unit_changed")
	wantEvents(t, d.Feed(1500*mm, []byte("0.5 in\r")), "0.5 in confirm unit_changed")
	d.BindUnit("in")
	wantEvents(t, d.Feed(2500*mm, []byte("0.5 in\r")), "0.5 in auto")
	wantEvents(t, d.Feed(3500*mm, []byte("12.7 mm\r")), "12.7 mm confirm unit_changed")
}

func TestSpeedHint(t *testing.T) {
	d := newDecoder(t, `{"family": "line"}`)
	for i := range 4 {
		ev := d.Feed(time.Duration(i+1)*time.Second, []byte("\xff\r"))
		if len(ev) != 1 || ev[0].Err == nil || strings.Contains(ev[0].Err.Detail(), "speed or parity") != (i >= 2) {
			t.Errorf("fault %d: %+v", i+1, ev)
		}
	}
	d.Feed(6*time.Second, []byte("1.5\r"))
	if ev := d.Feed(7*time.Second, []byte("\xff\r")); strings.Contains(ev[0].Err.Detail(), "speed") {
		t.Errorf("a good frame does not end the row of faults: %+v", ev[0].Err)
	}
}

// FeedFunc gives what Feed gives.
func TestFeedFunc(t *testing.T) {
	for _, v := range vectors(t) {
		f := v.format(t)
		one, err := NewDecoder(f)
		if err != nil {
			t.Fatal(err)
		}
		two, _ := NewDecoder(f)
		for _, c := range v.chunks(t) {
			if f.Family == Query {
				one.Query(c.At)
				two.Query(c.At)
			}
			want := full(one.Feed(c.At, c.Bytes))
			var got []string
			two.FeedFunc(c.At, c.Bytes, func(e Event) { got = append(got, full([]Event{e})...) })
			if !slices.Equal(got, want) {
				t.Errorf("%s\n got %q\nwant %q", v.ID, got, want)
			}
		}
	}
}

// Many channels, as line noise in a channel column makes, must not be remembered without end.
func TestChannelsAreBounded(t *testing.T) {
	for _, family := range []string{Line, Stream} {
		d := newDecoder(t, `{"family": "`+family+`", "channel": "chars:2", "unit": "fixed:mm", "stable_n": 1}`)
		for i := range 5000 {
			d.Feed(time.Duration(i+1)*time.Second, []byte{'A' + byte(i/64%64), '0' + byte(i%64), '1', '\r'})
		}
		n := len(d.last)
		if s, ok := d.family.(*streamFrames); ok {
			n = len(s.places)
		}
		if n == 0 || n > maxChannels {
			t.Errorf("%s: %d channels remembered", family, n)
		}
	}
}

// A keyboard that tells that a key is held spoils the burst, whatever the time between.
func TestHeldKey(t *testing.T) {
	d := newDecoder(t, `{"family": "keyboard", "unit": "fixed:mm"}`)
	at := 500 * mm
	for i, c := range []byte("12.333\r12.34\r") {
		at += 2 * mm
		ev := d.Key(at, c, i == 4)
		switch i {
		case 6:
			wantEvents(t, ev, "stuck_key")
		case 12:
			wantEvents(t, ev, "12.34 mm auto")
		default:
			wantEvents(t, ev)
		}
	}
	wantEvents(t, newDecoder(t, `{"family": "line"}`).Key(500*mm, '\r', true))
}
