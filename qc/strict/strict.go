package strict

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"reflect"
	"slices"
	"strconv"
	"strings"
)

// Decode reads one JSON value into dst, a pointer. Errors are *Error. Pointers and json.RawMessage accept null.
func Decode(raw []byte, dst any) error {
	one, err := single(raw)
	if err != nil {
		return err
	}
	return fill(one, reflect.ValueOf(dst).Elem(), "", field{})
}

// single is the one JSON value that raw consists of.
func single(raw []byte) (one json.RawMessage, err error) {
	dec := json.NewDecoder(bytes.NewReader(raw))
	if err := dec.Decode(&one); err != nil {
		return nil, Refuse(CodeBadJSON, "", "the line is not a JSON value: %v", err)
	}
	if len(bytes.TrimSpace(raw[dec.InputOffset():])) > 0 {
		return nil, Refuse(CodeBadJSON, "", "something follows the JSON value")
	}
	return one, nil
}

// Object is a JSON object taken apart and not yet read.
type Object struct {
	names  []string // in order of appearance
	values map[string]json.RawMessage
}

// Parse takes the one JSON object apart that raw consists of. A repeated name, which encoding/json would let the
// last one win, is an error.
func Parse(raw []byte) (Object, error) {
	one, err := single(raw)
	if err != nil {
		return Object{}, err
	}
	return object(one, "")
}

// Text is the text under a name; empty when there is none.
func (o Object) Text(name string) (text string, err error) {
	if raw, ok := o.values[name]; ok {
		err = fill(raw, reflect.ValueOf(&text).Elem(), name, field{})
	}
	return text, err
}

// Fill reads the object into several structs, given as pointers, which share its fields.
func (o Object) Fill(dst ...any) error {
	var known []field
	for _, d := range dst {
		known = fields(reflect.ValueOf(d), known)
	}
	return o.fill(known, "")
}

var rawType = reflect.TypeOf(json.RawMessage(nil))

func fill(raw json.RawMessage, v reflect.Value, path string, f field) error {
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
		return fill(raw, v.Elem(), path, f)
	}
	if isNull {
		return Refuse(CodeBadType, path, "is null; give a value")
	}
	switch v.Kind() {
	case reflect.Struct:
		o, err := object(raw, path)
		if err != nil {
			return err
		}
		return o.fill(fields(v, nil), path)
	case reflect.Slice, reflect.Array:
		var parts []json.RawMessage
		if err := json.Unmarshal(raw, &parts); err != nil {
			return Refuse(CodeBadType, path, "must be a list")
		}
		if v.Kind() == reflect.Array {
			if len(parts) != v.Len() {
				return Refuse(CodeBadType, path, "must be a list of %d", v.Len())
			}
		} else {
			v.Set(reflect.MakeSlice(v.Type(), len(parts), len(parts)))
		}
		for i, p := range parts {
			if err := fill(p, v.Index(i), fmt.Sprintf("%s[%d]", path, i), f); err != nil {
				return err
			}
		}
		return nil
	case reflect.Map:
		o, err := object(raw, path)
		if err != nil {
			return err
		}
		v.Set(reflect.MakeMap(v.Type()))
		for _, n := range o.names {
			e := reflect.New(v.Type().Elem()).Elem()
			if err := fill(o.values[n], e, Join(path, n), f); err != nil {
				return err
			}
			v.SetMapIndex(reflect.ValueOf(n), e)
		}
		return nil
	case reflect.Float64:
		n, err := strconv.ParseFloat(string(raw), 64)
		if !isNumber(raw) {
			return Refuse(CodeBadType, path, "must be a number, not %s", Brief(raw))
		}
		if err != nil || math.IsInf(n, 0) {
			return Refuse(CodeRange, path, "%s is beyond what can be computed with", Brief(raw))
		}
		v.SetFloat(n)
		return nil
	case reflect.Int, reflect.Int64, reflect.Int32:
		if !isNumber(raw) {
			return Refuse(CodeBadType, path, "must be a whole number, not %s", Brief(raw))
		}
		i, err := strconv.ParseInt(string(raw), 10, 64)
		if err != nil || v.OverflowInt(i) {
			// 5.0 and 1e3 are whole numbers too.
			n, ferr := strconv.ParseFloat(string(raw), 64)
			if ferr != nil || n != math.Trunc(n) || math.Abs(n) >= 1<<53 || v.OverflowInt(int64(n)) {
				return Refuse(CodeBadType, path, "%s is not a whole number in range", Brief(raw))
			}
			i = int64(n)
		}
		v.SetInt(i)
		return f.check(path, v)
	default:
		if err := json.Unmarshal(raw, v.Addr().Interface()); err != nil {
			return Refuse(CodeBadType, path, "must be a %s, not %s", wordFor(v.Type()), Brief(raw))
		}
		return f.check(path, v)
	}
}

// fill reads the object into fields in the order in which the structs have them.
func (o Object) fill(known []field, path string) error {
	for _, n := range o.names {
		if !slices.ContainsFunc(known, func(f field) bool { return f.name == n }) {
			return Refuse(CodeUnknown, Join(path, n), "is not a field here; the fields are %s", strings.Join(names(known), ", "))
		}
	}
	for _, f := range known {
		part, ok := o.values[f.name]
		switch optional := f.tag.Get("need") == "no"; {
		case optional && (!ok || string(bytes.TrimSpace(part)) == "null"):
			continue
		case !ok:
			return Refuse(CodeMissing, Join(path, f.name), "is missing")
		}
		if err := fill(part, f.value, Join(path, f.name), f); err != nil {
			return err
		}
	}
	return nil
}

// object takes a JSON object apart.
func object(raw json.RawMessage, path string) (Object, error) {
	dec := json.NewDecoder(bytes.NewReader(raw))
	tok, err := dec.Token()
	if d, ok := tok.(json.Delim); err != nil || !ok || d != '{' {
		return Object{}, Refuse(CodeBadType, path, "must be an object with named fields")
	}
	o := Object{values: map[string]json.RawMessage{}}
	for dec.More() {
		tok, err := dec.Token()
		if err != nil {
			return Object{}, Refuse(CodeBadJSON, path, "%v", err)
		}
		name, _ := tok.(string)
		var part json.RawMessage
		if err := dec.Decode(&part); err != nil {
			return Object{}, Refuse(CodeBadJSON, Join(path, name), "%v", err)
		}
		if _, twice := o.values[name]; twice {
			return Object{}, Refuse(CodeRepeated, Join(path, name), "stands twice")
		}
		o.names = append(o.names, name)
		o.values[name] = part
	}
	return o, nil
}

func isNumber(raw []byte) bool {
	return len(raw) > 0 && (raw[0] == '-' || raw[0] >= '0' && raw[0] <= '9')
}

// Brief is the beginning of a value, for a sentence about it.
func Brief(raw []byte) string {
	if len(raw) > 40 {
		return string(raw[:37]) + "..."
	}
	return string(raw)
}

// Join is the path of a field of the object at path.
func Join(path, name string) string {
	if path == "" {
		return name
	}
	return path + "." + name
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
