package show

// StudyView is the gauge study that is open or that ended last in this batch. While it runs no reading is
// shown: who measures must not know what was read before.
type StudyView struct {
	ID      string   `json:"id"`
	State   string   `json:"state"`   // running, paused, complete, finished, cancelled
	Version int64    `json:"version"` // seq of its last record, for commands
	Char    string   `json:"char"`
	Label   string   `json:"label"` // "tip-to-tip, centre"
	Gauge   string   `json:"gauge"`
	GaugeID string   `json:"gauge_id"`
	Unit    string   `json:"unit"` // a bare typed number is read in this unit
	Signed  bool     `json:"signed"`
	Ribs    []string `json:"ribs"`
	Persons []string `json:"persons"`
	Repeats int      `json:"repeats"`
	Done    int      `json:"done"` // of Of steps
	Of      int      `json:"of"`
	Say     string   `json:"say"`              // what becomes of readings now, or of the study: one sentence
	Reason  string   `json:"reason,omitempty"` // why it was cancelled

	Step     *StudyStepView     `json:"step,omitempty"`     // to be measured now
	Result   *StudyResultView   `json:"result,omitempty"`   // once complete
	Readings []StudyReadingView `json:"readings,omitempty"` // once complete, by rib and person; withdrawn ones too
}

// StudyStepView is the step to be measured now.
type StudyStepView struct {
	Step   int    `json:"step"` // from 1
	Rib    string `json:"rib"`
	Person string `json:"person"`
	Round  int    `json:"round"`
	Do     string `json:"do"`    // one sentence
	Again  bool   `json:"again"` // its reading was withdrawn
}

// StudyResultView is the result in words.
type StudyResultView struct {
	Word    string      `json:"word"`
	Verdict string      `json:"verdict"`
	Help    string      `json:"help"`
	Lines   []StudyLine `json:"lines"`
	Table   []StudyRow  `json:"table"` // analysis of variance
	// What a script may want as numbers; lengths in nanometres.
	RepeatNM   int64   `json:"repeat_nm"`
	RepeatDOF  int     `json:"repeat_dof"`
	GaugeNM    int64   `json:"gauge_nm"`
	GaugeMost  int64   `json:"gauge_most_nm"` // not exceeded with 95 %
	Tolerance  float64 `json:"share_of_tolerance_percent"`
	Categories int     `json:"classes"`
}

// StudyLine is one line of a result.
type StudyLine struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

// StudyRow is one line of the analysis of variance, in square millimetres; F and P are empty where a line
// is not tested.
type StudyRow struct {
	Source string `json:"source"`
	DOF    int    `json:"dof"`
	SS     string `json:"ss"`
	MS     string `json:"ms"`
	F      string `json:"f"`
	P      string `json:"p"`
}

// StudyReadingView is one reading of a study that is complete.
type StudyReadingView struct {
	Seq    int64  `json:"seq"`
	Step   int    `json:"step"`
	Rib    string `json:"rib"`
	Person string `json:"person"`
	Round  int    `json:"round"`
	Value  string `json:"value"`
	Voided string `json:"voided,omitempty"` // why it was withdrawn
}

// StudyOffer is what a new study can be made of; nil while one is open.
type StudyOffer struct {
	Chars      []StudyChar `json:"chars"`
	Ribs       []string    `json:"ribs"`
	LeastRibs  int         `json:"least_ribs"`
	MostRibs   int         `json:"most_ribs"`
	Most       int         `json:"most_persons"`
	MostReads  int         `json:"most_repeats"`
	LeastReads int         `json:"least_repeats"`
	LeastDOF   int         `json:"least_dof"`
}

// StudyChar is a characteristic and the gauges bound to it.
type StudyChar struct {
	Char   string       `json:"char"`
	Label  string       `json:"label"`
	Gauges []StudyGauge `json:"gauges"`
}

// StudyGauge names a gauge.
type StudyGauge struct {
	ID   string `json:"id"`
	Name string `json:"name"`
}
