package bend

// Trust says where a table entry comes from.
type Trust string

const (
	Confirmed  Trust = "confirmed"   // seen in the source or in two independent copies of it
	FromMemory Trust = "from memory" // not confirmed: shown as such, never as a fact
)

// Size is a stock bar. Its nominal diameter is that of the plain bar of the same mass per length.
type Size struct {
	Name     string
	Diameter float64 // mm
	Area     float64 // mm^2
	Mass     float64 // kg/m
	Source   string
	Trust    Trust
}

// Sizes lists stock bars: ASTM A615 (US numbers, metric numbers in brackets) and the nominal sizes that
// BS 4449, EN 10080 and ISO 6935-2 share.
func Sizes() []Size {
	const us, eu = "ASTM A615", "BS 4449:1997; EN 10080 and ISO 6935-2 from memory"
	return []Size{
		{"No. 3 (10)", 9.5, 71, 0.560, us, Confirmed}, {"No. 4 (13)", 12.7, 129, 0.994, us, Confirmed},
		{"No. 5 (16)", 15.9, 199, 1.552, us, Confirmed}, {"No. 6 (19)", 19.1, 284, 2.235, us, Confirmed},
		{"No. 7 (22)", 22.2, 387, 3.042, us, Confirmed}, {"No. 8 (25)", 25.4, 510, 3.973, us, Confirmed},
		{"No. 9 (29)", 28.7, 645, 5.060, us, Confirmed}, {"No. 10 (32)", 32.3, 819, 6.404, us, Confirmed},
		{"No. 11 (36)", 35.8, 1006, 7.907, us, Confirmed},
		{"6 mm", 6, 28.3, 0.222, eu, Confirmed}, {"8 mm", 8, 50.3, 0.395, eu, Confirmed},
		{"10 mm", 10, 78.5, 0.617, eu, Confirmed}, {"12 mm", 12, 113.1, 0.888, eu, Confirmed},
		{"14 mm", 14, 153.9, 1.21, eu, Confirmed}, {"16 mm", 16, 201.1, 1.58, eu, Confirmed},
		{"20 mm", 20, 314.2, 2.47, eu, Confirmed}, {"25 mm", 25, 490.9, 3.85, eu, Confirmed},
		{"28 mm", 28, 615.8, 4.83, eu, Confirmed}, {"32 mm", 32, 804.2, 6.31, eu, Confirmed},
	}
}

// Grade is a strength grade: Yield is the least yield stress, where learning starts from.
type Grade struct {
	Name   string
	Yield  float64 // MPa
	Source string
	Trust  Trust
}

// Grades lists the usual strength grades.
func Grades() []Grade {
	return []Grade{
		{"A615 grade 40 [280]", 280, "ASTM A615-15a", Confirmed}, {"A615 grade 60 [420]", 420, "ASTM A615-15a", Confirmed},
		{"A615 grade 75 [520]", 520, "ASTM A615-15a", Confirmed}, {"A615 grade 80 [550]", 550, "ASTM A615-15a", Confirmed},
		{"A615 grade 100 [690]", 690, "ASTM A615-15a", Confirmed},
		{"B500A", 500, "EN 1992-1-1 Annex C, BS 4449:2005", FromMemory}, {"B500B", 500, "EN 1992-1-1 Annex C, BS 4449:2005", FromMemory},
		{"B500C", 500, "EN 1992-1-1 Annex C, BS 4449:2005", FromMemory},
	}
}

// BendRule is the least inside diameter of a bend in bar diameters, for bars up to a diameter.
type BendRule struct {
	UpTo      float64 // mm, largest nominal diameter it holds for
	Diameters float64
	Source    string
	Trust     Trust
}

// BendRules lists least bend diameters, smallest bars first within a source. A rib is never near them;
// they bind for a kink over one block.
func BendRules() []BendRule {
	return []BendRule{
		{25.4, 6, "ACI 318-02 table 7.2 (No. 3 to 8)", Confirmed}, {35.8, 8, "ACI 318-02 table 7.2 (No. 9 to 11)", Confirmed},
		{57.3, 10, "ACI 318-02 table 7.2 (No. 14 and 18)", Confirmed},
		{16, 4, "EN 1992-1-1:2004 table 8.1N", Confirmed}, {40, 7, "EN 1992-1-1:2004 table 8.1N", Confirmed},
		{16, 4, "BS 8666:2005 table 2", Confirmed}, {40, 7, "BS 8666:2005 table 2", Confirmed},
	}
}

// LeastBend is the least inside diameter of a local bend that satisfies every rule listed, mm.
func LeastBend(diameter float64) float64 {
	most := 0.0
	var source string
	for _, r := range BendRules() {
		if diameter <= r.UpTo && r.Source[:3] != source {
			source = r.Source[:3]
			most = max(most, r.Diameters*diameter)
		}
	}
	return most
}

// Tolerance is a suggestion for a limit until the user sets one.
type Tolerance struct {
	What   string
	Plus   float64 // mm
	Minus  float64 // mm
	Source string
	Trust  Trust
}

// TipTolerance suggests limits for the tip-to-tip of a radius bar of the given out-to-out dimension, mm:
// 1.5 % of it, not less than 2 in (ACI 315-99 figure 8, symbol 6).
func TipTolerance(over float64) Tolerance {
	t := max(0.015*over, 50.8)
	return Tolerance{"tip-to-tip", t, t, "ACI 315-99 figure 8, symbol 6", Confirmed}
}

// Tolerances lists suggestions for cutting and bending.
func Tolerances() []Tolerance {
	return []Tolerance{
		{"bar length as cut", 25, 25, "BS 8666:2005 table 5", FromMemory},
		{"bend dimension to 1000 mm", 5, 5, "BS 8666:2005 table 5", FromMemory},
		{"bend dimension over 1000 to 2000 mm", 5, 10, "BS 8666:2005 table 5", FromMemory},
		{"bend dimension over 2000 mm", 5, 25, "BS 8666:2005 table 5", FromMemory},
		{"opposite parallel legs, difference", 12.7, 12.7, "ACI 315-99 figure 8", Confirmed},
	}
}
