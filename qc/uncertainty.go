package qc

import (
	"cmp"
	"math"
	"slices"

	"springline/qc/length"
	"springline/qc/stats"
)

// Conditions are what the maker states about the bench while measuring.
type Conditions struct {
	// TemperatureHalfWidthK is how far bar and tape may be from 20 C or from each other, in kelvin,
	// where no temperature was read.
	TemperatureHalfWidthK float64
	// FaceHalfWidth is the doubt about which face was taken, zero when the face is certain.
	FaceHalfWidth length.Length
}

// DefaultConditions are those of a bench outdoors in mild weather; 5 K is common practice, no source.
var DefaultConditions = Conditions{TemperatureHalfWidthK: 5}

// alphaSteel is the linear expansion of steel per kelvin, bar and tape alike, from memory (EN 1993
// gives 12e-6, steel tapes are made for about 11.5e-6).
const alphaSteel = 11.5e-6

// Budget is the standard uncertainty of one measured characteristic by parts, in nanometres
// (JCGM 100:2008, 4.3 and 5.1.2: rectangular parts divided by the root of 3, combined as root sum of
// squares).
type Budget struct {
	Limit       float64 // gauge's permissible error / sqrt 3
	Resolution  float64 // resolution / sqrt 12
	Repeat      float64 // repeatability of a gauge study / sqrt of the readings; 0 where none is on record
	Band        float64 // friction half-band / sqrt 3
	Temperature float64
	Face        float64

	RepeatDOF int // degrees of freedom behind Repeat
}

// Combined is the standard uncertainty in nanometres.
func (b Budget) Combined() float64 {
	return math.Sqrt(b.Limit*b.Limit + b.Resolution*b.Resolution + b.Repeat*b.Repeat +
		b.Band*b.Band + b.Temperature*b.Temperature + b.Face*b.Face)
}

// The names of the parts of a budget, in the words of page and report.
const (
	PartLimit       = "allowed error of the gauge"
	PartResolution  = "resolution"
	PartRepeat      = "repeatability"
	PartBand        = "friction on the bench"
	PartTemperature = "temperature"
	PartFace        = "which face was taken"
)

// Parts are the parts in nanometres, those that are zero left out. All but the repeatability are bounds
// taken as known (JCGM 100:2008, G.4.3).
func (b Budget) Parts() []stats.Part {
	sure := math.Inf(1)
	var ps []stats.Part
	for _, p := range []stats.Part{
		{Name: PartLimit, U: b.Limit, Dof: sure}, {Name: PartResolution, U: b.Resolution, Dof: sure},
		{Name: PartRepeat, U: b.Repeat, Dof: float64(max(b.RepeatDOF, 1))}, {Name: PartBand, U: b.Band, Dof: sure},
		{Name: PartTemperature, U: b.Temperature, Dof: sure}, {Name: PartFace, U: b.Face, Dof: sure},
	} {
		if p.U > 0 {
			ps = append(ps, p)
		}
	}
	return ps
}

// Expand gives the effective degrees of freedom (Welch-Satterthwaite) and, for a two-sided coverage such
// as 0.95, the coverage factor from Student's t and the expanded uncertainty in nanometres (JCGM 100:2008,
// G.4.1). It fails for a coverage outside 0 to 1 and for a budget without parts.
func (b Budget) Expand(coverage float64) (stats.Combined, error) {
	return stats.Combine(coverage, b.Parts())
}

// BudgetShare is one part of a budget and its share of the variance, 0 to 1.
type BudgetShare struct {
	Name  string
	U     float64 // nanometres
	Share float64
}

// Shares are the parts, the largest first.
func (b Budget) Shares() []BudgetShare {
	var list []BudgetShare
	u := b.Combined()
	for _, p := range b.Parts() {
		list = append(list, BudgetShare{p.Name, p.U, p.U * p.U / (u * u)})
	}
	slices.SortStableFunc(list, func(a, b BudgetShare) int { return cmp.Compare(b.U, a.U) })
	return list
}

// Use is how a gauge is used for one value.
type Use struct {
	At       length.Length // about what is measured
	HalfBand length.Length // of the friction on the bench
	Face     length.Length // half-width of the doubt which face was taken
	Readings int           // averaged; 0 counts as one

	AlphaBar, AlphaTape float64      // linear expansion per kelvin
	EachK               float64      // half-width by which bar and tape may be off 20 °C, each by itself
	BothK               float64      // half-width by which both may be off 20 °C together
	Corrected           Temperatures // that At was corrected to 20 °C with; not read for a length as it was read
}

// NewBudget weighs a value that gauge g gave in use. The permissible error does not shrink with repeated
// readings: all of them share it. Nor does the band: a floppy rib rests anywhere inside it, and may rest on
// the same side each time.
func NewBudget(g Gauge, use Use) Budget {
	root3 := math.Sqrt(3)
	return Budget{
		Limit:       float64(g.PermissibleError(use.At)) / root3,
		Resolution:  float64(g.Resolution) / math.Sqrt(12),
		Repeat:      float64(g.RepeatSD) / math.Sqrt(float64(max(use.Readings, 1))),
		Band:        float64(use.HalfBand) / root3,
		Temperature: use.temperature(),
		Face:        float64(use.Face) / root3,
		RepeatDOF:   g.RepeatDOF,
	}
}

// temperature is the standard uncertainty that expansion leaves, in nanometres: L^2/3 times
// (aT^2+aB^2) hEach^2 + (aT-aB)^2 hBoth^2, and for a corrected length the doubt of the two expansions, which
// weighs with how far from 20 °C it was (JCGM 100:2008, 4.3.7 and 5.1.2).
func (u Use) temperature() float64 {
	each := math.Hypot(u.AlphaTape, u.AlphaBar) * u.EachK
	both := (u.AlphaTape - u.AlphaBar) * u.BothK
	grown := 0.0
	if u.Corrected.Read() {
		grown = alphaDoubt * math.Hypot(u.Corrected.Bar-20, u.Corrected.Tape-20)
	}
	return float64(magnitude(u.At)) * math.Sqrt((each*each+both*both+grown*grown)/3)
}

// use is how the bench takes a value: bar and tape of steel, which need not have the same temperature. What was
// read of the temperatures stands in for the half-width assumed.
func (c Conditions) use(at, halfBand length.Length, readings int, read Temperatures) Use {
	u := Use{At: at, HalfBand: halfBand, Face: c.FaceHalfWidth, Readings: readings,
		AlphaBar: alphaSteel, AlphaTape: alphaSteel, EachK: c.TemperatureHalfWidthK, Corrected: read}
	if read.Read() {
		u.EachK = read.Doubt
	}
	return u
}

// OneSided is an error that only ever works one way and is therefore shown beside the budget, not added to
// it as if it could cancel out.
type OneSided struct {
	Offset length.Length // how far off the straight line the tape lies at one end
	Long   length.Length // how much too long it then reads
}

// cosineOffset is how far off a tape is easily laid without being noticed, common practice, no source.
const cosineOffset = 20 * length.Millimetre

// cosine is what a tape reads too long over the length at when it lies 20 mm off the straight line, or is
// held that much out of square, and false for gauges that are not laid along a line. The tape never reads
// short of the length.
func cosine(g Gauge, at length.Length) (OneSided, bool) {
	if g.Kind == Caliper || magnitude(at) < 10*cosineOffset {
		return OneSided{}, false
	}
	long := stats.CosineExcess(float64(magnitude(at)), float64(cosineOffset))
	return OneSided{Offset: cosineOffset, Long: length.Length(math.Ceil(long))}, true
}
