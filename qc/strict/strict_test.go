package strict_test

import (
	"errors"
	"reflect"
	"strings"
	"testing"

	"springline/qc/strict"
)

type who struct {
	By  string `json:"by" need:"no" most:"5" doc:"who does it"`
	Key string `json:"key" need:"no"`
}

type what struct {
	Text  string   `json:"text" most:"4" lines:"yes"`
	Seq   int64    `json:"seq" need:"no" least:"0"`
	Names []string `json:"names" need:"no" most:"3"`
	Odd   bool     `json:"odd" need:"no"`
}

// read fills both from one object, as a command is.
func read(text string) (who, what, error) {
	var a who
	var b what
	o, err := strict.Parse([]byte(text))
	if err == nil {
		err = o.Fill(&a, &b)
	}
	return a, b, err
}

func TestOneObjectFillsTwoStructs(t *testing.T) {
	a, b, err := read(`{"by":"Ines","text":"a\nb","seq":7,"names":["x","y"],"odd":true}`)
	if err != nil || a.By != "Ines" || b.Text != "a\nb" || b.Seq != 7 || len(b.Names) != 2 || !b.Odd {
		t.Fatalf("%+v %+v %v", a, b, err)
	}
}

func TestRefuses(t *testing.T) {
	for _, c := range []struct{ text, code, field, says string }{
		{`x`, "bad_json", "", ""}, {`{"text":"a"`, "bad_json", "", ""}, {`{"text":"a"} {}`, "bad_json", "", "follows"},
		{`[]`, "bad_type", "", "object"}, {`{}`, "missing_field", "text", ""},
		{`{"text":"a","text":"b"}`, "repeated_field", "text", "twice"},
		{`{"Text":"a"}`, "unknown_field", "Text", "by, key, names, odd, seq, text"},
		{`{"text":null}`, "bad_type", "text", "null"}, {`{"text":1}`, "bad_type", "text", "text"},
		{`{"text":"a","seq":"1"}`, "bad_type", "seq", ""},
		{`{"text":"a","seq":1.5}`, "bad_type", "seq", "whole"}, {`{"text":"a","seq":99999999999999999999}`, "bad_type", "seq", ""},
		{`{"text":"a","seq":-1}`, "out_of_range", "seq", "0 or more"}, {`{"text":"a","odd":1}`, "bad_type", "odd", "true or false"},
		{`{"text":"abcde"}`, "bad_text", "text", "4 characters"}, {`{"text":"a\u0007"}`, "bad_text", "text", "unprintable"},
		{`{"text":"a\u202e"}`, "bad_text", "text", "unprintable"}, {`{"text":"a","by":"a\nb"}`, "bad_text", "by", "unprintable"},
		{`{"text":"a","names":["abc","abcd"]}`, "bad_text", "names[1]", "3 characters"},
		{`{"text":"a","names":"a,b"}`, "bad_type", "names", "list"},
	} {
		_, _, err := read(c.text)
		var e *strict.Error
		if !errors.As(err, &e) || e.Code != c.code || e.Field != c.field || !strings.Contains(e.Message, c.says) {
			t.Errorf("%s: %v, want %s of %q with %q", c.text, err, c.code, c.field, c.says)
		}
	}
}

func TestCheckLooksAtWhatWasFilledByHand(t *testing.T) {
	if err := strict.Check(what{Text: "abcd", Names: []string{"abc"}}); err != nil {
		t.Error(err)
	}
	for field, w := range map[string]what{"text": {Text: "\x00"}, "seq": {Seq: -1}, "names": {Names: []string{"a", "abcd"}}} {
		var e *strict.Error
		if err := strict.Check(w); !errors.As(err, &e) || e.Field != field {
			t.Errorf("%+v: %v", w, err)
		}
	}
	if err := strict.Check(what{Text: "\xff"}); err == nil {
		t.Error("what is no UTF-8 was taken")
	}
}

func TestFieldsSayWhatIsWanted(t *testing.T) {
	type both struct {
		who
		Text string `json:"text"`
	}
	want := []strict.Field{{Name: "by", Doc: "who does it", Optional: true}, {Name: "key", Optional: true}, {Name: "text"}}
	if got := strict.Fields(reflect.TypeFor[both]()); !reflect.DeepEqual(got, want) {
		t.Errorf("%+v", got)
	}
	if strict.Whole([]byte("{\"\xff"), 10) == nil || strict.Whole(make([]byte, 11), 10) == nil || strict.Whole([]byte("{}"), 10) != nil {
		t.Error("Whole")
	}
}

func FuzzDecode(f *testing.F) {
	f.Add([]byte(`{"text":"a","seq":1}`))
	f.Fuzz(func(t *testing.T, raw []byte) {
		var w what
		err := strict.Decode(raw, &w)
		var e *strict.Error
		if err != nil && !errors.As(err, &e) {
			t.Fatalf("%q: %v", raw, err)
		}
		if err == nil {
			if err := strict.Check(w); err != nil {
				t.Fatalf("%q was taken: %v", raw, err)
			}
		}
	})
}
