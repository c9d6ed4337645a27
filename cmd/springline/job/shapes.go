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

func (r *reader) format(at, text string) wire.Format {
	f, err := ParseFormat(text)
	if err != nil {
		r.fail(at, "%v", err)
	}
	return f
}
