package session

import (
	"regexp"
	"strconv"
	"testing"

	"springline/qc"
	"springline/qc/bend"
	"springline/qc/length"
	"springline/session/command"
	"springline/session/show"
)

func advisedBatch(t *testing.T, tips ...float64) (qc.Batch, qc.Rib) {
	t.Helper()
	target, err := qc.NewArch(qc.ArchSpec{
		ID: "a", Revision: 1, Bar: qc.Bar{Diameter: 12 * mm, Grade: "B500B", YieldMPa: 500}, Leg: 900 * mm, Arc: 4200 * mm,
		Radius: 1337 * mm, Face: qc.Outside, TolTip: 20 * mm, TolCrown: 30 * mm, TipRepeats: 1,
	})
	if err != nil {
		t.Fatal(err)
	}
	b := qc.Batch{
		Target: target, Decision: qc.DefaultDecision, Jigs: []qc.Jig{{ID: "j", FaceRadius: 690 * mm}},
		Gauges: []qc.Gauge{{ID: "tape", Kind: qc.Tape, Class: "I", Resolution: mm}},
	}
	for i, dev := range tips {
		r := qc.Rib{ID: strconv.Itoa(i), Lot: "l", Jig: "j", FirstJig: "j", Order: i + 1, Round: 1}
		for j, c := range target.Round {
			v := c.Nominal
			if c.ID == qc.Tip {
				v += length.Length(dev * 1e6)
			} else {
				v -= length.Length(dev * 0.14e6) // the crown comes down as the tips open: dH/dT of a radius change
			}
			r.Measurements = append(r.Measurements, qc.Measurement{Seq: int64(j + 1), Char: c.ID, Round: 1, Value: v, Gauge: "tape"})
		}
		b.Ribs = append(b.Ribs, r)
	}
	return b, b.Ribs[len(b.Ribs)-1]
}

// A rib too narrow is opened: the tips go past the target, since part of every pull springs back, and the
// spacing named is the one on the target's face that qc/bend asks for.
func TestAdviceForANarrowRib(t *testing.T) {
	b, r := advisedBatch(t, 2, -4, 3, -45)
	v, err := b.Judge(r)
	if err != nil || v.Word != qc.ReBend {
		t.Fatalf("%v %s", err, v.Word)
	}
	text := show.Advise(b, r, v)
	m := regexp.MustCompile(`^RE-BEND: open the tips until they read (\d+) mm \(outside\)`).FindStringSubmatch(text)
	if m == nil {
		t.Fatalf("%q", text)
	}
	got, _ := strconv.ParseFloat(m[1], 64)
	tip, _ := b.Target.Characteristic(qc.Tip)
	if got < tip.Nominal.MM()+100 || got > 5800 {
		t.Errorf("opened to %v mm: %q", got, text)
	}
	c, ok := b.Correct(r)
	if !ok || c.Action != bend.Open {
		t.Fatalf("%v %s", ok, c.Action)
	}
	if d := got - c.TipLoaded; d < 0 || d > 12.5 {
		t.Errorf("%v mm said on the outside, %v mm meant on the centreline of a 12 mm bar", got, c.TipLoaded)
	}
}

// What is needed and not there gives no advice rather than a guess.
func TestNoAdviceWithoutJigOrCrown(t *testing.T) {
	b, r := advisedBatch(t, 0, 40)
	v, err := b.Judge(r)
	if err != nil {
		t.Fatal(err)
	}
	if show.Advise(b, r, v) == "" {
		t.Fatal("no advice for a wide rib")
	}
	without := b
	without.Jigs = nil
	if text := show.Advise(without, r, v); text != "" {
		t.Errorf("without a jig: %q", text)
	}
	r.Measurements = r.Measurements[:1]
	if text := show.Advise(b, r, v); text != "" {
		t.Errorf("without a crown height: %q", text)
	}
}

// A bar wrapped again belongs to its new jig from then on, and what its first round said stays with the
// jig it was first wrapped on.
func TestWrappedAgainOnAnotherJig(t *testing.T) {
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	do(t, b, command.Order{Deed: command.Start{}})
	first := b.View().Batch.Jig
	ctx := t.Context()
	if err := b.Set(ctx, command.JigDeed(qc.Jig{ID: "tighter", FaceRadius: 650 * mm, Blocks: 21})); err != nil {
		t.Fatal(err)
	}
	if _, err := b.Do(ctx, command.Order{Deed: command.Round{Reason: "wrapped again", Jig: "nosuch"}}); err == nil {
		t.Error("a jig that is not on record was taken")
	}
	do(t, b, command.Order{Deed: command.Round{Reason: "wrapped again", Jig: "tighter"}})
	batch, err := b.Batch(b.View().Batch.ID)
	if err != nil {
		t.Fatal(err)
	}
	if r := batch.Ribs[0]; r.Jig != "tighter" || r.FirstJig != first || r.Round != 2 {
		t.Errorf("rib %+v, first jig %q", r, first)
	}
	if _, err := Rebuild(ctx, b.cfg, true); err == nil {
		t.Error("a record in use was rebuilt")
	}
	dir := b.cfg
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Rebuild(ctx, dir, false); err != nil {
		t.Error(err)
	}
}
