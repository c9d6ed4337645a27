package strict

import (
	"bytes"
	"encoding/json"
	"reflect"
)

// Encode writes structs into one object, as [Object.Fill] takes it apart: every field in its order, but the
// optional ones that are zero.
func Encode(src ...any) ([]byte, error) {
	var out bytes.Buffer
	for _, s := range src {
		for _, f := range fields(reflect.ValueOf(s), nil) {
			if f.tag.Get("need") == "no" && f.value.IsZero() {
				continue
			}
			text, err := json.Marshal(f.value.Interface())
			if err != nil {
				return nil, err
			}
			before := byte(',')
			if out.Len() == 0 {
				before = '{'
			}
			out.WriteByte(before)
			out.WriteString(`"` + f.name + `":`)
			out.Write(text)
		}
	}
	if out.Len() == 0 {
		out.WriteByte('{')
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}
