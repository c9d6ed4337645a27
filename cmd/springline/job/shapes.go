package job

import (
	"strings"

	"springline/device/wire"
)

// shapes names common ways of sending by their shape, for job files.
var shapes = map[string]func() wire.Format{
	"line-mm":   func() wire.Format { f := wire.DefaultFormat(wire.Line); f.Unit = "fixed:mm"; return f },
	"line-in":   func() wire.Format { f := wire.DefaultFormat(wire.Line); f.Unit = "fixed:in"; return f },
	"line-unit": func() wire.Format { f := wire.DefaultFormat(wire.Line); f.Unit = "required"; return f },
	"keyboard-mm": func() wire.Format {
		f := wire.DefaultFormat(wire.Keyboard)
		f.Unit = "fixed:mm"
		return f
	},
}

// format reads a shape's name or a format written as JSON.
func (r *reader) format(at, text string) wire.Format {
	if strings.HasPrefix(strings.TrimSpace(text), "{") {
		f, err := wire.ParseFormat([]byte(text))
		if err != nil {
			r.fail(at, "%v", err)
		}
		return f
	}
	make, ok := shapes[text]
	if !ok {
		r.fail(at, "%q is no shape known here (line-mm, line-in, line-unit, keyboard-mm) and no format as JSON", text)
		return wire.Format{}
	}
	return make()
}
