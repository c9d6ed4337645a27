package session

import (
	"encoding/json"
	"errors"
	"reflect"
	"testing"

	"springline/qc/words"
	"springline/session/command"
)

// What is taken is written back and read again as the same; what is not is refused by name.
func FuzzDecode(f *testing.F) {
	for _, s := range []string{`{"op":"undo"}`, `{"op":"void","seq":3,"reason":"x"}`, `{"op":"take","seq":1,"suggested":true}`,
		`{"op":"a","op":"b"}`, `{}`, `{"op":[]}`,
		`{"op":"study-start","char":"tip","ribs":["01"],"persons":[],"repeats":2}`} {
		f.Add([]byte(s))
	}
	f.Fuzz(func(t *testing.T, body []byte) {
		o, err := command.Decode(body)
		if err != nil {
			var r *words.Refusal
			if !errors.As(err, &r) || r.Code == "" {
				t.Fatalf("%q: %v", body, err)
			}
			return
		}
		if !json.Valid(body) {
			t.Fatalf("took what is not JSON: %q", body)
		}
		again, err := command.Encode(o)
		if err != nil {
			t.Fatalf("%q: %v", body, err)
		}
		if back, err := command.Decode(again); err != nil || !reflect.DeepEqual(back, o) {
			t.Fatalf("%q became %+v, then %+v (%v)", body, o, back, err)
		}
	})
}
