package calc

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"maps"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// notYet lists the kinds of the scripting door that are still to come, and is to shrink to nothing.
// A kind listed here that exists, and a kind that neither exists nor stands here, fail.
var notYet = map[string]bool{}

// contractKinds is the whole door. A kind that is renamed or dropped breaks the scripts that use it.
var contractKinds = strings.Fields(`
	length.parse length.round length.at_20c gauge.decode gauge.tape_limit budget.tape
	bar.moment bar.springback bar.jig_radius bar.test_bend bar.effort
	rib.geometry rib.fit_radius rib.two_radius rib.half_chords rib.set_onset rib.set jig.advise rib.correct jig.layout
	decide decide.risk stat.summary stat.line chart.individuals chart.ewma chart.cusum chart.rules
	spread.capability spread.normality spread.tolerance_factor study.crossed outlier.grubbs trend.kendall trend.change
	fit.circle pair.match pair.order order.path`)

func TestEveryKindOfTheDoorExists(t *testing.T) {
	have := map[string]int{}
	for _, k := range Kinds() {
		have[k.Name]++
		if k.Summary == "" || k.Source == "" {
			t.Errorf("%s says not what it does or where the method comes from", k.Name)
		}
		for _, f := range slices.Concat(k.In, k.Out) {
			if f.Doc == "" {
				t.Errorf("%s: the field %s says nothing about its meaning and unit", k.Name, f.Name)
			}
		}
	}
	for name, n := range have {
		if n > 1 {
			t.Errorf("%s is declared %d times", name, n)
		}
		if notYet[name] {
			t.Errorf("%s exists now: take it out of notYet", name)
		}
	}
	for _, name := range contractKinds {
		if have[name] == 0 && !notYet[name] {
			t.Errorf("%s is missing", name)
		}
	}
}

// check is one case of testdata/checks; see the README there.
type check struct {
	ID     string          `json:"id"`
	Kind   string          `json:"kind"`
	Input  json.RawMessage `json:"input"`
	Output any             `json:"output"`
	Error  string          `json:"error"`
	RelTol float64         `json:"rel_tol"`
	AbsTol float64         `json:"abs_tol"`
	file   string
}

const checksDir = "../../../testdata/checks"

func loadChecks(t *testing.T) []check {
	t.Helper()
	files, err := filepath.Glob(filepath.Join(checksDir, "*.jsonl"))
	if err != nil || len(files) == 0 {
		t.Fatalf("no check files in %s (%v)", checksDir, err)
	}
	var all []check
	for _, name := range files {
		data, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		sc := bufio.NewScanner(bytes.NewReader(data))
		sc.Buffer(nil, 1<<24)
		n := 0
		for sc.Scan() {
			c := check{file: filepath.Base(name)}
			if err := json.Unmarshal(sc.Bytes(), &c); err != nil {
				t.Fatalf("%s, line %d: %v", name, n+1, err)
			}
			if c.ID == "" || c.Kind == "" || (c.Output == nil) == (c.Error == "") {
				t.Fatalf("%s, line %d: needs id, kind and either output or error", name, n+1)
			}
			all = append(all, c)
			n++
		}
		if err := sc.Err(); err != nil || n == 0 {
			t.Fatalf("%s holds no case (%v)", name, err)
		}
	}
	return all
}

// TestChecks runs every case whose kind exists through the door itself, line in and line out.
func TestChecks(t *testing.T) {
	have := map[string]bool{}
	for _, k := range Kinds() {
		have[k.Name] = true
	}
	ran, waiting := map[string]int{}, map[string]int{}
	for _, c := range loadChecks(t) {
		if !have[c.Kind] {
			if !notYet[c.Kind] {
				t.Errorf("%s %s: no kind %s, and it is not listed in notYet", c.file, c.ID, c.Kind)
			}
			waiting[c.Kind]++
			continue
		}
		ran[c.Kind]++
		line, err := json.Marshal(map[string]any{"id": c.ID, "kind": c.Kind, "input": c.Input})
		if err != nil {
			t.Fatal(err)
		}
		if why := c.fails(t, line); why != "" {
			t.Errorf("%s %s (%s): %s", c.file, c.ID, c.Kind, why)
		}
	}
	if len(ran) == 0 {
		t.Fatal("not one case ran")
	}
	for _, name := range slices.Sorted(maps.Keys(ran)) {
		t.Logf("%-24s %3d cases", name, ran[name])
	}
	for _, name := range slices.Sorted(maps.Keys(waiting)) {
		t.Logf("%-24s %3d cases wait for the kind", name, waiting[name])
	}
}

