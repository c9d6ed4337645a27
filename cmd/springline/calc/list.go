package calc

import (
	"fmt"
	"io"
	"reflect"
)

// Field describes one input or output field for `springline calc --list`.
type Field struct {
	Name     string
	Doc      string
	Optional bool
}

func fieldsOf[T any]() []Field {
	t := reflect.TypeFor[T]()
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil
	}
	var fs []Field
	for i := range t.NumField() {
		f := t.Field(i)
		if n := jsonName(f); n != "" {
			fs = append(fs, Field{Name: n, Doc: f.Tag.Get("doc"), Optional: f.Tag.Get("need") == "no"})
		}
	}
	return fs
}

// List prints every kind with its fields, units and sources.
func List(w io.Writer, kinds []Kind) error {
	for _, k := range kinds {
		if _, err := fmt.Fprintf(w, "%s\n    %s\n    source: %s\n", k.Name, k.Summary, k.Source); err != nil {
			return err
		}
		for _, part := range []struct {
			word string
			fs   []Field
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
