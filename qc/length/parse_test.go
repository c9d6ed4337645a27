package length

import (
	"errors"
	"strings"
	"testing"
)

// The expected values follow from the definition of the inch (25.4 mm, 1959) and from the decisions
// listed in the package's rules; the same texts stand in testdata/checks/lengths.jsonl where given.
func TestReadAccepts(t *testing.T) {
	mm := Options{}
	signed := Options{Signed: true}
	in := Options{DefaultUnit: IN}
	comma := Options{Decimal: DecimalComma}
	point := Options{Decimal: DecimalPoint}
	for _, c := range []struct {
		text  string
		o     Options
		nm    Length
		mm    string
		typed string
	}{
		{"1850", mm, 1850_000_000, "1850", "1850 mm"},
		{"1850mm", mm, 1850_000_000, "1850", "1850 mm"},
		{"1850 MM", mm, 1850_000_000, "1850", "1850 mm"},
		{"1850", Options{DefaultUnit: CM}, 18500_000_000, "18500", "1850 cm"},
		{"1.85", Options{DefaultUnit: M}, 1850_000_000, "1850", "1.85 m"},
		{"1.85 M", mm, 1850_000_000, "1850", "1.85 m"},
		{"250 thou", mm, 6_350_000, "6.35", "250 thou"},
		{"12.", mm, 12_000_000, "12", "12 mm"},
		{"12. mm", mm, 12_000_000, "12", "12 mm"},
		{"12,", comma, 12_000_000, "12", "12 mm"},
		{",5", mm, 500_000, "0.5", "0.5 mm"},
		{"0", mm, 0, "0", "0 mm"},
		{"007", mm, 7_000_000, "7", "7 mm"},
		{"12.50", mm, 12_500_000, "12.5", "12.50 mm"},
		{"-3.2", signed, -3_200_000, "-3.2", "-3.2 mm"},
		{"\u22123.2", signed, -3_200_000, "-3.2", "-3.2 mm"},
		{"+3.2", signed, 3_200_000, "3.2", "3.2 mm"},
		{"-0", signed, 0, "0", "0 mm"},
		{"-6'-11\"", signed, -2108_200_000, "-2108.2", "-6' 11\""},

		{"12,50", mm, 12_500_000, "12.5", "12.50 mm"},
		{"12,3456", mm, 12_345_600, "12.3456", "12.3456 mm"},
		{"1234,567", mm, 1234_567_000, "1234.567", "1234.567 mm"},
		{",125", mm, 125_000, "0.125", "0.125 mm"},
		{"1,234.5", mm, 1234_500_000, "1234.5", "1234.5 mm"},
		{"1.234,5", mm, 1234_500_000, "1234.5", "1234.5 mm"},
		{"1.234,5", comma, 1234_500_000, "1234.5", "1234.5 mm"},
		{"1,234.5", point, 1234_500_000, "1234.5", "1234.5 mm"},
		{"1.234", point, 1_234_000, "1.234", "1.234 mm"},
		{"1,234,567 thou", mm, 31_358_001_800, "31358.0018", "1234567 thou"},
		{"1.234.567 thou", comma, 31_358_001_800, "31358.0018", "1234567 thou"},
		{"1\u00a0850", mm, 1850_000_000, "1850", "1850 mm"},
		{"1\u202f850,5", mm, 1850_500_000, "1850.5", "1850.5 mm"},
		{"1\u2009850,567", mm, 1850_567_000, "1850.567", "1850.567 mm"},
		{"12.5\u00a0mm", mm, 12_500_000, "12.5", "12.5 mm"},
		{"6'\u00a011\u00a03/4\"", mm, 2127_250_000, "2127.25", "6' 11 3/4\""},

		{"11 in", mm, 279_400_000, "279.4", "11\""},
		{"11IN", mm, 279_400_000, "279.4", "11\""},
		{"11''", mm, 279_400_000, "279.4", "11\""},
		{"11\u2019\u2019", mm, 279_400_000, "279.4", "11\""},
		{"11.5\"", mm, 292_100_000, "292.1", "11.5\""},
		{"11.5", in, 292_100_000, "292.1", "11.5\""},
		{"6'11", mm, 2108_200_000, "2108.2", "6' 11\""},
		{"6' 11", mm, 2108_200_000, "2108.2", "6' 11\""},
		{"6'-11\"", mm, 2108_200_000, "2108.2", "6' 11\""},
		{"6' - 11\"", mm, 2108_200_000, "2108.2", "6' 11\""},
		{"6 ft 11 in", mm, 2108_200_000, "2108.2", "6' 11\""},
		{"6ft11in", mm, 2108_200_000, "2108.2", "6' 11\""},
		{"6 ft", Options{DefaultUnit: FT}, 1828_800_000, "1828.8", "6'"},
		{"6\u20192\u201d", mm, 1879_600_000, "1879.6", "6' 2\""},
		{"6\u2018 2\u201c", mm, 1879_600_000, "1879.6", "6' 2\""},
		{"6\u00b4 2\"", mm, 1879_600_000, "1879.6", "6' 2\""},
		{"6\u20322\u2033", mm, 1879_600_000, "1879.6", "6' 2\""},
		{"6' 11.5\"", mm, 2120_900_000, "2120.9", "6' 11.5\""},
		{"6' 3/4\"", mm, 1847_850_000, "1847.85", "6' 3/4\""},
		{"6'-3/4", mm, 1847_850_000, "1847.85", "6' 3/4\""},
		{"6'11-3/4", mm, 2127_250_000, "2127.25", "6' 11 3/4\""},
		{"0' 6\"", mm, 152_400_000, "152.4", "0' 6\""},
		{"11\u00be\"", mm, 298_450_000, "298.45", "11 3/4\""},
		{"11 \u00be in", mm, 298_450_000, "298.45", "11 3/4\""},
		{"11-\u00be\"", mm, 298_450_000, "298.45", "11 3/4\""},
		{"\u215e\"", mm, 22_225_000, "22.225", "7/8\""},
		{"11\u00be", in, 298_450_000, "298.45", "11 3/4\""},
		{"11-3/4", in, 298_450_000, "298.45", "11 3/4\""},
		{"3/4", in, 19_050_000, "19.05", "3/4\""},
		{"010 010/16\"", mm, 269_875_000, "269.875", "10 010/16\""}, // never octal
		{"11 6/8\"", mm, 298_450_000, "298.45", "11 6/8\""},
		// Half a nanometre left over: ties to even; the exact text keeps it.
		{"1/128\"", mm, 198_438, "0.1984375", "1/128\""},
		{"3/128\"", mm, 595_312, "0.5953125", "3/128\""},
		{"0.0000005", mm, 0, "0.0000005", "0.0000005 mm"},
		{"0.0000015", mm, 2, "0.0000015", "0.0000015 mm"},
		{"100 m", mm, Limit, "100000", "100 m"},
		{"100000.000000", mm, Limit, "100000", "100000.000000 mm"},
		{"\t 12.5 \r\n", mm, 12_500_000, "12.5", "12.5 mm"},
	} {
		e, err := Read(c.text, c.o)
		if err != nil {
			t.Errorf("%q: %v", c.text, err)
			continue
		}
		if e.Length != c.nm || e.MM != c.mm || e.Typed != c.typed {
			t.Errorf("%q: got %d nm, %s mm, %s; want %d, %s, %s", c.text, e.Length, e.MM, e.Typed, c.nm, c.mm, c.typed)
		}
	}
}

