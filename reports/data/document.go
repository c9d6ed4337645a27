package data

// Schema names the JSON form. The number after the slash changes when a field changes its meaning or
// goes; new fields may come without.
const Schema = "springline.report/1"

// ument is the report for programs. Lengths are whole nanometres (_nm) with their exact decimal
// text in millimetres beside them (_mm); times are RFC 3339; there are no binary fractions.
type Document struct {
	Schema       string    `json:"schema"`
	Report       string    `json:"report"`
	Software     string    `json:"software"`
	Batch        Batch     `json:"batch"`
	Rule         Rule      `json:"decision_rule"`
	Target       Target    `json:"target"`
	Gauges       []Gauge   `json:"gauges"`
	Verdicts     []Count   `json:"verdicts"`
	Ribs         []Rib     `json:"ribs"`
	Pairs        []Pair    `json:"pairs"`
	RunOrder     *Order    `json:"run_order,omitempty"`
	Spares       []string  `json:"spares"`
	SpareWhy     []string  `json:"spare_reasons,omitempty"` // of each spare, in that order
	Counts       Counts    `json:"counts"`
	Measurements []Measure `json:"measurements"`
	Budgets      []Budget  `json:"uncertainty_budgets"`
	Jig          Jig       `json:"jig_in_bend_order"`
	Fit          []Fit     `json:"ribs_off_the_jig"`
	Studies      []Study   `json:"gauge_studies,omitempty"`
	Record       Record    `json:"record"`
}

// Batch is the heading.
type Batch struct {
	ID      string `json:"id"`
	Title   string `json:"title"`
	Place   string `json:"place"`
	Maker   string `json:"maker"`
	Planned int    `json:"planned"`
	Lots    []Lot  `json:"lots"`
	Opened  string `json:"opened,omitempty"`
	Closed  string `json:"closed,omitempty"`
	AsOf    string `json:"as_of"`
}

// Lot is a stock lot.
type Lot struct {
	ID    string `json:"id"`
	Heat  string `json:"heat"`
	Grade string `json:"grade"`
	BarNM int64  `json:"bar_length_nm"`
	BarMM string `json:"bar_length_mm"`
}

// Rule is the decision rule.
type Rule struct {
	Rule       string   `json:"rule"`
	Confidence string   `json:"confidence"`
	Guard      string   `json:"guard_factor"` // times the standard uncertainty
	Covers     []string `json:"covers"`
	Limits     string   `json:"limits"`
}

// Target is the wanted rib.
type Target struct {
	ID         string `json:"id"`
	Revision   int    `json:"revision"`
	Name       string `json:"name"`
	Grade      string `json:"grade"`
	Face       string `json:"face"`
	DiameterNM int64  `json:"bar_diameter_nm"`
	DiameterMM string `json:"bar_diameter_mm"`
	LegNM      int64  `json:"leg_nm"`
	LegMM      string `json:"leg_mm"`
	ArcNM      int64  `json:"arc_nm"`
	ArcMM      string `json:"arc_mm"`
	RadiusNM   int64  `json:"radius_nm"`
	RadiusMM   string `json:"radius_mm"`
	Round      []Char `json:"characteristics"`
}

// Char is a characteristic with its limits.
type Char struct {
	ID        string `json:"id"`
	Label     string `json:"label"`
	Kind      string `json:"kind"`
	Face      string `json:"face"`
	NominalNM int64  `json:"wanted_nm"`
	NominalMM string `json:"wanted_mm"`
	LowerNM   int64  `json:"lower_limit_nm"`
	LowerMM   string `json:"lower_limit_mm"`
	UpperNM   int64  `json:"upper_limit_nm"`
	UpperMM   string `json:"upper_limit_mm"`
	Readings  int    `json:"readings"`
	Places    int    `json:"printed_decimals"`
}

// Gauge is a gauge as of the report.
type Gauge struct {
	ID           string   `json:"id"`
	Name         string   `json:"name"`
	Kind         string   `json:"kind"`
	Class        string   `json:"class,omitempty"`
	Unit         string   `json:"unit"`
	ResolutionNM int64    `json:"resolution_nm"`
	ResolutionMM string   `json:"resolution_mm"`
	Measures     []string `json:"measures"`
	Checked      string   `json:"checked,omitempty"`
	Due          string   `json:"due,omitempty"`
	State        string   `json:"state"`
	Note         string   `json:"note,omitempty"`
}

