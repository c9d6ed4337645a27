package wire

import (
	"bytes"
	"encoding/hex"
	"math/big"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"
)

// fuzzFormats are the formats of all vectors, so that the fuzzers try every setting used there.
func fuzzFormats(f testing.TB, families ...string) (formats []Format, seeds []vector, which []int) {
	byText := map[string]int{}
	for _, v := range vectors(f) {
		ft := v.format(f)
		if len(families) > 0 && !slices.Contains(families, ft.Family) {
			continue
		}
		text, err := ft.MarshalJSON()
		if err != nil {
			f.Fatal(err)
		}
		at, ok := byText[string(text)]
		if !ok {
			at = len(formats)
			byText[string(text)] = at
			formats = append(formats, ft)
		}
		seeds, which = append(seeds, v), append(which, at)
	}
	if len(formats) == 0 || len(formats) > 256 {
		f.Fatalf("%d formats to fuzz with", len(formats))
	}
	return formats, seeds, which
}

func fuzzFamily(f *testing.F, families ...string) {
	formats, seeds, which := fuzzFormats(f, families...)
	for i, v := range seeds {
		var all []byte
		for _, c := range v.chunks(f) {
			all = append(all, c.Bytes...)
		}
		f.Add(uint8(which[i]), uint64(0), all)
		f.Add(uint8(which[i]), uint64(i)*0x9E3779B97F4A7C15, all)
	}
	f.Fuzz(func(t *testing.T, which uint8, gaps uint64, data []byte) {
		checkDecoding(t, formats[int(which)%len(formats)], pieces(gaps, data), data)
	})
}

// pieces cuts data into chunks with times, both from the bits of gaps.
func pieces(gaps uint64, data []byte) []Chunk {
	at := 500 * time.Millisecond
	if gaps&1 != 0 {
		at = 20 * time.Millisecond
	}
	var out []Chunk
	for len(data) > 0 {
		n := len(data)
		if gaps != 0 {
			n = min(n, int(gaps>>1&15)+1)
		}
		out = append(out, Chunk{At: at, Bytes: data[:n]})
		data = data[n:]
		at += []time.Duration{0, 4, 33, 70, 140, 310, 1000, 2}[gaps>>5&7] * time.Millisecond
		gaps = gaps>>7 | gaps<<57
	}
	return out
}

// checkDecoding holds the promise of the package: an error, or a value whose digits all stand in the
// frame, in a frame that stands in the input.
func checkDecoding(t *testing.T, f Format, chunks []Chunk, data []byte) {
	t.Helper()
	events, err := Replay(f, chunks)
	if err != nil {
		t.Fatal(err)
	}
	for _, e := range events {
		if (e.Sample == nil) == (e.Err == nil) {
			t.Fatalf("an event with both or neither: %+v", e)
		}
		if e.Err != nil {
			if e.Err.Code == "" || e.Err.Fault.Fault == "" {
				t.Fatalf("an error without reason: %+v", e.Err)
			}
			continue
		}
		s := e.Sample
		if len(s.Raw) == 0 || !bytes.Contains(data, s.Raw) {
			t.Fatalf("frame %q is not in the input %q", s.Raw, data)
		}
		for _, flag := range s.Flags {
			if flag != FlagLowBattery && s.Accept == Auto {
				t.Fatalf("counts by itself with flag %s", flag)
			}
		}
		if f.Family == BCD {
			bcdStandsIn(t, f, s)
		} else if why := standsIn(f, s); why != "" {
			t.Fatalf("value %s of frame %q: %s (format %+v)", s.Value, s.Raw, why, f)
		}
		sameAgain(t, f, s)
	}
}

var numberText = regexp.MustCompile(`([+-]?)[ \t]*([0-9]*)(?:([.,])([0-9]*))?(?:[eE]([+-]?[0-9]+))?[ \t]*([+-]?)`)

// standsIn reads the frame a second time, in another way than the decoder does: some stretch of the
// frame that no digit, mark or sign touches must be exactly the value, at its resolution.
func standsIn(f Format, s *Sample) string {
	raw := string(s.Raw)
	if f.Checksum != "none" {
		raw = raw[:strings.LastIndexByte(raw, '*')]
	}
	implied := 0
	if f.Layout != "" { // the columns say where the number stands
		l, err := parseLayout(f.Layout)
		if err != nil {
			return err.Error()
		}
		sign, number := "", ""
		at := 0
		for _, c := range l.columns {
			switch c.kind {
			case signColumn:
				sign = raw[at : at+1]
			case numberColumn:
				number, implied = raw[at:at+c.width], max(0, c.frac)
			}
			at += c.width
		}
		raw = sign + number
	} else {
		raw = strings.TrimPrefix(strings.TrimLeft(raw, " \t"), f.Prefix)
		if s.Channel != "" {
			_, raw, _ = strings.Cut(raw, s.Channel)
		}
		if _, until, ok := strings.Cut(f.Channel, "until:"); ok {
			raw = strings.TrimPrefix(raw, until)
		}
	}
	m := numberText.FindStringSubmatch(raw[strings.IndexAny(raw, "0123456789.,+-"):])
	if m == nil {
		return "no number in the frame"
	}
	whole, frac := m[2], m[4]
	if implied > 0 {
		whole, frac = whole[:len(whole)-implied], whole[len(whole)-implied:]
	}
	v, ok := new(big.Rat).SetString("0" + whole + "." + frac + "0")
	if !ok {
		return "not a number"
	}
	exp := 0
	if m[5] != "" {
		e, _ := new(big.Int).SetString(m[5], 10)
		exp = int(e.Int64())
		ten := new(big.Rat).SetInt(new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(max(exp, -exp))), nil))
		if exp < 0 {
			ten.Inv(ten)
		}
		v.Mul(v, ten)
	}
	if m[1] == "-" || f.Sign == "behind" && m[6] == "-" {
		v.Neg(v)
	}
	got, ok := new(big.Rat).SetString(s.Value)
	if !ok || got.Cmp(v) != 0 {
		return "the frame says " + v.FloatString(20)
	}
	_, decimals, _ := strings.Cut(s.Value, ".")
	if want := max(0, len(frac)-exp); len(decimals) != want {
		return "the resolution is not the one sent"
	}
	return ""
}

