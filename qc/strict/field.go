package strict

import (
	"reflect"
	"slices"
	"strings"
)

// Field says what one field of an object is.
type Field struct {
	Name     string
	Doc      string
	Optional bool
}

// Fields lists the fields of a struct, those of embedded structs among them, in their order. What is no struct
// has none.
func Fields(t reflect.Type) []Field {
	if t.Kind() == reflect.Pointer {
		t = t.Elem()
	}
	if t.Kind() != reflect.Struct {
		return nil
	}
	var list []Field
	for _, f := range fields(reflect.New(t), nil) {
		list = append(list, Field{Name: f.name, Doc: f.tag.Get("doc"), Optional: f.tag.Get("need") == "no"})
	}
	return list
}

// field is a field of a struct to be filled.
type field struct {
	name  string
	tag   reflect.StructTag
	value reflect.Value
}

// fields adds the fields of a struct, or of the struct that a pointer leads to.
func fields(v reflect.Value, list []field) []field {
	if v.Kind() == reflect.Pointer {
		v = v.Elem()
	}
	for i := range v.NumField() {
		f := v.Type().Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		switch {
		case f.Anonymous && name == "" && f.Type.Kind() == reflect.Struct:
			list = fields(v.Field(i), list)
		case name != "" && name != "-" && f.IsExported():
			list = append(list, field{name, f.Tag, v.Field(i)})
		}
	}
	return list
}

func names(list []field) []string {
	var names []string
	for _, f := range list {
		names = append(names, f.name)
	}
	slices.Sort(names)
	return names
}
