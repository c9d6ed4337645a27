package log

// StudyStartedBody begins a gauge study on ribs of the open batch. The order of the steps was drawn from the
// seed, which comes from the chain value of the record before, so that nobody picks it; it stands here whole,
// so that it stays the same whatever draws orders later.
type StudyStartedBody struct {
	Study   string          `json:"study"`
	Batch   string          `json:"batch"`
	Char    string          `json:"char"`
	Gauge   string          `json:"gauge"`
	Ribs    []string        `json:"ribs"`
	Persons []string        `json:"persons"`
	Repeats int             `json:"repeats"`
	Seed    string          `json:"seed"` // 16 hex digits
	Steps   []StudyStepBody `json:"steps"`
	By      string          `json:"by,omitempty"`
	Keyed
}

// StudyStepBody is one step: rib and person counted from 0 in the lists, round from 1.
type StudyStepBody struct {
	Rib    int `json:"rib"`
	Person int `json:"person"`
	Round  int `json:"round"`
}

// StudyMeasuredBody binds a reading to a step of a study, counted from 1. It is no measurement of the rib.
type StudyMeasuredBody struct {
	ReadingBody
	Study    string `json:"study"`
	Step     int    `json:"step"`
	FromHeld int64  `json:"from_held,omitempty"`
	Keyed
}

// StudyTurnBody lets a study rest, go on, or end without a result; a cancelled one has a reason.
type StudyTurnBody struct {
	Study  string `json:"study"`
	Reason string `json:"reason,omitempty"`
	By     string `json:"by,omitempty"`
	Keyed
}

// StudyFinishedBody ends a study whose readings are whole. The repeatability found counts in the budget of
// the gauge from then on.
type StudyFinishedBody struct {
	Study     string `json:"study"`
	RepeatNM  int64  `json:"repeat_nm"`
	RepeatDOF int    `json:"repeat_dof"`
	By        string `json:"by,omitempty"`
	Keyed
}
