package qc

import (
	"errors"
	"math"
	"testing"

	"springline/qc/length"
)

// A half circle without legs, buried to half its radius, by hand: what is clear is R/2 less half the bar, and
// the width at the ground sqrt(3) R.
func TestBuriedTips(t *testing.T) {
	arc, err := length.FromMM(math.Pi * 1000)
	if err != nil {
		t.Fatal(err)
	}
	spec := ArchSpec{ID: "half", Revision: 1, Bar: Bar{Diameter: 12 * length.Millimetre}, Arc: arc, Radius: length.Metre, Face: Centre,
		TolTip: 20 * length.Millimetre, TolCrown: 10 * length.Millimetre, Buried: 500 * length.Millimetre}
	target, err := NewArch(spec)
	if err != nil {
		t.Fatal(err)
	}
	width, clear, err := target.AboveGround()
	if err != nil || math.Abs(width-1000*math.Sqrt(3)) > 1e-3 || math.Abs(clear-494) > 1e-3 {
		t.Errorf("width %v, clear %v, %v", width, clear, err)
	}
	for _, bad := range []length.Length{-length.Millimetre, length.Metre, 995 * length.Millimetre} {
		spec.Buried = bad
		var te *TargetError
		if _, err := NewArch(spec); !errors.As(err, &te) || te.Field != "buried depth" {
			t.Errorf("buried %s: %v", bad, err)
		}
	}
}
