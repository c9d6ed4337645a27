package qc_test

import (
	"math"
	"testing"

	"springline/qc"
	"springline/qc/length"
)

// A bar 12 mm longer than wanted gives each leg 6 mm. On a half circle the legs hang straight down (plane
// geometry): the tips stay where they are and the crown stands 6 mm higher.
func TestSurplusGoesIntoBothLegs(t *testing.T) {
	const mm = length.Millimetre
	r := 1000.0
	target, err := qc.NewArch(qc.ArchSpec{ID: "h", Revision: 1, Bar: qc.Bar{Diameter: 12 * mm, Grade: "B500B", YieldMPa: 500},
		Leg: 900 * mm, Arc: length.Length(math.Round(math.Pi*r*10)) * 100 * length.Micrometre,
		Radius: 1000 * mm, Face: qc.Centre, TolTip: 20 * mm, TolCrown: 20 * mm})
	if err != nil {
		t.Fatal(err)
	}
	own := target.ForBar(target.BarLength() + 12*mm)
	if own.Leg != 906*mm {
		t.Errorf("legs of %s mm", own.Leg)
	}
	for id, by := range map[qc.CharID]length.Length{qc.Tip: 0, qc.Crown: 6 * mm} {
		a, _ := target.Characteristic(id)
		b, _ := own.Characteristic(id)
		if b.Nominal-a.Nominal != by || b.Lower != a.Lower || b.Upper != a.Upper {
			t.Errorf("%s moved from %s to %s", id, a.Nominal, b.Nominal)
		}
	}
	if same := target.ForBar(target.BarLength()); same.Leg != target.Leg {
		t.Error("the wanted length changes the target")
	}
	for _, bar := range []length.Length{target.BarLength() / 2, 2 * target.BarLength(), -mm} {
		if target.CheckBar(bar) == nil {
			t.Errorf("a bar of %s mm was taken", bar)
		}
		if same := target.ForBar(bar); same.Leg != target.Leg {
			t.Errorf("a bar of %s mm changes the target", bar)
		}
	}
}
