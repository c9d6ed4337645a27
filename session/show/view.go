package show

// View is everything the bench page shows, worked out by the bench: the page formats nothing and
// judges nothing. Texts are ready to read; numbers that the page draws with carry their unit in the
// name. One View belongs to one point of the record, (Epoch, Seq).
type View struct {
	Bench    string `json:"bench"`
	Epoch    int64  `json:"epoch"`
	Seq      int64  `json:"seq"`
	Software string `json:"software"`

	// Saved is false once a record could not be stored: the bench then takes nothing more and Fault
	// says what to do.
	Saved bool   `json:"saved"`
	Fault string `json:"fault,omitempty"`

	Batch   *BatchView   `json:"batch,omitempty"`
	Current *CurrentView `json:"current,omitempty"`
	Last    *LastView    `json:"last,omitempty"`
	Held    []HeldView   `json:"held"`
	Gauges  []GaugeView  `json:"gauges"`
	Ribs    []RibView    `json:"ribs"` // in bend order
	Pairs   *PairsView   `json:"pairs,omitempty"`
	Study   *StudyView   `json:"study,omitempty"`
	Offer   *StudyOffer  `json:"study_offer,omitempty"`
	Drift   *DriftView   `json:"drift,omitempty"` // nil before the first rib
	Jig     *JigView     `json:"jig,omitempty"`
	Notices []string     `json:"notices"` // latest first: refused frames, blunders asked about, drift
	Told    []NoticeView `json:"told"`    // what each of Notices is about
}

// NoticeView is what a notice is about: the record that it tells of, the gauge, if any, and the code of what is said.
type NoticeView struct {
	Seq   int64  `json:"seq"`
	Gauge string `json:"gauge,omitempty"`
	Code  string `json:"code"`
}

// BatchView is the heading.
type BatchView struct {
	ID          string           `json:"id"`
	Title       string           `json:"title"`
	Target      string           `json:"target"` // name and revision
	Bar         string           `json:"bar"`
	Rule        string           `json:"rule"` // "proven at 95 %" or "plain"
	Planned     int              `json:"planned"`
	Counts      map[string]int   `json:"counts"` // by verdict word
	Closed      bool             `json:"closed"`
	Lots        []string         `json:"lots"`
	Lot         string           `json:"lot"` // lot of the next rib
	Jig         string           `json:"jig"`
	Temperature *TemperatureView `json:"temperature,omitempty"` // nil once closed
}

// CurrentView is the rib on the bench and what to measure next.
type CurrentView struct {
	Rib     string     `json:"rib"`
	Number  int        `json:"number"` // bend order
	Lot     string     `json:"lot"`
	Round   int        `json:"round"`
	Version int64      `json:"version"` // seq of the rib's last record, for If-Match
	Next    *NextView  `json:"next,omitempty"`
	Steps   []StepView `json:"steps"` // the round in order
	Verdict string     `json:"verdict"`
	Reason  string     `json:"reason"`
	Action  string     `json:"action"` // what to do next, one sentence
	Shape   *ShapeView `json:"shape,omitempty"`
	Bar     string     `json:"bar,omitempty"` // the bar's length as measured, with what it makes of the legs
}

// NextView is the next open characteristic.
type NextView struct {
	Char    string `json:"char"`
	Label   string `json:"label"`
	Face    string `json:"face"`
	Want    string `json:"want"`  // nominal with unit
	Limit   string `json:"limit"` // "-6 to +6 mm"
	Gauge   string `json:"gauge"` // name of the gauge bound to it
	GaugeID string `json:"gauge_id"`
	Unit    string `json:"unit"`    // a bare typed number is read in this unit
	Reading int    `json:"reading"` // 1 of Of
	Of      int    `json:"of"`
	Signed  bool   `json:"signed"`
	Proof   string `json:"proof,omitempty"` // what the gauge can prove of it
	Hint    string `json:"hint"`            // "lift the rib, lay it again, read again"
}

