package job

import (
	"strings"

	"springline/device/wire"
)

// format reads the name of a common shape ([wire.NamedFormats]) or a format written as JSON.
func (r *reader) format(at, text string) wire.Format {
	if strings.HasPrefix(strings.TrimSpace(text), "{") {
		f, err := wire.ParseFormat([]byte(text))
		if err != nil {
			r.fail(at, "%v", err)
		}
		return f
	}
	f, ok := wire.NamedFormat(text)
	if !ok {
		var names []string
		for _, n := range wire.NamedFormats() {
			names = append(names, n.Name)
		}
		r.fail(at, "%q is no shape known here (%s) and no format as JSON", text, strings.Join(names, ", "))
	}
	return f
}
