package reports

import (
	"encoding/json"
	"io"
)

// WriteJSON writes the report's document, indented, with a line end.
func WriteJSON(w io.Writer, m Model) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(m.Document)
}
