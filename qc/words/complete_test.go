package words

import (
	"bufio"
	"encoding/json"
	"flag"
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"maps"
	"os"
	"path/filepath"
	"reflect"
	"slices"
	"strings"
	"testing"
)

var update = flag.Bool("update", false, "write the golden sentences")

// typesWithCode are the types of this package that have a method Code, as the source has them.
func typesWithCode(t *testing.T) []string {
	t.Helper()
	files, err := filepath.Glob("*.go")
	if err != nil {
		t.Fatal(err)
	}
	var names []string
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		for _, d := range f.Decls {
			if fn, ok := d.(*ast.FuncDecl); ok && fn.Recv != nil && fn.Name.Name == "Code" {
				names = append(names, fn.Recv.List[0].Type.(*ast.Ident).Name)
			}
		}
	}
	return names
}

func TestEveryFindingHasWords(t *testing.T) {
	said := map[string]bool{"Prose": true, "Unknown": true}
	for code, sample := range known {
		if code != sample.Code() {
			t.Errorf("%T is listed as %q and says %q", sample, code, sample.Code())
		}
		said[reflect.TypeOf(sample).Name()] = true
	}
	names := typesWithCode(t)
	for _, name := range names {
		if !said[name] {
			t.Errorf("%s has a code and English has no words for it", name)
		}
	}
	if len(names) != len(said) {
		t.Errorf("%d types have a code and %d kinds of finding are said: two share a code", len(names), len(said))
	}
	if len(English.says) != len(known) {
		t.Errorf("English says %d findings of %d", len(English.says), len(known))
	}
}

// The codes are on record: a line of the list is never changed or taken out.
func TestCodesStay(t *testing.T) {
	text, err := os.ReadFile("testdata/words/codes.txt")
	if err != nil {
		t.Fatal(err)
	}
	listed := strings.Fields(string(text))
	for _, code := range listed {
		if _, ok := known[Code(code)]; !ok {
			t.Errorf("%q is on the list and has no finding any more", code)
		}
	}
	for code := range known {
		if !slices.Contains(listed, string(code)) {
			t.Errorf("%q stands on no line of testdata/words/codes.txt: add it at the end", code)
		}
	}
	if len(listed) != len(known) {
		t.Errorf("%d codes on the list, %d known", len(listed), len(known))
	}
}

// filled gives every field of a finding a value of its own.
func filled(t *testing.T, f Finding) reflect.Value {
	t.Helper()
	v := reflect.New(reflect.TypeOf(f)).Elem()
	if s, ok := samplesOf[f.Code()]; ok {
		v.Set(reflect.ValueOf(s))
		return v
	}
	for i := range v.NumField() {
		fill(t, v.Field(i), i+1)
	}
	return v
}

func fill(t *testing.T, v reflect.Value, n int) {
	t.Helper()
	switch v.Kind() {
	case reflect.String:
		if v.Type() == reflect.TypeFor[Char]() {
			v.SetString(fmt.Sprintf("A%d", n))
			return
		}
		v.SetString(fmt.Sprintf("<%d>", n))
	case reflect.Int, reflect.Int64:
		if v.Type().Name() == "Length" {
			v.SetInt(int64(n) * 11_100_000)
			return
		}
		v.SetInt(int64(n) * 11)
	case reflect.Bool:
		v.SetBool(true)
	case reflect.Slice:
		v.Set(reflect.MakeSlice(v.Type(), 2, 2))
		fill(t, v.Index(0), 10*n+1)
		fill(t, v.Index(1), 10*n+2)
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[Said]() {
			v.Set(reflect.ValueOf(Said{WasMoved{Char(fmt.Sprintf("B%d", n))}}))
			return
		}
		for i := range v.NumField() {
			fill(t, v.Field(i), 10*n+i)
		}
	default:
		t.Fatalf("a finding holds a %s", v.Kind())
	}
}

// changed calls then with each single argument of f changed.
func changed(t *testing.T, v reflect.Value, name string, then func(field string)) {
	t.Helper()
	switch v.Kind() {
	case reflect.Struct:
		if v.Type() == reflect.TypeFor[Said]() {
			break
		}
		for i := range v.NumField() {
			changed(t, v.Field(i), name+"."+v.Type().Field(i).Name, then)
		}
		return
	case reflect.Slice:
		changed(t, v.Index(0), name+"[0]", then)
		old := v.Interface()
		v.Set(v.Slice(0, v.Len()-1))
		then(name + " shortened")
		v.Set(reflect.ValueOf(old))
		return
	}
	old := reflect.New(v.Type()).Elem()
	old.Set(v)
	switch v.Kind() {
	case reflect.Bool:
		v.SetBool(!v.Bool())
	case reflect.String:
		if other, ok := others[v.String()]; ok {
			v.SetString(other)
		} else {
			fill(t, v, 777)
		}
	default:
		fill(t, v, 777)
	}
	then(name)
	v.Set(old)
}

