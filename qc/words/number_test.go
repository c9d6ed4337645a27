package words

import (
	"math"
	"testing"

	"springline/qc/length"
)

// Rules of print: common practice, no source, but for the signs (U+2212, U+00B1) and the space before the
// unit: SI brochure, 9th ed., 5.4.3 and 5.4.7.
func TestNumbers(t *testing.T) {
	const mm, um = length.Millimetre, length.Micrometre
	for i, c := range []struct{ got, want string }{
		{Fixed(1234567*length.Nanometre, 10*um), "1.23"},
		{Fixed(-1500*um, mm), "−2"}, // ties to even
		{Fixed(2500*um, mm), "2"},
		{Fixed(-4*um, 10*um), "0.00"}, // nothing left to be negative
		{Fixed(-96*um, 100*um), "−0.1"},
		{Fixed(5*um, um), "0.005"},
		{Fixed(127*mm/10, length.Inch/4), "12.70"}, // a step that is no decimal place
		{Fixed(1850*mm, 0), "1850.000000"},
		{Signed(1240*um, 100*um), "+1.2"},
		{Signed(40*um, 100*um), "0.0"},
		{Tenth(-400 * um), "−0.4"},
		{Exact(-1850250 * um), "−1850.25 mm"},
		{ExactSigned(3 * mm), "+3 mm"},
		{ExactSigned(0), "0 mm"},
		{MM(396875 * length.Nanometre), "0.397 mm"},
		{In(length.Foot, length.IN, length.Inch/100), "12.00 in"},
		{In(-length.Inch, length.MM, 100*um), "−25.4 mm"},
		{AtLeast(1201*um, 100*um), "1.3"},
		{AtLeast(1200*um, 100*um), "1.2"},
		{AtLeast(-1201*um, 100*um), "−1.2"},
		{AtMost(1299*um, 100*um), "1.2"},
		{AtMost(-1201*um, 100*um), "−1.3"},
		{Limits(-6*mm, 6*mm), "−6 to +6 mm"},
		{Limits(-6*mm, 0), "−6 to 0 mm"},
		{Decimals(-0.04, 1), "0.0"},
		{Decimals(-0.06, 1), "−0.1"},
		{Decimals(math.NaN(), 1), "?"},
		{Decimals(math.Inf(-1), 1), "−infinite"},
		{Decimals(math.Inf(1), 1), "infinite"},
		{SignedDecimals(0.004, 2), "0.00"},
		{SignedDecimals(0.006, 2), "+0.01"},
		{Shortest(-27.5), "−27.5"},
		{Percent(0.95), "95 %"},
		{Percent(0.9973), "99.73 %"},
		{Percent(math.NaN()), "?"},
		{Share(9.96), "10.0 %"},
		{Share(29.6), "30 %"},
		{Portion(0.0004), "under 0.1 %"},
		{Portion(0.99999), "99.99 %"},
		{Portion(1), "100 %"},
		{Portion(0.05), "5.0 %"},
		{Portion(0), "0 %"},
		{Digits2(0.996), "1.0"},
		{Digits2(0.00123), "0.001"},
		{Digits2(14.6), "15"},
		{Digits2(-1), "0"},
		{Digits2(math.Inf(1)), "?"},
		{Minus("-1 and -2 (-3), lot-1, 2026-01-02, +-4, +/-5"), "−1 and −2 (−3), lot-1, 2026-01-02, ±4, ±5"},
		{Count(1, "lot", "lots"), "1 lot"},
		{Count(0, "lot", "lots"), "0 lots"},
		{oneOf(2, "lies", "lie"), "lie"},
		{List(nil), ""},
		{List([]string{"a"}), "a"},
		{List([]string{"a", "b"}), "a and b"},
		{List([]string{"a", "b", "c"}), "a, b and c"},
		{Or([]string{"a", "b", "c"}), "a, b or c"},
		{Named("lot", "L1"), "lot L1"},
		{Named("lot", "lot-1"), "lot-1"},
		{Named("jig", "Jig 2"), "Jig 2"},
		{Capital("élan"), "Élan"},
		{Capital(""), ""},
		{Sentence("as it is"), "As it is."},
		{Sentence("Is it?"), "Is it?"},
		{Sentence(""), ""},
	} {
		if c.got != c.want {
			t.Errorf("case %d: %q, want %q", i, c.got, c.want)
		}
	}
}

// FuzzFixed compares the print without big numbers with that of qc/length.
func FuzzFixed(f *testing.F) {
	f.Add(int64(-96_000), uint8(1))
	f.Add(int64(2_500_000), uint8(0))
	f.Fuzz(func(t *testing.T, n int64, places uint8) {
		step := length.Millimetre
		for range places % 7 {
			step /= 10
		}
		l := length.Length(n)
		if got, want := Fixed(l, step), Minus(l.Text(length.MM, step)); got != want {
			t.Errorf("%d in steps of %d: %q, want %q", n, step, got, want)
		}
		if got, want := Exact(l), Minus(l.String())+" mm"; got != want {
			t.Errorf("%d exactly: %q, want %q", n, got, want)
		}
	})
}
