package session

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/command"
	"springline/session/doubt"
	"springline/session/log"
	"springline/session/show"
)

// repeatBench is a bench on which n ribs have two readings of tip-to-tip each, apart by the given tenths of a
// millimetre in turn, and a rib more with one reading of 3550.
func repeatBench(t *testing.T, n int, apart ...int) (*Bench, *clock) {
	c := newClock()
	b := openTest(t, t.TempDir(), c)
	setUp(t, b, 1)
	for i := range n {
		do(t, b, command.Order{Deed: command.Start{}})
		do(t, b, command.Order{Deed: command.Type{Text: "3550.0"}})
		do(t, b, command.Order{Deed: command.Type{Text: (3550*mm + length.Length(apart[i%len(apart)])*mm/10).String()}})
	}
	do(t, b, command.Order{Deed: command.Start{}})
	do(t, b, command.Order{Deed: command.Type{Text: "3550.0"}})
	return b, c
}

// ISO 5725-6: with differences of 1 and 2 mm in turn the pooled standard deviation is sqrt((1/2 + 4/2)/2) = 1.118 mm,
// and two readings agree within 2.77 times that, 3.10 mm.
func TestRepeatsThatDisagreeAreAskedAbout(t *testing.T) {
	for _, x := range []struct {
		value string
		held  bool
	}{{"3553.0", false}, {"3553.2", true}, {"3547.0", false}, {"3546.8", true}} {
		b, c := repeatBench(t, 10, 10, 20)
		o := send(t, b, "tape", x.value, c.now())
		if (o.Kind == log.Held) != x.held {
			t.Errorf("%s after 3550.0 became %q", x.value, o.Kind)
		}
		if x.held {
			h := b.View().Held[0]
			if !h.Repeat || !strings.Contains(h.Reason, " mm apart; repeats agree within 3.10 mm (2.8 x 1.12 mm by the batch)") ||
				h.Ask != "Measure all again, or take it and write the cause." {
				t.Errorf("asked %+v", h)
			}
		}
	}
	// Nine ribs say too little, and the gauge is not studied: nothing is known.
	b, c := repeatBench(t, 9, 10, 20)
	if o := send(t, b, "tape", "3556.0", c.now()); o.Kind != log.Measured {
		t.Errorf("without a known spread a reading became %q", o.Kind)
	}
	// Typed values go by the same rule.
	b, _ = repeatBench(t, 10, 10, 20)
	if a := do(t, b, command.Order{Deed: command.Type{Text: "3554"}}); !a.Held {
		t.Error("a typed value that disagrees was taken")
	}
}

func TestDisagreeingRepeatNeedsACauseOrAllAgain(t *testing.T) {
	b, c := repeatBench(t, 10, 10, 20)
	o := send(t, b, "tape", "3555.0", c.now())
	for _, cause := range []string{"", "  "} {
		fails(t, b, words.CodeMissing, command.Order{Deed: command.Take{Seq: o.Seq, Reason: cause}})
	}
	do(t, b, command.Order{Deed: command.Take{Seq: o.Seq, Reason: "rib rests on a stone"}})
	batch, err := b.Batch("B1")
	if err != nil {
		t.Fatal(err)
	}
	r := batch.Ribs[10]
	ms := r.Counted(qc.Tip)
	if len(ms) != 2 || ms[1].Cause != "rib rests on a stone" {
		t.Fatalf("taken: %+v", ms)
	}
	// The mean counts, and half the difference is the friction half-band: 2.5 mm.
	tip, _ := batch.Target.Characteristic(qc.Tip)
	if d, _ := r.Deviation(tip); d.HalfBand != 5*mm/2 || d.Value != 3552*mm+mm/2 {
		t.Errorf("value %v, half-band %v", d.Value, d.HalfBand)
	}

	b, c = repeatBench(t, 10, 10, 20)
	o = send(t, b, "tape", "3555.0", c.now())
	fails(t, b, words.CodeMissing, command.Order{Deed: command.Again{Char: "tip", Seq: o.Seq}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.Again{Char: "tip", Seq: 1, Reason: "x"}})
	do(t, b, command.Order{Deed: command.Again{Char: "tip", Seq: o.Seq, Reason: "repeats disagree"}})
	v := b.View()
	if len(v.Held) != 0 || v.Current.Next.Char != "tip" || v.Current.Next.Reading != 1 {
		t.Errorf("all again: held %d, next %+v", len(v.Held), v.Current.Next)
	}
	batch, _ = b.Batch("B1")
	if batch.Counts.Discarded != 1 || len(batch.Ribs[10].Counted(qc.Tip)) != 0 || len(batch.Ribs[10].Measurements) != 1 {
		t.Errorf("all again left %+v", batch.Ribs[10].Measurements)
	}
}

// With the gauge studied, its repeatability and the friction band of the rib together say how far two readings
// may lie apart.
func TestRepeatLimitFromTheGaugeStudy(t *testing.T) {
	b, c := repeatBench(t, 0)
	b.mu.Lock()
	b.state.Gauges[0].RepeatSD, b.state.Gauges[0].RepeatDOF = mm/2, 10
	r, tip := b.state.Batch.Current, b.state.Batch.Target.Round[0]
	b.mu.Unlock()
	if tip.ID != qc.Tip || tip.Band != 2*mm {
		t.Fatalf("first characteristic %+v", tip)
	}
	for value, held := range map[string]bool{"3555.3": false, "3555.4": true} { // 2.77 x 0.5 + 2 x 2 = 5.386
		l, err := length.Decimal(value, "mm")
		if err != nil {
			t.Fatal(err)
		}
		q, asked := doubt.Disagree(b.state, b.state.Batch, r, tip, log.ReadingBody{Gauge: "tape", ValueNM: int64(l)})
		if asked != held {
			t.Errorf("%s: asked %v (%s)", value, asked, q.Why)
		}
	}
	_ = c
}

// NIST/SEMATECH e-Handbook 1.3.5.17.1 (data of Tietjen and Moore 1972) on the mean-free scale of a rib: G 2.469,
// two-sided 5 % point 2.126; of three readings none can stand out.
func TestOddReadingIsPointedOut(t *testing.T) {
	data := []float64{199.31, 199.53, 200.19, 200.82, 201.92, 201.95, 202.18, 245.57}
	r := &book.Rib{Rib: qc.Rib{ID: "01", Round: 1}}
	ch := qc.Characteristic{ID: qc.Tip, Kind: qc.TipToTip, Nominal: 200 * mm, Repeats: 8}
	for i, x := range data {
		r.Measurements = append(r.Measurements, qc.Measurement{Seq: int64(100 + i), Char: qc.Tip, Round: 1,
			Value: length.Length(math.Round(x * 1e6))})
	}
	o := show.ShownOdd(r, ch)
	if o == nil || o.Seq != 107 || !strings.Contains(o.Text, "Reading 8") || !strings.Contains(o.Text, "2.47") ||
		!strings.Contains(o.Text, "2.13") || !strings.Contains(o.Text, "245.57 mm") {
		t.Errorf("odd one: %+v", o)
	}
	r.Measurements = r.Measurements[5:]
	if o := show.ShownOdd(r, ch); o != nil {
		t.Errorf("of three readings one stands out: %s", o.Text)
	}
	if fmt.Sprint(show.ShownOdd(&book.Rib{Rib: qc.Rib{Round: 1}}, ch)) != "<nil>" {
		t.Error("of none one stands out")
	}
}