// TestEveryArgumentIsSaid renders a sample of every finding, and again with each argument changed.
func TestEveryArgumentIsSaid(t *testing.T) {
	for code, f := range known {
		v := filled(t, f)
		text := English.Say(v.Interface().(Finding))
		if text == "" || strings.Contains(text, "%!") || strings.Contains(text, string(code)) {
			t.Errorf("%s is said as %q", code, text)
		}
		changed(t, v, string(code), func(field string) {
			if English.Say(v.Interface().(Finding)) == text {
				t.Errorf("%s changed and what is said stayed: %q", field, text)
			}
		})
	}
}

// TestSentences compares what English says with the golden list; -update writes it.
func TestSentences(t *testing.T) {
	var b strings.Builder
	for _, code := range slices.Sorted(maps.Keys(known)) {
		fmt.Fprintf(&b, "%s\n\t%s\n", code, English.Say(filled(t, known[code]).Interface().(Finding)))
	}
	const file = "testdata/words/english.txt"
	if *update {
		if err := os.WriteFile(file, []byte(b.String()), 0o644); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	w := bufio.NewScanner(strings.NewReader(string(want)))
	for g := bufio.NewScanner(strings.NewReader(b.String())); g.Scan(); {
		if w.Scan(); w.Text() != g.Text() {
			t.Fatalf("%s has\n%s\nand this is said:\n%s", file, w.Text(), g.Text())
		}
	}
	if w.Scan() {
		t.Errorf("%s goes on with %q", file, w.Text())
	}
}

func TestTheRecordGivesItBack(t *testing.T) {
	for code, f := range known {
		want := filled(t, f).Interface().(Finding)
		text, err := encode(want)
		if err != nil {
			t.Fatal(err)
		}
		if !strings.HasPrefix(string(text), `{"code":"`+string(code)+`"`) {
			t.Errorf("%s is written as %s", code, text)
		}
		if got, err := decode(text); err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%s comes back as %#v, %v; want %#v", text, got, err, want)
		}
	}
}

func TestWhatIsNotKnown(t *testing.T) {
	for _, c := range []struct{ text, older, want string }{
		{`{"code":"value.newer","n":3,"a":"b"}`, "", `value.newer ({"a":"b","n":3})`},
		{`{"code":"value.newer"}`, "", "value.newer"},
		{`{"code":"value.far","value_nm":"long"}`, "", `value.far ({"value_nm":"long"})`},
		{`{"code":"decide.all-again","more":1}`, "", "Measure all again, or take it and write the cause."},
		{"null", "as it was said", "as it was said"},
		{"null", "", ""},
		{`"as a text"`, "older", "as a text"},
		{`[3]`, "older", "[3]"},
	} {
		var body struct{ Why Said }
		if err := json.Unmarshal([]byte(`{"why":`+c.text+`}`), &body); err != nil {
			t.Fatal(err)
		}
		if got := English.Say(body.Why.Or(c.older)); got != c.want {
			t.Errorf("%s or %q is said as %q, want %q", c.text, c.older, got, c.want)
		}
		var again struct{ Why Said }
		text, err := json.Marshal(body)
		if err == nil {
			err = json.Unmarshal(text, &again)
		}
		if err != nil || !reflect.DeepEqual(again, body) {
			t.Errorf("%s is written again as %s, %v", c.text, text, err)
		}
	}
}

func TestRefusal(t *testing.T) {
	e := Problem(CodeMissing, "rib", "name the rib", "choose needs a %s", "rib")
	if e.Error() != "choose needs a rib; name the rib" || e.Message() != "choose needs a rib" || e.ToDo() != "name the rib" {
		t.Errorf("%q, %q, %q", e.Error(), e.Message(), e.ToDo())
	}
	if e := Refuse(CodeNoRib, "rib", NoRibOn{}, nil); e.Error() != "no rib is on the bench" {
		t.Errorf("%q", e.Error())
	}
	cause := fmt.Errorf("it cannot be")
	if e := Refused("target", cause); e.Unwrap() != cause || e.Code != CodeBadValue || e.Error() != "it cannot be" {
		t.Errorf("%+v", e)
	}
}