// StepView is one characteristic of the round on the current rib.
type StepView struct {
	Char  string   `json:"char"`
	Label string   `json:"label"`
	Short string   `json:"short"`
	Lane  string   `json:"lane"` // "", "in", "out", "unsure", "skipped"
	Sign  string   `json:"sign"` // proud, shy or ""
	Value string   `json:"value"`
	Dev   string   `json:"dev"`
	Seqs  []Step   `json:"seqs"` // the measurements that count
	IsNow bool     `json:"is_now"`
	To20  string   `json:"to_20,omitempty"` // what correcting to 20 °C added
	Odd   *OddView `json:"odd,omitempty"`   // one of its readings stands out
}

// OddView is a reading that stands out from its repeats.
type OddView struct {
	Seq  int64  `json:"seq"`
	Text string `json:"text"`
}

// Step is one counted measurement behind a step.
type Step struct {
	Seq   int64  `json:"seq"`
	Value string `json:"value"`
	Gauge string `json:"gauge"`
	Typed bool   `json:"typed"`
}

// LastView is the last value that came in, stored, and what became of it.
type LastView struct {
	Seq   int64  `json:"seq"`
	Rib   string `json:"rib"`
	Char  string `json:"char"`
	Label string `json:"label"`
	Value string `json:"value"` // as received, with unit
	Read  string `json:"read"`  // read back: `6' 11 3/4" = 2127.3 mm`
	Dev   string `json:"dev"`
	Lane  string `json:"lane"`
	Sign  string `json:"sign"`
	To20  string `json:"to_20,omitempty"` // what correcting to 20 °C added
	Limit string `json:"limit"`
	Doubt string `json:"doubt"` // "±0.8 mm at 95 %"
	Typed bool   `json:"typed"`
}

// HeldView is a value that waits for a person.
type HeldView struct {
	Seq     int64  `json:"seq"`
	Rib     string `json:"rib"`
	Char    string `json:"char"`
	Label   string `json:"label"`
	Gauge   string `json:"gauge"`
	Value   string `json:"value"`
	Reason  string `json:"reason"`
	Ask     string `json:"ask"`
	Suggest string `json:"suggest"`          // another value that may be meant, empty when none
	Repeat  bool   `json:"repeat,omitempty"` // disagrees with its repeats: measure all again, or take it with a cause
	Study   string `json:"study,omitempty"`  // gauge study that it is for
}

// GaugeView is one gauge and its connection.
type GaugeView struct {
	ID       string   `json:"id"`
	Name     string   `json:"name"`
	State    string   `json:"state"` // reading, connecting, unplugged, busy, no permission, fault, ended, typed
	Detail   string   `json:"detail"`
	Measures []string `json:"measures"`
	Address  string   `json:"address,omitempty"` // where it is connected
	Kind     string   `json:"kind,omitempty"`    // tape class I, from its end; reads in mm
	Overdue  bool     `json:"overdue,omitempty"` // its check is not in date, or failed
	Check    string   `json:"check"`             // in date until ..., check overdue, never checked
	LastText string   `json:"last"`              // last value shown, even one that did not count, and when it came
	Value    string   `json:"value,omitempty"`   // that value alone, and its unit
	Unit     string   `json:"unit,omitempty"`
	Received int64    `json:"received,omitempty"` // values that came since the program was started
	Unsure   bool     `json:"unsure,omitempty"`   // like adapters may have been exchanged; Detail says more
}

// RibView is one line of the batch table.
type RibView struct {
	Rib     string     `json:"rib"`
	Number  int        `json:"number"`
	Lot     string     `json:"lot"`
	Round   int        `json:"round"`
	Verdict string     `json:"verdict"`
	Reason  string     `json:"reason"`
	Worst   string     `json:"worst"`
	Cells   []CellView `json:"cells"` // in the order of the round
	Pair    string     `json:"pair"`  // partner, "spare" or ""
	Version int64      `json:"version"`
}

// CellView is one deviation in the batch table.
type CellView struct {
	Char string `json:"char"`
	Dev  string `json:"dev"`
	Lane string `json:"lane"`
	// DevUM and LimitUM are for drawing only.
	DevUM   int64 `json:"dev_um"`
	LimitUM int64 `json:"limit_um"`
}