// Count is the number of ribs with a verdict.
type Count struct {
	Verdict string `json:"verdict"`
	Ribs    int    `json:"ribs"`
}

// Rib is a rib with its verdict, out of tolerance first.
type Rib struct {
	ID        string      `json:"id"`
	Order     int         `json:"bend_order"`
	Lot       string      `json:"lot"`
	Jig       string      `json:"jig"`
	Round     int         `json:"round"`
	Verdict   string      `json:"verdict"`
	Direction string      `json:"direction,omitempty"`
	Worst     string      `json:"worst,omitempty"`
	Reason    string      `json:"reason"`
	Chars     []Deviation `json:"deviations"`
}

// Deviation is one characteristic of a rib. Lane is in, out, unsure, open or skipped; the numbers
// stand only where it was measured.
type Deviation struct {
	Char       string   `json:"characteristic"`
	Lane       string   `json:"lane"`
	Numbers    *Numbers `json:"numbers,omitempty"`
	Gauge      string   `json:"gauge,omitempty"`
	Conformity string   `json:"conformity_probability,omitempty"` // of the true value being within the limits
}

// Numbers of a deviation. U is 2 u.
type Numbers struct {
	ValueNM     int64  `json:"measured_nm"`
	ValueMM     string `json:"measured_mm"`
	DeviationNM int64  `json:"deviation_nm"`
	DeviationMM string `json:"deviation_mm"`
	StandardNM  int64  `json:"standard_uncertainty_nm"`
	ExpandedNM  int64  `json:"expanded_uncertainty_nm"`
	ExpandedMM  string `json:"expanded_uncertainty_mm"`
	GuardNM     int64  `json:"guard_nm"`
	HalfBandNM  int64  `json:"friction_half_band_nm"`
	Readings    int    `json:"readings"`
}

// Pair is a confirmed pair.
type Pair struct {
	Left        string `json:"left"`
	Right       string `json:"right"`
	Flip        bool   `json:"right_turned_end_for_end"`
	MismatchNM  int64  `json:"mismatch_nm"`
	MismatchMM  string `json:"mismatch_mm"`
	TagLegs     string `json:"tag_legs"` // of the left and of the right rib: they stand on one side
	Locked      bool   `json:"locked,omitempty"`
	ConfirmedBy string `json:"confirmed_by"`
	At          string `json:"at,omitempty"`
}

// Order is the confirmed order of the pairs along the structure.
type Order struct {
	Pairs       []Stand `json:"pairs"`
	LengthNM    int64   `json:"length_nm"`
	LowerBound  int64   `json:"lower_bound_nm"` // no order has smaller steps in all
	ConfirmedBy string  `json:"confirmed_by"`
	At          string  `json:"at,omitempty"`
}

// Stand is one pair in the run order.
type Stand struct {
	Left   string `json:"left"`
	Right  string `json:"right"`
	Turned bool   `json:"turned_end_for_end"`
}

// Counts says how the values came about.
type Counts struct {
	Measured  int `json:"measured"`
	Again     int `json:"taken_again"`
	Voided    int `json:"voided"`
	Typed     int `json:"typed"`
	Held      int `json:"held"`
	Refused   int `json:"refused"`
	Skipped   int `json:"skipped"`
	Discarded int `json:"discarded"`
}

// Measure is one value on record, in bend order of its rib and then as recorded.
type Measure struct {
	Seq        int64  `json:"record"`
	At         string `json:"at"`
	Rib        string `json:"rib"`
	Char       string `json:"characteristic"`
	Round      int    `json:"round"`
	ValueNM    int64  `json:"value_nm"`
	ValueMM    string `json:"value_mm"`
	Received   string `json:"received"`
	Unit       string `json:"unit"`
	Gauge      string `json:"gauge"`
	Entry      string `json:"entry"`
	By         string `json:"by"`
	State      string `json:"state"` // counts, voided or replaced
	VoidReason string `json:"void_reason,omitempty"`
	Cause      string `json:"cause,omitempty"`      // why it counts although it disagrees with its repeats
	To20NM     int64  `json:"to_20_c_nm,omitempty"` // what correcting to 20 °C adds
}

// Record is the stretch of the record behind the report.
type Record struct {
	Bench string `json:"bench"`
	Epoch int64  `json:"epoch"`
	First int64  `json:"first"`
	Last  int64  `json:"last"`
	Head  string `json:"head_sha256"`
}