// bcdStandsIn checks the digits of a BCD value against the hexadecimal writing of the frame.
func bcdStandsIn(t *testing.T, f Format, s *Sample) {
	t.Helper()
	l, err := parseBCDLayout(f.Layout)
	if err != nil {
		t.Fatal(err)
	}
	var digits []string
	for i, b := range l.bytes {
		if b.role == bcdDigits {
			digits = append(digits, hex.EncodeToString(s.Raw[i:i+1]))
		}
	}
	if l.lowFirst {
		slices.Reverse(digits)
	}
	want := strings.TrimLeft(strings.Join(digits, ""), "0")
	got := strings.TrimLeft(strings.NewReplacer("-", "", ".", "").Replace(s.Value), "0")
	if got != want {
		t.Fatalf("value %s of frame %x", s.Value, s.Raw)
	}
}

// sameAgain decodes the frame of a sample alone: it must give the same sample again.
func sameAgain(t *testing.T, f Format, s *Sample) {
	t.Helper()
	if f.Family == Stream {
		f.Family = Line // a stream needs more than one frame to settle
	}
	end := ""
	if f.Family == Fixed {
		l, err := parseLayout(f.Layout)
		if err != nil {
			t.Fatal(err)
		}
		end = l.end
	} else if f.Family != BCD {
		f.PollMS = 9500 // so that a question is open
		end = map[string]string{"any": "\r", "cr": "\r", "lf": "\n", "crlf": "\r\n", "tab": "\t"}[f.Terminator]
	}
	events, err := Replay(f, []Chunk{{At: 10 * time.Second, Bytes: append(slices.Clone(s.Raw), end...)}})
	if err != nil {
		t.Fatal(err)
	}
	if f.Family == Query && len(events) == 2 {
		events = events[1:] // the timeout of the first question
	}
	if len(events) != 1 || events[0].Sample == nil {
		t.Fatalf("frame %q alone gives %v", s.Raw, shown(events))
	}
	if a := events[0].Sample; a.Value != s.Value || a.Unit != s.Unit || a.Channel != s.Channel || !bytes.Equal(a.Raw, s.Raw) {
		t.Fatalf("frame %q alone gives %+v, in its stream %+v", s.Raw, a, s)
	}
}

func FuzzDecode(f *testing.F)   { fuzzFamily(f) }
func FuzzLine(f *testing.F)     { fuzzFamily(f, Line) }
func FuzzFixed(f *testing.F)    { fuzzFamily(f, Fixed) }
func FuzzQuery(f *testing.F)    { fuzzFamily(f, Query) }
func FuzzStream(f *testing.F)   { fuzzFamily(f, Stream) }
func FuzzBCD(f *testing.F)      { fuzzFamily(f, BCD) }
func FuzzKeyboard(f *testing.F) { fuzzFamily(f, Keyboard) }

// A format is refused with a named setting, or can be used and written and read again unchanged.
func FuzzParseFormat(f *testing.F) {
	for _, v := range vectors(f) {
		f.Add([]byte(v.Input.Format))
	}
	for _, nf := range NamedFormats() {
		b, err := nf.MarshalJSON()
		if err != nil {
			f.Fatal(err)
		}
		f.Add(b)
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		ft, err := ParseFormat(b)
		if err != nil {
			if fe, ok := err.(*FieldError); !ok || fe.Field == "" || fe.Problem == "" {
				t.Fatalf("%q: refused without naming the setting: %v", b, err)
			}
			return
		}
		if _, err := NewDecoder(ft); err != nil {
			t.Fatalf("%q: read, but no decoder: %v", b, err)
		}
		out, err := ft.MarshalJSON()
		if err != nil {
			t.Fatal(err)
		}
		again, err := ParseFormat(out)
		if err != nil {
			t.Fatalf("%s: written, but not read: %v", out, err)
		}
		out2, err := again.MarshalJSON()
		if err != nil || !bytes.Equal(out, out2) {
			t.Fatalf("written %s, then %s (%v)", out, out2, err)
		}
	})
}

// Learning never panics, and what it learns decodes what it was learned from.
func FuzzInfer(f *testing.F) {
	for _, v := range vectors(f) {
		if s := v.want(f); len(s) > 0 && v.format(f).Family == Line {
			f.Add("12.345", v.chunks(f)[0].Bytes, "-0.120", []byte("-0.120 mm\r\n"))
		}
	}
	f.Add("12.34", []byte("D+001234mm\r\n"), "-0.05", []byte("D-000005mm\r\n"))
	f.Add("1 mm", []byte("A1.E+00 M*52\r\n"), "2 mm", []byte("A2.E+00 M*53\r\n"))
	f.Fuzz(func(t *testing.T, shown1 string, sent1 []byte, shown2 string, sent2 []byte) {
		cands, err := Infer(DefaultFormat(Line), []Observation{{shown1, sent1}, {shown2, sent2}})
		if (err == nil) != (len(cands) > 0) {
			t.Fatalf("%d candidates, error %v", len(cands), err)
		}
		for _, c := range cands {
			if err := c.Format.Validate(); err != nil {
				t.Fatalf("learned an unusable format: %v", err)
			}
		}
	})
}
