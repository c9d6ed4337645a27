package length

import (
	"errors"
	"math"
	"testing"

	"pgregory.net/rapid"
)

func TestString(t *testing.T) {
	for l, want := range map[Length]string{
		0: "0", 1850 * Millimetre: "1850", 396_875: "0.396875", -1: "-0.000001", -12_500_000: "-12.5",
		math.MinInt64: "-9223372036854.775808", math.MaxInt64: "9223372036854.775807",
	} {
		if got := l.String(); got != want {
			t.Errorf("%d nm prints %q, want %q", int64(l), got, want)
		}
	}
}

func TestTextKeepsTheStepsPlaces(t *testing.T) {
	for _, c := range []struct {
		l    Length
		u    Unit
		step Length
		tie  Tie
		want string
	}{
		{12_500_000, MM, 10 * Micrometre, TieEven, "12.50"},
		{12_500_000, MM, Millimetre, TieEven, "12"},
		{12_500_000, MM, Millimetre, TieAway, "13"},
		{-12_500_000, MM, Millimetre, TieAway, "-13"},
		{-400_000, MM, Millimetre, TieEven, "0"},
		{-4_000, MM, 100 * Micrometre, TieEven, "0.0"},
		{12_300_000, MM, 500 * Micrometre, TieEven, "12.5"},
		{1224 * Millimetre, MM, 10 * Millimetre, TieEven, "1220"},
		{1850 * Millimetre, CM, Millimetre, TieEven, "185.0"},
		{1850 * Millimetre, M, Millimetre, TieEven, "1.850"},
		{Inch, IN, Thou, TieEven, "1.000"},
		{6 * Foot, FT, Foot / 100, TieEven, "6.00"},
		{Inch, IN, 100 * Micrometre, TieEven, "1.000"},     // 25.4 mm; 0.1 mm is 0.0039 in
		{26 * Millimetre, IN, Millimetre, TieEven, "1.02"}, // 1.0236
		{1234567, MM, 0, TieEven, "1.234567"},
		{1234567, noUnit, 1000, TieEven, "1.235"},
	} {
		if got := c.l.TextTie(c.u, c.step, c.tie); got != c.want {
			t.Errorf("%s mm in %s at %d nm prints %q, want %q", c.l, c.u, c.step, got, c.want)
		}
	}
	if got := (12_500_000 * Nanometre).Text(MM, Millimetre); got != "12" {
		t.Errorf("Text rounds a tie to %q, want the even 12", got)
	}
}

func TestFeetInches(t *testing.T) {
	for _, c := range []struct {
		l    Length
		den  int
		want string
	}{
		{2127_250_000, 16, `6' 11 3/4"`},
		{1828_800_000, 16, `6' 0"`},
		{Inch / 64, 64, `1/64"`},
		{Inch / 64, 16, `0"`},
		{-Inch / 32, 16, `0"`},
		{-3 * Inch / 16, 16, `-3/16"`},
		{11 * Inch, 8, `11"`},
		{6*Foot + Inch/2, 8, `6' 0 1/2"`},
		{12*Inch - 1, 16, `1' 0"`}, // rounding carries into the feet
		{Inch / 3, 7, `5/16"`},
	} {
		if got := c.l.FeetInches(c.den); got != c.want {
			t.Errorf("%s mm to 1/%d inch prints %q, want %q", c.l, c.den, got, c.want)
		}
	}
}

func TestFromMM(t *testing.T) {
	for mm, want := range map[float64]Length{12.5: 12_500_000, -0.0000005: 0, 0.0000015: 2, 1e9: 1e15} {
		if got, err := FromMM(mm); err != nil || got != want {
			t.Errorf("%g mm became %d nm (%v), want %d", mm, got, err, want)
		}
	}
	for _, mm := range []float64{math.NaN(), math.Inf(1), math.Inf(-1), 1e13, -1e300} {
		if got, err := FromMM(mm); err == nil {
			t.Errorf("%g mm became %d nm, want an error", mm, got)
		}
	}
}

func TestDecimal(t *testing.T) {
	for _, c := range []struct {
		text, unit string
		want       Length
	}{
		{"12.345", "mm", 12_345_000}, {"-0.0005", "in", -12_700}, {"+1.", "cm", 10_000_000}, {".5", "um", 500},
		{"12.350", "mm", 12_350_000}, {"1.00005", "[in_i]", 25_401_270}, {"1", "[ft_i]", Foot}, {"1", "[mil_i]", Thou},
		{"100", "m", Limit}, {"007.5", "thou", 190_500},
	} {
		if got, err := Decimal(c.text, c.unit); err != nil || got != c.want {
			t.Errorf("%s %s is %d nm (%v), want %d", c.text, c.unit, got, err, c.want)
		}
	}
	for _, c := range []struct {
		text, unit string
		want       Code
	}{
		{"", "mm", Empty}, {"1,5", "mm", BadNumber}, {"1e3", "mm", ExponentNotAllowed}, {"12.3.4", "mm", BadNumber},
		{"1.23456789", "mm", Inexact}, {"1", "furlong", BadUnit}, {"1", "", BadUnit}, {"100.1", "m", OutOfRange},
		{"-100.1", "m", OutOfRange}, {".", "mm", BadNumber}, {"--1", "mm", BadNumber}, {"nan", "mm", BadNumber}, {"e", "mm", ExponentNotAllowed},
	} {
		_, err := Decimal(c.text, c.unit)
		var pe *ParseError
		if !errors.As(err, &pe) || pe.Code != c.want {
			t.Errorf("%q in %q: %v, want %s", c.text, c.unit, err, c.want)
		}
	}
}

