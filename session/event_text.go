package session

import (
	"strings"

	"springline/qc"
	"springline/qc/length"
)

// received is the reading as it came, with its unit.
func (r ReadingBody) received() string {
	if qc.Entry(r.Entry) == qc.Typed && strings.ContainsAny(r.Text, `abcdefghijklmnopqrstuvwxyz"'`) {
		return r.Text
	}
	return strings.TrimSpace(r.Text + " " + r.Unit)
}

// readBack is the reading as it came and what it was read as.
func (r ReadingBody) readBack() string {
	if qc.Entry(r.Entry) == qc.Typed {
		if u, ok := length.UnitNamed(r.Unit); ok {
			if e, err := length.Read(r.Text, length.Options{DefaultUnit: u, Signed: true}); err == nil && int64(e.Length) == r.ValueNM {
				return e.String()
			}
		}
	}
	if r.Unit == length.MM.String() {
		return r.received()
	}
	return r.received() + " = " + length.Length(r.ValueNM).String() + " mm"
}
