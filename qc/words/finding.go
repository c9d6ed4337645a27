package words

import (
	"bytes"
	"encoding/json"
	"fmt"
	"reflect"
)

// Code names what was found. It goes on record: it is never changed and never used for anything else.
type Code string

// Finding is something that was found and that a person is told, as a code with typed arguments. Each is a
// struct; its fields are the arguments, of integers with their unit in the JSON name, ids, texts from
// outside and lists of these.
type Finding interface{ Code() Code }

// Prose is a sentence that was made before it came here: what an older record says, word for word.
// It is never written to a record.
type Prose struct{ Text string }

// Code of a text without one.
func (Prose) Code() Code { return "prose" }

// Unknown is a finding of a later release.
type Unknown struct {
	Named Code
	Args  string // as they stand on the record
}

// Code as it stands on the record.
func (u Unknown) Code() Code { return u.Named }

// Encode is a finding for the record: {"code":"value.far","value_nm":185000,...}. Prose has no form there, nor
// has nothing: both give none. The error is that of encoding/json.
func Encode(f Finding) (json.RawMessage, error) {
	switch f.(type) {
	case nil, Prose, Unknown:
		return nil, nil
	}
	args, err := json.Marshal(f)
	if err != nil {
		return nil, fmt.Errorf("write down the finding %q: %w", f.Code(), err)
	}
	head := append([]byte(`{"code":"`), f.Code()...)
	if len(args) == 2 { // no arguments
		return append(head, `"}`...), nil
	}
	return append(append(head, `",`...), args[1:]...), nil
}

// Decode reads a finding from the record; empty is none. A code that this release does not know, or arguments
// that it cannot read, give [Unknown] and no error; the error is for what is no finding at all.
func Decode(text json.RawMessage) (Finding, error) {
	if len(text) == 0 || bytes.Equal(text, []byte("null")) {
		return nil, nil
	}
	var head struct {
		Code Code `json:"code"`
	}
	if err := json.Unmarshal(text, &head); err != nil || head.Code == "" {
		return nil, fmt.Errorf("read the finding %.200q: it is no object with a code", text)
	}
	if sample, ok := known[head.Code]; ok {
		p := reflect.New(reflect.TypeOf(sample))
		if json.Unmarshal(text, p.Interface()) == nil {
			return p.Elem().Interface().(Finding), nil
		}
	}
	return unknown(head.Code, text), nil
}

func unknown(code Code, text json.RawMessage) Unknown {
	args := map[string]json.RawMessage{}
	_ = json.Unmarshal(text, &args) // an object, as its code was read from it
	delete(args, "code")
	if len(args) == 0 {
		return Unknown{Named: code}
	}
	left, err := json.Marshal(args)
	if err != nil {
		return Unknown{Named: code}
	}
	return Unknown{Named: code, Args: string(left)}
}

// Read is [Decode] of a field of the record, or the prose that older records have in its place; what cannot
// be read is shown as it stands. Nothing at all gives nil.
func Read(text json.RawMessage, older string) Finding {
	f, err := Decode(text)
	switch {
	case err != nil:
		return Prose{string(text)}
	case f == nil && older != "":
		return Prose{older}
	}
	return f
}
