package calc

import (
	"fmt"
	"io"

	"springline/qc/strict"
)

// List prints every kind with its fields, units and sources.
func List(w io.Writer, kinds []Kind) error {
	for _, k := range kinds {
		if _, err := fmt.Fprintf(w, "%s\n    %s\n    source: %s\n", k.Name, k.Summary, k.Source); err != nil {
			return err
		}
		for _, part := range []struct {
			word string
			fs   []strict.Field
		}{{"in ", k.In}, {"out", k.Out}} {
			for _, f := range part.fs {
				opt := ""
				if f.Optional {
					opt = " (optional)"
				}
				if _, err := fmt.Fprintf(w, "    %s  %s%s  %s\n", part.word, f.Name, opt, f.Doc); err != nil {
					return err
				}
			}
		}
	}
	return nil
}