func TestSlipOf(t *testing.T) {
	want := 2674 * Millimetre
	for _, c := range []struct {
		entry  Length
		factor string
	}{
		{267_400_000, "10"}, {26740 * Millimetre, "10"}, {2_674_000, "1000"}, {105_300_000, "25.4"}, {8_770_000, "304.8"},
		{want, ""}, {want + 50*Millimetre, ""}, {0, ""}, {-267_400_000, ""}, {1337 * Millimetre, ""},
	} {
		s, ok := SlipOf(c.entry, want)
		if ok != (c.factor != "") || s.Factor != c.factor {
			t.Errorf("%s mm for %s mm: slip %q, want %q", c.entry, want, s.Factor, c.factor)
		}
		if ok && !(math.Abs(float64(s.Meant-want)) <= 0.02*float64(want)) {
			t.Errorf("%s mm put right is %s mm, not near %s", c.entry, s.Meant, want)
		}
	}
	if _, ok := SlipOf(5, 0); ok {
		t.Error("nothing can be a slip against an expected zero")
	}
}

func TestPropertyRoundIsNearestMultiple(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := Length(rapid.Int64Range(-int64(Limit), int64(Limit)).Draw(t, "l"))
		step := Length(rapid.Int64Range(1, int64(Metre)).Draw(t, "step"))
		tie := Tie(rapid.IntRange(0, 1).Draw(t, "tie"))
		r := l.Round(step, tie)
		off := r - l
		if off < 0 {
			off = -off
		}
		if r%step != 0 || 2*off > step {
			t.Fatalf("%d at %d became %d", l, step, r)
		}
		if 2*off == step {
			if tie == TieEven && r/step%2 != 0 {
				t.Fatalf("tie %d at %d went to the odd multiple", l, step)
			}
			if tie == TieAway && (r < l) != (l < 0) {
				t.Fatalf("tie %d at %d went towards zero", l, step)
			}
		}
	})
	if got := Length(math.MaxInt64).Round(10, TieEven); got != math.MaxInt64/10*10 {
		t.Errorf("at the end of the range Round gives %d", got)
	}
	if got := Length(7).Round(0, TieEven); got != 7 {
		t.Errorf("a step of zero changed 7 to %d", got)
	}
}

// Values and both rules: ISO 80000-1 Annex B (examples from memory); the negative, zero and text
// forms follow from the rules.
func TestRoundText(t *testing.T) {
	for _, c := range []struct{ value, step, even, away string }{
		{"12.223", "0.1", "12.2", "12.2"}, {"12.25", "0.1", "12.2", "12.3"}, {"1225.0", "10", "1220", "1230"},
		{"1.005", "0.01", "1.00", "1.01"}, {"-0.04", "0.1", "0.0", "0.0"}, {"-0.05", "0.1", "0.0", "-0.1"},
		{"12.3", "0.5", "12.5", "12.5"}, {"1.25", "0.50", "1.00", "1.50"}, {" 7 ", "1", "7", "7"}, {"+.5", "1.", "0", "1"},
		{"99999999999999999999.5", "1", "100000000000000000000", "100000000000000000000"},
		{"2.5", "2.5", "2.5", "2.5"}, {"0.00000000000000000000015", "0.0000000000000000000001", "0.0000000000000000000002",
			"0.0000000000000000000002"},
	} {
		for tie, want := range []string{c.even, c.away} {
			if got, err := RoundText(c.value, c.step, Tie(tie)); err != nil || got != want {
				t.Errorf("%s at %s, rule %d: %q (%v), want %q", c.value, c.step, tie, got, err, want)
			}
		}
	}
	for _, c := range []struct {
		value, step string
		want        Code
		text        string
	}{
		{"", "1", Empty, ""}, {"1", "", Empty, ""}, {"1", "0", OutOfRange, "0"}, {"1", "-1", OutOfRange, "-1"},
		{"1e3", "1", ExponentNotAllowed, "1e3"},
		{"1", "1E-1", ExponentNotAllowed, "1E-1"}, {"1,5", "1", BadNumber, "1,5"}, {"NaN", "1", BadNumber, "NaN"},
		{"1_0", "1", BadNumber, "1_0"}, {"0x1", "1", BadNumber, "0x1"}, {"1/2", "1", BadNumber, "1/2"},
	} {
		_, err := RoundText(c.value, c.step, TieEven)
		var pe *ParseError
		if !errors.As(err, &pe) || pe.Code != c.want || pe.Text != c.text {
			t.Errorf("%q at %q: %v, want %s on %q", c.value, c.step, err, c.want, c.text)
		}
	}
}
