package calc

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"sort"
	"strconv"
	"strings"
)

// Decode reads one JSON value into dst, a pointer, more strictly than encoding/json: unknown,
// repeated and missing fields, nulls where a value is needed, numbers that overflow or are not whole
// where a whole number is needed, and anything after the value are errors that name the field by its
// path. A field is optional when its tag says `need:"no"`; pointers and json.RawMessage accept null.
func Decode(raw []byte, dst any) error {
	dec := json.NewDecoder(bytes.NewReader(raw))
	var one json.RawMessage
	if err := dec.Decode(&one); err != nil {
		return Refuse("bad_json", "", "the line is not a JSON value: %v", err)
	}
	if len(bytes.TrimSpace(raw[dec.InputOffset():])) > 0 {
		return Refuse("bad_json", "", "something follows the JSON value")
	}
	return fill(one, reflect.ValueOf(dst).Elem(), "")
}

var rawType = reflect.TypeOf(json.RawMessage(nil))

func fill(raw json.RawMessage, v reflect.Value, path string) error {
	raw = bytes.TrimSpace(raw)
	isNull := string(raw) == "null"
	if v.Type() == rawType {
		v.SetBytes(append([]byte(nil), raw...))
		return nil
	}
	if v.Kind() == reflect.Pointer {
		if isNull {
			v.SetZero()
			return nil
		}
		v.Set(reflect.New(v.Type().Elem()))
		return fill(raw, v.Elem(), path)
	}
	if isNull {
		return Refuse("bad_type", path, "is null; give a value")
	}
	switch v.Kind() {
	case reflect.Struct:
		return fillStruct(raw, v, path)
	case reflect.Slice, reflect.Array:
		var parts []json.RawMessage
		if err := json.Unmarshal(raw, &parts); err != nil {
			return Refuse("bad_type", path, "must be a list")
		}
		if v.Kind() == reflect.Array {
			if len(parts) != v.Len() {
				return Refuse("bad_type", path, "must be a list of %d", v.Len())
			}
		} else {
			v.Set(reflect.MakeSlice(v.Type(), len(parts), len(parts)))
		}
		for i, p := range parts {
			if err := fill(p, v.Index(i), fmt.Sprintf("%s[%d]", path, i)); err != nil {
				return err
			}
		}
		return nil
	case reflect.Map:
		names, values, err := object(raw, path)
		if err != nil {
			return err
		}
		v.Set(reflect.MakeMap(v.Type()))
		for _, n := range names {
			e := reflect.New(v.Type().Elem()).Elem()
			if err := fill(values[n], e, join(path, n)); err != nil {
				return err
			}
			v.SetMapIndex(reflect.ValueOf(n), e)
		}
		return nil
	case reflect.Float64:
		f, err := strconv.ParseFloat(string(raw), 64)
		if !isNumber(raw) {
			return Refuse("bad_type", path, "must be a number, not %s", brief(raw))
		}
		if err != nil || math.IsInf(f, 0) {
			return Refuse("out_of_range", path, "%s is beyond what can be computed with", brief(raw))
		}
		v.SetFloat(f)
		return nil
	case reflect.Int, reflect.Int64, reflect.Int32:
		if !isNumber(raw) {
			return Refuse("bad_type", path, "must be a whole number, not %s", brief(raw))
		}
		i, err := strconv.ParseInt(string(raw), 10, 64)
		if err != nil || v.OverflowInt(i) {
			// 5.0 and 1e3 are whole numbers too.
			f, ferr := strconv.ParseFloat(string(raw), 64)
			if ferr != nil || f != math.Trunc(f) || math.Abs(f) >= 1<<53 || v.OverflowInt(int64(f)) {
				return Refuse("bad_type", path, "%s is not a whole number in range", brief(raw))
			}
			i = int64(f)
		}
		v.SetInt(i)
		return nil
	default:
		if err := json.Unmarshal(raw, v.Addr().Interface()); err != nil {
			return Refuse("bad_type", path, "must be a %s, not %s", wordFor(v.Type()), brief(raw))
		}
		return nil
	}
}

func fillStruct(raw json.RawMessage, v reflect.Value, path string) error {
	names, values, err := object(raw, path)
	if err != nil {
		return err
	}
	t := v.Type()
	known := make(map[string]int, t.NumField())
	for i := range t.NumField() {
		if n := jsonName(t.Field(i)); n != "" {
			known[n] = i
		}
	}
	for _, n := range names {
		if _, ok := known[n]; !ok {
			return Refuse("unknown_field", join(path, n), "is not a field here; the fields are %s", strings.Join(sortedKeys(known), ", "))
		}
	}
	for i := range t.NumField() {
		n := jsonName(t.Field(i))
		if n == "" {
			continue
		}
		part, ok := values[n]
		if !ok {
			if t.Field(i).Tag.Get("need") == "no" {
				continue
			}
			return Refuse("missing_field", join(path, n), "is missing")
		}
		if string(bytes.TrimSpace(part)) == "null" && t.Field(i).Tag.Get("need") == "no" {
			continue
		}
		if err := fill(part, v.Field(i), join(path, n)); err != nil {
			return err
		}
	}
	return nil
}

// object splits a JSON object into its fields in order of appearance and refuses a repeated name,
// which encoding/json would let the last one win.
func object(raw json.RawMessage, path string) ([]string, map[string]json.RawMessage, error) {
	dec := json.NewDecoder(bytes.NewReader(raw))
	tok, err := dec.Token()
	if d, ok := tok.(json.Delim); err != nil || !ok || d != '{' {
		return nil, nil, Refuse("bad_type", path, "must be an object with named fields")
	}
	var names []string
	values := map[string]json.RawMessage{}
	for dec.More() {
		tok, err := dec.Token()
		if err != nil {
			return nil, nil, Refuse("bad_json", path, "%v", err)
		}
		name, _ := tok.(string)
		var part json.RawMessage
		if err := dec.Decode(&part); err != nil {
			return nil, nil, Refuse("bad_json", join(path, name), "%v", err)
		}
		if _, twice := values[name]; twice {
			return nil, nil, Refuse("repeated_field", join(path, name), "stands twice")
		}
		names = append(names, name)
		values[name] = part
	}
	return names, values, nil
}

func isNumber(raw []byte) bool {
	return len(raw) > 0 && (raw[0] == '-' || raw[0] >= '0' && raw[0] <= '9')
}

func brief(raw []byte) string {
	if len(raw) > 40 {
		return string(raw[:37]) + "..."
	}
	return string(raw)
}

func join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
}

func sortedKeys(m map[string]int) []string {
	ks := make([]string, 0, len(m))
	for k := range m {
		ks = append(ks, k)
	}
	sort.Strings(ks)
	return ks
}

func jsonName(f reflect.StructField) string {
	n, _, _ := strings.Cut(f.Tag.Get("json"), ",")
	if n == "-" || !f.IsExported() {
		return ""
	}
	return n
}

func wordFor(t reflect.Type) string {
	switch t.Kind() {
	case reflect.String:
		return "text"
	case reflect.Bool:
		return "true or false"
	default:
		return t.String()
	}
}
