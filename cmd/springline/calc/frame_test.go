package calc

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"testing"
)

type toyIn struct {
	X    float64         `json:"x" doc:"any number"`
	N    int             `json:"n" need:"no" doc:"times"`
	Name string          `json:"name" need:"no"`
	List []toyPart       `json:"list" need:"no"`
	Low  *float64        `json:"low" need:"no"`
	Pair [2]float64      `json:"pair" need:"no"`
	Flag bool            `json:"flag" need:"no"`
	Bag  map[string]int  `json:"bag" need:"no"`
	Raw  json.RawMessage `json:"raw" need:"no"`
}

type toyPart struct {
	A float64 `json:"a"`
}

type toyOut struct {
	Y float64 `json:"y"`
}

// toyKinds are computations made for these tests only, so that the frame is tried apart from any
// subject.
func toyKinds() []Kind {
	return []Kind{
		row("toy.same", "gives x back", "none: made for the test", func(in toyIn) (toyOut, error) { return toyOut{in.X}, nil }),
		row("toy.nan", "fails to be finite", "none", func(toyIn) (toyOut, error) { return toyOut{math.NaN()}, nil }),
		row("toy.inf", "fails to be finite", "none", func(toyIn) (toyOut, error) { return toyOut{math.Inf(-1)}, nil }),
		row("toy.panic", "breaks", "none", func(in toyIn) (toyOut, error) { return toyOut{in.List[7].A}, nil }),
		row("toy.refuse", "refuses", "none", func(toyIn) (toyOut, error) {
			return toyOut{}, fmt.Errorf("wrapped: %w", refuse("too_cold", "x", "it is %d", 3))
		}),
		row("toy.plain", "fails plainly", "none", func(toyIn) (toyOut, error) { return toyOut{}, errors.New("no luck") }),
	}
}

type got struct {
	ID     json.RawMessage            `json:"id"`
	Kind   string                     `json:"kind"`
	Output map[string]json.RawMessage `json:"output"`
	Error  *Error                     `json:"error"`
}

func ask(t *testing.T, kinds []Kind, lines string) []got {
	t.Helper()
	var out bytes.Buffer
	if err := Run(strings.NewReader(lines), &out, kinds); err != nil {
		t.Fatal(err)
	}
	var all []got
	for line := range strings.Lines(out.String()) {
		var g got
		if err := json.Unmarshal([]byte(line), &g); err != nil {
			t.Fatalf("the answer %q is not JSON: %v", line, err)
		}
		if (g.Output == nil) == (g.Error == nil) {
			t.Fatalf("the answer %q must hold either output or error", line)
		}
		all = append(all, g)
	}
	return all
}

