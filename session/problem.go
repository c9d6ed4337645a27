package session

// Problem is an error as the page and a script read it (RFC 9457, application/problem+json). Saved is
// always false: whatever was asked did not enter the record.
type Problem struct {
	Type   string `json:"type"` // about:blank; Code tells the kind
	Title  string `json:"title"`
	Status int    `json:"status"`
	Detail string `json:"detail"`
	Code   string `json:"code"`
	Field  string `json:"field,omitempty"`
	Do     string `json:"do,omitempty"` // what to do about it
	Saved  bool   `json:"saved"`
	Both   *Sides `json:"both,omitempty"` // on a conflict
}

// Sides are both sides of a conflict: the rib's version that the command was decided on and what was to
// be done, the version now and what is there.
type Sides struct {
	Yours     int64  `json:"yours"`
	YourValue string `json:"your_value"`
	Now       int64  `json:"now"`
	ValueThen string `json:"value_now"`
}