func TestReadRefuses(t *testing.T) {
	mm := Options{}
	in := Options{DefaultUnit: IN}
	ft := Options{DefaultUnit: FT}
	comma := Options{Decimal: DecimalComma}
	point := Options{Decimal: DecimalPoint}
	for _, c := range []struct {
		text string
		o    Options
		want Code
	}{
		{"", mm, Empty},
		{" \t\u00a0", mm, Empty},
		// 1: the comma or point may group or part off decimals.
		{"1,234", mm, AmbiguousSeparator},
		{"1,234 mm", mm, AmbiguousSeparator},
		{"123,456", mm, AmbiguousSeparator},
		{"1,234", point, AmbiguousSeparator},
		{"1.234", comma, AmbiguousSeparator},
		{"1,234'", mm, AmbiguousSeparator},
		{"12,34,567", mm, BadGrouping},
		{"1,23.4", mm, BadGrouping},
		{"1234,567.8", mm, BadGrouping},
		{"12,5,1", mm, BadGrouping},
		{"12,5", point, BadGrouping},
		{"12.5", comma, BadGrouping},
		{"1.234,5", point, BadGrouping},
		{"18\u00a050", mm, BadGrouping},
		{"1850\u00a0000", mm, BadGrouping},
		{"1\u00a0850,567", point, BadGrouping},
		{"1.234\u202f567", mm, BadGrouping},
		// 2
		{"1 850", mm, AmbiguousSpace},
		{"1 850 mm", mm, AmbiguousSpace},
		{"6 11", in, AmbiguousSpace},
		{"6 11", ft, AmbiguousSpace},
		{"6 11\"", mm, AmbiguousSpace},
		{"6 11 3/4\"", mm, AmbiguousSpace},
		{"6' 11 5", mm, AmbiguousSpace},
		// 3, 5: too many inches, or Swiss thousands
		{"1'850", mm, InchesOutOfRange},
		{"1\u2019850.5", mm, InchesOutOfRange},
		{"1'011", mm, InchesOutOfRange},
		{"6' 13\"", mm, InchesOutOfRange},
		{"6' 12\"", mm, InchesOutOfRange},
		{"6'12", mm, InchesOutOfRange},
		// 6
		{"6.5'3", mm, FractionalFeetWithInches},
		{"6.0' 3\"", mm, FractionalFeetWithInches},
		// 9
		{"11 3/4", mm, FractionNeedsInch},
		{"11 3/4 mm", mm, FractionNeedsInch},
		{"11-3/4", mm, FractionNeedsInch},
		{"11\u00be", mm, FractionNeedsInch},
		{"3/4 m", mm, FractionNeedsInch},
		{"3/4", Options{DefaultUnit: CM}, FractionNeedsInch},
		{"6 1/2'", mm, FractionNeedsInch},
		{"6\u00bd ft", mm, FractionNeedsInch},
		{"11 3/4", ft, FractionNeedsInch},
		// 10
		{"113/4\"", mm, ImproperFraction},
		{"113/4", in, ImproperFraction},
		{"11 5/4\"", mm, ImproperFraction},
		{"6' 11 4/4\"", mm, ImproperFraction},
		{"1/3\"", mm, BadDenominator},
		{"1/256\"", mm, BadDenominator},
		{"1/0\"", mm, BadDenominator},
		{"1/12\"", mm, BadDenominator},
		{"11\u2153\"", mm, BadDenominator},
		// 11, 18
		{"5mil", mm, AmbiguousUnit},
		{"5 MILS", mm, AmbiguousUnit},
		{"5 km", mm, AmbiguousUnit},
		{"6", ft, AmbiguousUnit},
		{"6.5", ft, AmbiguousUnit},
		// 13, 17
		{"11\u00b3\u2044\u2084\"", mm, BadCharacter},
		{"\uff11\uff18\uff15\uff10", mm, BadCharacter},
		{"\u0661\u0662", mm, BadCharacter},
		{"12*2", mm, BadCharacter},
		{"5 \u00b5m", mm, BadCharacter},
		{"12\x005", mm, BadCharacter},
		{"12\xff", mm, BadCharacter},
		{"\ufeff12", mm, BadCharacter},
		{"12\u201310", mm, BadCharacter},
		{"$12", mm, BadCharacter},
		// 15, 20, 21
		{"11' '", mm, BadNumber},
		{"-5", mm, NegativeNotAllowed},
		{"\u22125", mm, NegativeNotAllowed},
		{"-0", mm, NegativeNotAllowed},
		{"2m 15cm", mm, MixedUnits},
		{"2m15", mm, MixedUnits},
		{"2 m 15", mm, MixedUnits},
		{"6' 15cm", mm, MixedUnits},
		{"12 mm in", mm, MixedUnits},
		{"12 mm\"", mm, MixedUnits},
		{"11\" 6'", mm, MixedUnits},
		{"11\" 5 mm", mm, MixedUnits},
		{"1e3", mm, ExponentNotAllowed},
		{"1E+3 mm", mm, ExponentNotAllowed},
		{"1.5e-3", mm, ExponentNotAllowed},
		{"abc", mm, BadNumber},
		{"mm", mm, BadNumber},
		{".", mm, BadNumber},
		{",", mm, BadNumber},
		{"12..5", mm, BadNumber},
		{"1,5,5", comma, BadNumber},
		{"1,2.3,4", mm, BadNumber},
		{"+", mm, BadNumber},
		{"+-5", Options{Signed: true}, BadNumber},
		{"--5", Options{Signed: true}, BadNumber},
		{"-", Options{Signed: true}, BadNumber},
		{"10-5", mm, BadNumber},
		{"2+3", mm, BadNumber},
		{"11 - 3/4\"", mm, BadNumber},
		{"11.5 3/4\"", mm, BadNumber},
		{"3/\"", mm, BadNumber},
		{"/4\"", mm, BadNumber},
		{"6'-", mm, BadNumber},
		{"6' 11\" 3/4", mm, BadNumber},
		{"6'\u221211\"", mm, BadNumber},
		{"'6", mm, BadNumber},
		{"1\u00be\u00be\"", mm, BadNumber},
		{"101 m", mm, OutOfRange},
		{"100.000001 m", mm, OutOfRange},
		{"100000.00000001", mm, OutOfRange},
		{"-101 m", Options{Signed: true}, OutOfRange},
		{"1,234,567", mm, OutOfRange},
		{"0." + strings.Repeat("0", 39), mm, OutOfRange},
	} {
		e, err := Read(c.text, c.o)
		var pe *ParseError
		if !errors.As(err, &pe) {
			t.Errorf("%q: read as %v, want %s", c.text, e, c.want)
			continue
		}
		if pe.Code != c.want {
			t.Errorf("%q: refused as %s (%s), want %s", c.text, pe.Code, pe.Message, c.want)
		}
		if pe.Text != c.text || pe.Message == "" || !strings.Contains(err.Error(), pe.Message) {
			t.Errorf("%q: the error does not carry text and advice: %q", c.text, err)
		}
	}
}

func TestEntryShownBack(t *testing.T) {
	for text, want := range map[string]string{
		"6' 11 3/4\"": "6' 11 3/4\" = 2127.25 mm",
		"185 cm":      "185 cm = 1850 mm",
		"1850":        "1850 mm",
		"12,50":       "12.50 mm",
	} {
		e, err := Read(text, Options{})
		if err != nil || e.String() != want {
			t.Errorf("%q: shown back as %q (%v), want %q", text, e.String(), err, want)
		}
	}
}
