package doubt

import (
	"testing"

	"springline/qc"
	"springline/qc/length"
)

const mm = length.Millimetre

// The zone is the smaller of 20 half-widths and a quarter of the value wanted, and never less than 2 half-widths
// (common practice, no source); its edge counts as inside, on either side.
func TestZone(t *testing.T) {
	for _, c := range []struct {
		name            string
		wanted, half    length.Length
		within, outside length.Length // of the value wanted
	}{
		{"20 half-widths of a long measure", 4000 * mm, 10 * mm, 200 * mm, 200*mm + 1},
		{"a quarter of a short one", 400 * mm, 10 * mm, 100 * mm, 100*mm + 1},
		{"2 half-widths, where a quarter is less", 40 * mm, 10 * mm, 20 * mm, 20*mm + 1},
		{"20 half-widths around zero", 0, 5 * mm, 100 * mm, 100*mm + 1},
	} {
		ch := qc.Characteristic{Kind: qc.LegLength, Nominal: c.wanted, Lower: c.wanted - c.half, Upper: c.wanted + c.half}
		for _, side := range []length.Length{-1, 1} {
			if far(ch, c.wanted+side*c.within) {
				t.Errorf("%s: %v away is far", c.name, side*c.within)
			}
			if !far(ch, c.wanted+side*c.outside) {
				t.Errorf("%s: %v away is not far", c.name, side*c.outside)
			}
		}
	}
}
