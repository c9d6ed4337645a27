package data

import (
	"encoding/json"
	"io"
)

// WriteJSON writes the document, indented, with a line end.
func WriteJSON(w io.Writer, d Document) error {
	e := json.NewEncoder(w)
	e.SetEscapeHTML(false)
	e.SetIndent("", "  ")
	return e.Encode(d)
}