func TestRefusalsNameTheField(t *testing.T) {
	for _, c := range []struct{ line, code, field, id string }{
		{`{"id":"a","kind":"toy.none","input":{"x":1}}`, "unknown_kind", "kind", `"a"`},
		{`{"id":"a","kind":"","input":{"x":1}}`, "unknown_kind", "kind", `"a"`},
		{`{"id":7,"kind":"toy.same","input":{"y":1,"x":1}}`, "unknown_field", "y", `7`},
		{`{"id":7,"kind":"toy.same","input":{"X":1}}`, "unknown_field", "X", `7`}, // names are case-sensitive
		{`{"id":7,"kind":"toy.same","input":{}}`, "missing_field", "x", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"list":[{"a":1},{"b":2}]}}`, "unknown_field", "list[1].b", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"list":[{"a":1},{}]}}`, "missing_field", "list[1].a", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"x":2}}`, "repeated_field", "x", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1},"note":"hello"}`, "unknown_field", "note", `7`},
		{`{"id":7,"kind":"toy.same"}`, "missing_field", "input", `7`},
		{`{"kind":"toy.same","input":{"x":1}}`, "missing_field", "id", `null`},
		{`{"id":7,"input":{"x":1}}`, "missing_field", "kind", `7`},
		{`{"id":7,"kind":"toy.same","input":null}`, "bad_type", "input", `7`},
		{`{"id":7,"kind":"toy.same","input":[1]}`, "bad_type", "input", `7`},
		{`{"id":7,"kind":5,"input":{"x":1}}`, "bad_type", "kind", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":null}}`, "bad_type", "x", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":"1"}}`, "bad_type", "x", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":true}}`, "bad_type", "x", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1e999}}`, "out_of_range", "x", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":-1e999}}`, "out_of_range", "x", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"list":[{"a":1e400}]}}`, "out_of_range", "list[0].a", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"low":1e400}}`, "out_of_range", "low", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"n":1.5}}`, "bad_type", "n", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"n":1e30}}`, "bad_type", "n", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"name":4}}`, "bad_type", "name", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"flag":1}}`, "bad_type", "flag", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"pair":[1]}}`, "bad_type", "pair", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"pair":[1,null]}}`, "bad_type", "pair[1]", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"list":{}}}`, "bad_type", "list", `7`},
		{`{"id":7,"kind":"toy.same","input":{"x":1,"bag":{"k":"v"}}}`, "bad_type", "bag.k", `7`},
		// Programs that print NaN and Infinity without quotes: no JSON, but the field can be told.
		{`{"id":7,"kind":"toy.same","input":{"x":NaN}}`, "not_finite", "x", `7`},
		{`{"id":"NaN","kind":"toy.same","input":{"x":1,"list":[{"a":-Infinity}]}}`, "not_finite", "list[0].a", `"NaN"`},
		{`{"id":7,"kind":"toy.same","input":{"x":Infinity}}`, "not_finite", "x", `7`},
		{`{"id":NaN,"kind":"toy.same","input":{"x":1}}`, "not_finite", "id", `null`},
		{`{"id":7,"kind":"toy.same","input":{"x":NaNa}}`, "bad_json", "", `null`},
		{`not json`, "bad_json", "", `null`},
		{`{"id":7,"kind":"toy.same","input":{"x":1}} {"id":8}`, "bad_json", "", `null`},
		{`{"id":7,"kind":"toy.same","input":{"x":1}`, "bad_json", "", `null`},
		{`[]`, "bad_type", "", `null`},
		{`null`, "bad_type", "", `null`},
		{`"text"`, "bad_type", "", `null`},
		{`{"id":7,"kind":"toy.nan","input":{"x":1}}`, "not_finite", "", `7`},
		{`{"id":7,"kind":"toy.inf","input":{"x":1}}`, "not_finite", "", `7`},
		{`{"id":7,"kind":"toy.panic","input":{"x":1}}`, "internal", "", `7`},
		{`{"id":7,"kind":"toy.refuse","input":{"x":1}}`, "too_cold", "x", `7`},
		{`{"id":7,"kind":"toy.plain","input":{"x":1}}`, "refused", "", `7`},
	} {
		as := ask(t, toyKinds(), c.line+"\n")
		if len(as) != 1 || as[0].Error == nil {
			t.Errorf("%s: answered %+v, want one error", c.line, as)
			continue
		}
		e := as[0].Error
		if e.Code != c.code || e.Field != c.field || string(as[0].ID) != c.id || e.Message == "" {
			t.Errorf("%s: id %s, %s on %q (%s); want id %s, %s on %q", c.line, as[0].ID, e.Code, e.Field, e.Message, c.id, c.code, c.field)
		}
	}
}

func TestAcceptedForms(t *testing.T) {
	for line, want := range map[string]string{
		`{"id":1,"kind":"toy.same","input":{"x":1.5}}`:                                  "1.5",
		`{"id":1,"kind":"toy.same","input":{"x":-0.1e2,"n":5.0,"low":null,"raw":null}}`: "-10",
		`{"id":1,"kind":"toy.same","input":{"x":1e-400,"n":1e3}}`:                       "0",
		"\t{\"input\":{\"x\":0.1},\"kind\":\"toy.same\",\"id\":{\"a\":[1]}} \r":         "0.1",
		`{"id":1,"kind":"toy.same","input":{"x":0.1234567890123456,"name":null}}`:       "0.1234567890123456",
		`{"id":1,"kind":"toy.same","input":{"x":3,"name":"NaN","bag":{"Infinity":1}}}`:  "3",
	} {
		as := ask(t, toyKinds(), line)
		if len(as) != 1 || as[0].Error != nil || string(as[0].Output["y"]) != want {
			t.Errorf("%s: %+v, want y = %s", line, as, want)
		}
	}
}

func TestAnswersKeepOrderAndGoOnAfterBadLines(t *testing.T) {
	var lines strings.Builder
	for i := range 200 {
		switch i % 4 {
		case 0:
			fmt.Fprintf(&lines, `{"id":%d,"kind":"toy.same","input":{"x":%d}}`+"\n", i, i)
		case 1:
			fmt.Fprintf(&lines, `{"id":%d,"kind":"toy.panic","input":{"x":1}}`+"\n\n", i)
		case 2:
			fmt.Fprintf(&lines, `{"id":%d,"kind":"toy.same","input":{}}`+"\r\n", i)
		case 3:
			fmt.Fprintf(&lines, `{"id":%d,"kind":"toy.nan","input":{"x":1}}`+"\n  \n", i)
		}
	}
	as := ask(t, toyKinds(), strings.TrimSpace(lines.String()))
	if len(as) != 200 {
		t.Fatalf("200 lines got %d answers", len(as))
	}
	for i, a := range as {
		if string(a.ID) != fmt.Sprint(i) || (a.Error == nil) != (i%4 == 0) || a.Kind == "" {
			t.Errorf("answer %d is %s %s %v", i, a.ID, a.Kind, a.Error)
		}
	}
}

func TestTooLongALineIsAnsweredAndSkipped(t *testing.T) {
	long := io.MultiReader(
		io.LimitReader(endless('x'), maxLine+5),
		strings.NewReader("\n"+`{"id":2,"kind":"toy.same","input":{"x":2}}`+"\n"))
	var out bytes.Buffer
	if err := Run(long, &out, toyKinds()); err != nil {
		t.Fatal(err)
	}
	lines := strings.Split(strings.TrimSpace(out.String()), "\n")
	if len(lines) != 2 || !strings.Contains(lines[0], `"too_long"`) || !strings.Contains(lines[1], `"y":2`) {
		t.Errorf("answers: %.200q", lines)
	}
}

type endless byte

func (e endless) Read(p []byte) (int, error) {
	for i := range p {
		p[i] = byte(e)
	}
	return len(p), nil
}

type broken struct{ after int }

func (b *broken) Write(p []byte) (int, error) {
	if b.after--; b.after < 0 {
		return 0, io.ErrClosedPipe
	}
	return len(p), nil
}

func TestBrokenPipesAreReported(t *testing.T) {
	line := `{"id":1,"kind":"toy.same","input":{"x":1}}` + "\n"
	if err := Run(strings.NewReader(line+line), &broken{after: 1}, toyKinds()); !errors.Is(err, io.ErrClosedPipe) {
		t.Errorf("a closed output gave %v", err)
	}
	r := io.MultiReader(strings.NewReader(line), errReader{})
	if err := Run(r, io.Discard, toyKinds()); !errors.Is(err, io.ErrUnexpectedEOF) {
		t.Errorf("a broken input gave %v", err)
	}
}

type errReader struct{}

func (errReader) Read([]byte) (int, error) { return 0, io.ErrUnexpectedEOF }

// Every answer goes out before the next line is read, so that a script may wait for it.
func TestAConversation(t *testing.T) {
	inR, inW := io.Pipe()
	outR, outW := io.Pipe()
	done := make(chan error, 1)
	go func() { done <- Run(inR, outW, toyKinds()) }()
	dec := json.NewDecoder(outR)
	for i := range 3 {
		if _, err := fmt.Fprintf(inW, `{"id":%d,"kind":"toy.same","input":{"x":1}}`+"\n", i); err != nil {
			t.Fatal(err)
		}
		var g got
		if err := dec.Decode(&g); err != nil || string(g.ID) != fmt.Sprint(i) {
			t.Fatalf("answer %d: %s, %v", i, g.ID, err)
		}
	}
	_ = inW.Close()
	if err := <-done; err != nil {
		t.Fatal(err)
	}
}

func TestListNamesEveryField(t *testing.T) {
	var b strings.Builder
	if err := List(&b, append(toyKinds(), Kinds()...)); err != nil {
		t.Fatal(err)
	}
	for _, want := range []string{"toy.same\n    gives x back\n    source: none: made for the test\n" +
		"    in   x  any number\n    in   n (optional)  times\n", "length.parse\n", "    out  nm  whole nanometres, ties to even\n"} {
		if !strings.Contains(b.String(), want) {
			t.Errorf("the list lacks %q", want)
		}
	}
	if err := List(&broken{}, toyKinds()); err == nil {
		t.Error("a closed output was not reported")
	}
}

// FuzzEveryLineIsAnsweredOnce: whatever comes in, each line that is not blank gets exactly one answer,
// which is one line of valid JSON with output or a coded error.
func FuzzEveryLineIsAnsweredOnce(f *testing.F) {
	for _, s := range []string{
		`{"id":1,"kind":"length.parse","input":{"text":"6' 11","default_unit":"mm","decimal":"auto","signed":false}}`,
		`{"id":1,"kind":"length.round","input":{"value":"1","step":"0","tie":"even"}}` + "\n" + `{`,
		`{"id":1,"kind":"stat.summary","input":{"x":[1,2,NaN]}}`, `{"id":"\ud800","kind":"\u0000"}`, "\n\n \n[]\n", `{"id":1e999}`,
		strings.Repeat("[", 20000), `{"id":1,"kind":"toy.same","input":{"x":"NaN"}}` + "\r\n", "\xff\xfe", `{"a":-Infinity,"a":"\"NaN"}`,
	} {
		f.Add([]byte(s))
	}
	kinds := append(toyKinds(), Kinds()...)
	f.Fuzz(func(t *testing.T, data []byte) {
		want := 0
		for line := range bytes.Lines(data) {
			if len(bytes.TrimSpace(line)) > 0 {
				want++
			}
		}
		var out bytes.Buffer
		if err := Run(bytes.NewReader(data), &out, kinds); err != nil {
			t.Fatal(err)
		}
		n := 0
		for line := range bytes.Lines(out.Bytes()) {
			n++
			var g got
			if err := json.Unmarshal(line, &g); err != nil || len(g.ID) == 0 {
				t.Fatalf("%q was answered %q: %v", data, line, err)
			}
			if (g.Output == nil) == (g.Error == nil) || g.Error != nil &&
				(g.Error.Code == "" || g.Error.Code == "internal" && g.Kind != "toy.panic") {
				t.Fatalf("%q was answered %q", data, line)
			}
		}
		if n != want || out.Len() > 0 && !bytes.HasSuffix(out.Bytes(), []byte("\n")) {
			t.Fatalf("%d lines got %d answers", want, n)
		}
	})
}
