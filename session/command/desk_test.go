package command

import (
	"encoding/json"
	"errors"
	"testing"

	"springline/qc"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
	"springline/session/store"
)

// codeOf is the code of a refusal, empty for none.
func codeOf(t *testing.T, err error) string {
	t.Helper()
	var e *words.Refusal
	if err != nil && !errors.As(err, &e) {
		t.Fatal(err)
	}
	if e == nil {
		return ""
	}
	return e.Code
}

// A version is that of a rib just as it is, of pairs anything that is not before the last decision about them, and
// of nothing it is none; zero is always fine.
func TestVersions(t *testing.T) {
	r := &book.Rib{Rib: qc.Rib{ID: "01", Round: 1}, Version: 20}
	o := &book.Batch{Body: log.BatchBody{ID: "B1"}, Ribs: []*book.Rib{r}, Current: r, Pairing: book.PairingState{Version: 20}}
	s := book.New("bench-1")
	s.Batches, s.Batch = []*book.Batch{o}, o
	d := &Desk{Book: s, Bench: "bench-1"}
	const conflict, none = words.CodeConflict, ""
	for _, c := range []struct {
		of        Thing
		name      string
		version   int64
		code      string
		yours, is int64
	}{
		{OfRib, "a rib, not looked at", 0, none, 0, 0},
		{OfRib, "a rib before its last change", 19, conflict, 19, 20},
		{OfRib, "a rib as it is", 20, none, 0, 0},
		{OfRib, "a rib beyond what is on record", 21, conflict, 21, 20},
		{OfPairs, "pairs, not looked at", 0, none, 0, 0},
		{OfPairs, "pairs before the last decision", 19, conflict, 19, 20},
		{OfPairs, "pairs just then", 20, none, 0, 0},
		{OfPairs, "pairs seen later", 21, none, 0, 0},
		{OfNothing, "nothing, without one", 0, none, 0, 0},
		{OfNothing, "nothing, with one", 20, words.CodeBadValue, 0, 0},
	} {
		err := d.seen(c.of, Sent{Version: c.version}, "x")
		if c.of == OfRib && err == nil {
			_, _, err = d.ribFor(Sent{Version: c.version}, "", "")
		}
		if got := codeOf(t, err); got != c.code {
			t.Errorf("%s: %q, want %q", c.name, got, c.code)
		}
		var e *words.Refusal
		if errors.As(err, &e) && (e.Yours != c.yours || e.Now != c.is) {
			t.Errorf("%s: decided at %d and now at %d", c.name, e.Yours, e.Now)
		}
	}
}

// A key stands for its deed by the print of it; a record without a print, of an earlier release, by its kind.
func TestRepeated(t *testing.T) {
	for _, c := range []struct {
		name, print string
		kind        log.Kind
		code        string
	}{
		{"the same deed", "p", log.Measured, ""},
		{"the same deed that was held", "p", log.Held, ""},
		{"another deed of its kind", "q", log.Measured, words.CodeKeyUsed},
		{"no print, a kind that it may be", "", log.Held, ""},
		{"no print, another kind", "", log.RibStarted, words.CodeKeyUsed},
	} {
		body, err := json.Marshal(log.Keyed{Key: "k", Print: c.print})
		if err != nil {
			t.Fatal(err)
		}
		o := Order{Sent: Sent{Key: "k", Print: "p"}, Deed: Type{Text: "1"}}
		a, err := Repeated(o, []log.Kind{log.Measured, log.Held}, store.Record{Seq: 7, Kind: string(c.kind), Body: body})
		if got := codeOf(t, err); got != c.code || (err == nil) != (a.Seq == 7) {
			t.Errorf("%s: %q, answer %+v", c.name, got, a)
		}
	}
}

// The print is of the deed alone, and of all of it.
func TestPrintOf(t *testing.T) {
	print := func(d Deed) string {
		p, err := PrintOf(d)
		if err != nil || p == "" {
			t.Fatal(p, err)
		}
		return p
	}
	seen := map[string]Deed{}
	for _, d := range []Deed{Start{}, Start{Rib: "02"}, Undo{}, Type{Text: "1"},
		Type{Text: "1", Rib: "02"}, Type{Text: "2"}, NextLot{Lot: "L2"}} {
		p := print(d)
		if other, there := seen[p]; there || p != print(d) {
			t.Errorf("%+v has the print of %+v", d, other)
		}
		seen[p] = d
	}
}
