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

// encode is a finding for the record: {"code":"value.far","value_nm":185000,...}. Prose is a plain text there;
// none is null. The error is that of encoding/json.
func encode(f Finding) (json.RawMessage, error) {
	switch f := f.(type) {
	case nil:
		return json.RawMessage("null"), nil
	case Prose:
		return json.Marshal(f.Text)
	case Unknown:
		return withCode(f.Named, []byte(f.Args)), nil
	}
	args, err := json.Marshal(f)
	if err != nil {
		return nil, fmt.Errorf("write down the finding %q: %w", f.Code(), err)
	}
	return withCode(f.Code(), args), nil
}

func withCode(code Code, args []byte) json.RawMessage {
	head := append([]byte(`{"code":"`), code...)
	if len(args) <= len("{}") {
		return append(head, `"}`...)
	}
	return append(append(head, `",`...), args[1:]...)
}

// decode reads a finding from the record; null and nothing are none. A code that this release does not know, or
// arguments that it cannot read, give [Unknown] and no error; the error is for what is no finding at all.
func decode(text json.RawMessage) (Finding, error) {
	var prose string
	if len(text) == 0 || bytes.Equal(text, []byte("null")) {
		return nil, nil
	} else if json.Unmarshal(text, &prose) == nil {
		return Prose{prose}, nil
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
	args := map[string]json.RawMessage{}
	_ = json.Unmarshal(text, &args) // an object, as its code was read from it
	delete(args, "code")
	left, err := json.Marshal(args)
	if err != nil || len(args) == 0 {
		return Unknown{Named: head.Code}, nil
	}
	return Unknown{Named: head.Code, Args: string(left)}, nil
}

// Said is a finding as a field of what is written down: of a record, or of another finding. The zero Said has
// none and is left out with omitzero.
type Said struct{ Of Finding }

// MarshalJSON is [encode].
func (s Said) MarshalJSON() ([]byte, error) { return encode(s.Of) }

// UnmarshalJSON is [decode]; what is no finding is kept as it stands, so that no record stops a start.
func (s *Said) UnmarshalJSON(text []byte) error {
	f, err := decode(text)
	if err != nil {
		f = Prose{string(text)}
	}
	s.Of = f
	return nil
}

// Or is the finding, or the prose that an older record has in its place; nil where there is neither.
func (s Said) Or(older string) Finding {
	if s.Of == nil && older != "" {
		return Prose{older}
	}
	return s.Of
}
