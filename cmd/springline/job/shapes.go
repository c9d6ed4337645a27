package job

import (
	"fmt"
	"strings"

	"springline/device/wire"
)

// ParseFormat reads the name of a common shape ([wire.NamedFormats]) or a format written as JSON.
func ParseFormat(text string) (wire.Format, error) {
	if strings.HasPrefix(strings.TrimSpace(text), "{") {
		return wire.ParseFormat([]byte(text))
	}
	f, ok := wire.NamedFormat(text)
	if !ok {
		var names []string
		for _, n := range wire.NamedFormats() {
			names = append(names, n.Name)
		}
		return f, fmt.Errorf("%q is no shape known here (%s) and no format as JSON", text, strings.Join(names, ", "))
	}
	return f, nil
}

// format gives the family of a format and its whole text as JSON.
func (r *reader) format(at, text string) (family, whole string) {
	f, err := ParseFormat(text)
	if err != nil {
		r.fail(at, "%v", err)
		return "", ""
	}
	b, err := f.MarshalJSON()
	if err != nil {
		r.fail(at, "cannot be written: %v", err)
	}
	return f.Family, string(b)
}
