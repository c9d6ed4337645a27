package session

import (
	"errors"
	"os"
	"path/filepath"
	"reflect"
	"regexp"
	"slices"
	"strings"
	"testing"

	"springline/qc/words"
	"springline/session/book"
	"springline/session/command"
)

// sampleOf is a deed with every field set, to something that a rule may still refuse.
func sampleOf(t *testing.T, v reflect.Value) {
	switch v.Kind() {
	case reflect.Struct:
		for i := range v.NumField() {
			sampleOf(t, v.Field(i))
		}
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		for i := range 2 {
			sampleOf(t, v.Index(i))
		}
	case reflect.String:
		v.SetString("x 1")
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Int, reflect.Int64:
		v.SetInt(7)
	case reflect.Float64:
		v.SetFloat(0.5)
	default:
		t.Fatalf("a deed holds a %s", v.Type())
	}
}

// TestEveryVerb walks the table: whoever adds a verb is told here what is missing of it.
func TestEveryVerb(t *testing.T) {
	empty := openTest(t, t.TempDir(), newClock())
	before := empty.View().Seq
	seen := map[command.Op]bool{}
	for _, r := range command.Table {
		if seen[r.Op] {
			t.Errorf("%s stands twice in the table", r.Op)
		}
		seen[r.Op] = true
		for _, f := range r.Fields {
			if f.Doc == "" {
				t.Errorf("%s: nothing says what the field %q is", r.Op, f.Name)
			}
		}
		if len(r.As) == 0 {
			t.Errorf("%s is recorded as nothing", r.Op)
		}
		for _, k := range r.As {
			if book.Steps[k] == nil {
				t.Errorf("%s is recorded as %s, which no step applies", r.Op, k)
			}
		}
		deed := reflect.New(reflect.TypeOf(r.None)).Elem()
		sampleOf(t, deed)
		o := command.Order{Sent: command.Sent{Key: "k 1", Version: 3, By: "Ines"}, Deed: deed.Interface().(command.Deed)}
		text, err := command.Encode(o)
		if err != nil {
			t.Fatalf("%s: %v", r.Op, err)
		}
		if back, err := command.Decode(text); err != nil || !reflect.DeepEqual(back, o) {
			t.Errorf("%s is not read as it was written: %+v, %v", text, back, err)
		}
		for _, f := range r.Fields {
			if !strings.Contains(string(text), `"`+f.Name+`":`) {
				t.Errorf("%s: the field %q is not written: %s", r.Op, f.Name, text)
			}
		}
		// A bench without lots, gauges or a batch refuses each, but for what a job states first.
		if r.Op == "lot-set" || r.Op == "jig-set" {
			continue
		}
		_, err = empty.Do(t.Context(), command.Order{Deed: o.Deed})
		var refusal *words.Refusal
		if !errors.As(err, &refusal) || refusal.Code == "" || refusal.Field == "" || refusal.Message() == "" {
			t.Errorf("%s on an empty bench: %v", r.Op, err)
		}
	}
	if empty.View().Seq != before {
		t.Error("a refusal was recorded")
	}
}

// The verbs that the table opens to the page are those that its scripts send.
func TestPageSendsTheVerbsThatAreOpenToIt(t *testing.T) {
	files, err := filepath.Glob("web/page/*.js")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	var sent []string
	for _, f := range files {
		text, err := os.ReadFile(f)
		if err != nil {
			t.Fatal(err)
		}
		for _, m := range regexp.MustCompile(`\bop: '([a-z-]+)'`).FindAllStringSubmatch(string(text), -1) {
			sent = append(sent, m[1])
		}
	}
	var open []string
	for _, r := range command.Table {
		if r.From == command.Page {
			open = append(open, string(r.Op))
		}
	}
	slices.Sort(sent)
	slices.Sort(open)
	if sent = slices.Compact(sent); !slices.Equal(sent, open) {
		t.Errorf("the page sends %q\nand may send %q", sent, open)
	}
}

// The golden answers have every verb that a program outside may send, carried out and refused.
func TestAnswersHaveEveryVerb(t *testing.T) {
	text, err := os.ReadFile("testdata/answers.txt")
	if err != nil {
		t.Fatal(err)
	}
	got := map[string]bool{}
	var op string
	for line := range strings.Lines(string(text)) {
		if strings.HasPrefix(line, "{") {
			o, err := command.Decode([]byte(line))
			op = string(o.Op())
			if err != nil {
				op = ""
			}
		} else if strings.HasPrefix(line, "<") {
			got[op+" "+map[bool]string{true: "refused", false: "done"}[strings.Contains(line, `"refused"`)]] = true
		}
	}
	for _, r := range command.Table {
		for _, how := range []string{"done", "refused"} {
			if r.From != command.Here && !got[string(r.Op)+" "+how] {
				t.Errorf("testdata/answers.txt has no %s that is %s", r.Op, how)
			}
		}
	}
}

// A key stands for one deed, also where another would be recorded as the same kind; who sends it and what was
// seen may change.
func TestAKeyStandsForOneDeed(t *testing.T) {
	b := start(t)
	first := do(t, b, command.Order{Sent: command.Sent{Key: "k"}, Deed: command.Type{Text: "3553.6"}})
	if again := do(t, b, command.Order{Sent: command.Sent{Key: "k", By: "Otto", Version: 2},
		Deed: command.Type{Text: "3553.6"}}); again != first {
		t.Errorf("sent again: %+v, then %+v", first, again)
	}
	fails(t, b, words.CodeKeyUsed, command.Order{Sent: command.Sent{Key: "k"}, Deed: command.Type{Text: "3553.8"}})
	fails(t, b, words.CodeKeyUsed, command.Order{Sent: command.Sent{Key: "k"}, Deed: command.Start{}})
	lot := command.LotDeed(b.state.Lots[0])
	lot.Note = "dry"
	do(t, b, command.Order{Sent: command.Sent{Key: "lot"}, Deed: lot})
	lot.Note = "wet"
	fails(t, b, words.CodeKeyUsed, command.Order{Sent: command.Sent{Key: "lot"}, Deed: lot})
}

// What is decided about the pairs is decided on them as they were seen; what has no version takes none.
func TestPairsHaveAVersion(t *testing.T) {
	b := fiveRibs(t)
	v := b.View()
	do(t, b, command.Order{Sent: command.Sent{Version: v.Seq}, Deed: command.LockPair{Rib: "01", With: "02"}})
	e := fails(t, b, words.CodeConflict, command.Order{Sent: command.Sent{Version: v.Seq},
		Deed: command.ForbidPair{Rib: "03", With: "04", Reason: "colour"}})
	if e.Yours != v.Seq || e.Now != b.View().Seq {
		t.Errorf("%+v", e)
	}
	for _, d := range []command.Deed{command.ReleasePair{Rib: "01", With: "02"}, command.AllowPair{Rib: "01", With: "02"},
		command.ChangePairRule{Metric: "max"},
		command.ConfirmPairs{Token: v.Pairs.Token}, command.ConfirmOrder{Token: "t"}} {
		fails(t, b, words.CodeConflict, command.Order{Sent: command.Sent{Version: v.Seq, By: "Ines"}, Deed: d})
	}
	do(t, b, command.Order{Sent: command.Sent{Version: e.Now}, Deed: command.ForbidPair{Rib: "03", With: "04", Reason: "colour"}})
	fails(t, b, words.CodeBadValue, command.Order{Sent: command.Sent{Version: 1}, Deed: command.NextLot{Lot: "L2"}})
}
