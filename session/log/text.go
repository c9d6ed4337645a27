package log

import (
	"strings"

	"springline/qc"
	"springline/qc/length"
)

// Received is the reading as it came, with its unit.
func (r ReadingBody) Received() string {
	if qc.Entry(r.Entry) == qc.Typed && strings.ContainsAny(r.Text, `abcdefghijklmnopqrstuvwxyz"'`) {
		return r.Text
	}
	return strings.TrimSpace(r.Text + " " + r.Unit)
}

// ReadBack is the reading as it came and what it was read as.
func (r ReadingBody) ReadBack() string {
	if qc.Entry(r.Entry) == qc.Typed {
		if u, ok := length.UnitNamed(r.Unit); ok {
			if e, err := length.Read(r.Text, length.Options{DefaultUnit: u, Signed: true}); err == nil && int64(e.Length) == r.ValueNM {
				return e.String()
			}
		}
	}
	if r.Unit == length.MM.String() {
		return r.Received()
	}
	return r.Received() + " = " + length.Length(r.ValueNM).String() + " mm"
}