func (c check) fails(t *testing.T, line []byte) string {
	t.Helper()
	var out bytes.Buffer
	if err := Run(bytes.NewReader(append(line, '\n')), &out, Kinds()); err != nil {
		return err.Error()
	}
	var a struct {
		ID     string
		Output any
		Error  *Error
	}
	if err := json.Unmarshal(out.Bytes(), &a); err != nil {
		return fmt.Sprintf("the answer is not JSON: %v", err)
	}
	switch {
	case a.ID != c.ID:
		return fmt.Sprintf("the answer is for %q", a.ID)
	case c.Error != "" && a.Error == nil:
		return fmt.Sprintf("answered %v, want the error %s", a.Output, c.Error)
	case c.Error != "" && a.Error.Code != c.Error:
		return fmt.Sprintf("refused as %s (%s), want %s", a.Error.Code, a.Error.Message, c.Error)
	case c.Error != "":
		return ""
	case a.Error != nil:
		return fmt.Sprintf("refused: %v (%s)", a.Error, a.Error.Code)
	}
	return strings.Join(differences("output", c.Output, a.Output, c.RelTol, c.AbsTol), "; ")
}

// differences compares what is wanted with what came. Objects may hold more than is wanted, lists
// may not; a number is right within rel of the wanted value or within abs of it.
func differences(path string, want, got any, rel, abs float64) []string {
	switch w := want.(type) {
	case map[string]any:
		g, ok := got.(map[string]any)
		if !ok {
			return []string{fmt.Sprintf("%s is %v, want an object", path, got)}
		}
		var all []string
		for _, k := range slices.Sorted(maps.Keys(w)) {
			if _, ok := g[k]; !ok {
				all = append(all, fmt.Sprintf("%s.%s is missing", path, k))
				continue
			}
			all = append(all, differences(path+"."+k, w[k], g[k], rel, abs)...)
		}
		return all
	case []any:
		g, ok := got.([]any)
		if !ok || len(g) != len(w) {
			return []string{fmt.Sprintf("%s is %v, want a list of %d", path, got, len(w))}
		}
		var all []string
		for i := range w {
			all = append(all, differences(fmt.Sprintf("%s[%d]", path, i), w[i], g[i], rel, abs)...)
		}
		return all
	case float64:
		g, ok := got.(float64)
		if off := math.Abs(g - w); !ok || !(off <= rel*math.Abs(w) || off <= abs) {
			return []string{fmt.Sprintf("%s is %v, want %v (rel %g, abs %g)", path, got, w, rel, abs)}
		}
		return nil
	}
	if want != got {
		return []string{fmt.Sprintf("%s is %#v, want %#v", path, got, want)}
	}
	return nil
}

// The comparison itself must be able to fail.
func TestDifferencesAreSeen(t *testing.T) {
	parse := func(s string) (v any) {
		if err := json.Unmarshal([]byte(s), &v); err != nil {
			t.Fatal(err)
		}
		return v
	}
	for _, c := range []struct {
		want, got string
		rel, abs  float64
		n         int
	}{
		{`{"a":1}`, `{"a":1,"b":2}`, 0, 0, 0}, {`{"a":1,"b":2}`, `{"a":1}`, 0, 0, 1}, {`[1,2]`, `[1,2,3]`, 1, 1, 1},
		{`[1,2]`, `[1,2.1]`, 0.04, 0, 1}, {`[1,2]`, `[1,2.1]`, 0.06, 0, 0}, {`[0]`, `[1e-10]`, 1e-6, 1e-9, 0}, {`[0]`, `[1e-8]`, 1e-6, 1e-9, 1},
		{`1`, `"1"`, 1, 1, 1}, {`null`, `null`, 0, 0, 0}, {`null`, `0`, 9, 9, 1}, {`"a"`, `"b"`, 9, 9, 1}, {`true`, `false`, 9, 9, 1},
		{`{"a":{"b":[1]}}`, `{"a":{"b":1}}`, 9, 9, 1}, {`{"a":1}`, `[1]`, 0, 0, 1}, {`-5`, `5`, 1, 1, 1},
	} {
		ds := differences("x", parse(c.want), parse(c.got), c.rel, c.abs)
		if len(ds) != c.n {
			t.Errorf("%s against %s: %v, want %d differences", c.want, c.got, ds, c.n)
		}
	}
}
