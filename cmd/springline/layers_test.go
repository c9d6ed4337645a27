package main

import (
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"os/exec"
	"slices"
	"strings"
	"testing"
)

// layers lists what each of our packages imports of ours, no more and no less; a package that is not listed fails.
// Arrows point down only: cmd -> session/web, reports -> session -> device, qc.
var layers = map[string][]string{
	"session/log":    {"qc", "qc/length", "qc/words"},
	"session/store":  {},
	"session/book":   {"qc", "qc/length", "qc/words", "session/log", "session/store"},
	"session/doubt":  {"device/wire", "qc", "qc/length", "qc/stats", "qc/words", "session/book", "session/log"},
	"session/derive": {"qc", "qc/bend", "qc/length", "qc/pairing", "qc/stats", "qc/words", "session/book", "session/log"},
	"session/show":   {"qc", "qc/bend", "qc/length", "qc/pairing", "qc/words", "session/book", "session/derive", "session/log"},
	"session/command": {"qc", "qc/length", "qc/strict", "qc/words", "session/book",
		"session/derive", "session/doubt", "session/log", "session/store"},
	"session/rows": {"qc", "qc/words", "session/book", "session/log", "session/store"},
	"session": {"device", "device/wire", "qc", "qc/length", "qc/strict", "qc/words", "session/book", "session/command",
		"session/derive", "session/doubt", "session/log", "session/rows", "session/show", "session/store"},
	"session/web": {"device", "qc", "qc/length", "qc/strict", "qc/words", "reports/draw", "reports/jig",
		"reports/picture", "session", "session/command", "session/log", "session/show", "session/store"},
	"qc/length":    {},
	"qc/words":     {"qc/length"},
	"qc/strict":    {},
	"qc/arch":      {},
	"qc/stats":     {},
	"qc/pairing":   {"qc/length", "qc/pairing/certify", "qc/words"},
	"qc/bend":      {"qc/arch"},
	"qc":           {"qc/words", "qc/length", "qc/arch", "qc/bend", "qc/stats"},
	"reports/draw": {},
	"device/wire":  {"qc/length", "qc/words"},
	"device/port":  {},
	"device":       {"device/port", "device/wire", "qc/words"},

	"reports/typeset": {"reports/draw", "qc/words"},
	"reports/picture": {"reports/draw", "qc", "qc/bend", "qc/length", "qc/words"},
	"reports/data":    {"qc/words", "qc", "qc/length"},
	"reports/section": {"reports/picture", "reports/typeset", "reports/draw", "qc", "qc/length", "qc/words"},
	"reports/jig":     {"reports/typeset", "reports/draw", "qc", "qc/arch", "qc/bend", "qc/length", "qc/words"},
	"reports":         {"reports/section", "reports/data", "reports/picture", "reports/typeset", "qc", "qc/words"},

	"qc/pairing/certify":     {},
	"device/offline":         {"device", "device/wire"},
	"device/simgauge":        {},
	"device/simgauge/simbus": {},
}

// forbidden names packages outside ours that a layer must never see, by prefix of the layer.
var forbidden = map[string][]string{
	"qc":      {"os", "os/exec", "net", "net/http", "io/fs", "database/sql", "syscall"},
	"device":  {"database/sql", "net/http"},
	"reports": {"os", "net", "net/http", "database/sql"},

	// What is found is a code with its arguments; session/show makes text of it.
	"session/log":    {"fmt"},
	"session/doubt":  {"fmt"},
	"session/derive": {"fmt"},
}

type pkg struct {
	ImportPath string
	Imports    []string
}

// violations checks packages against the layers; cmd may import everything.
func violations(ps []pkg) []string {
	var bad []string
	for _, p := range ps {
		name := strings.TrimPrefix(p.ImportPath, "springline/")
		if strings.HasPrefix(name, "cmd/") {
			continue
		}
		allowed, ok := layers[name]
		if !ok {
			bad = append(bad, fmt.Sprintf("%s: stands in no layer; add it to the table", name))
			continue
		}
		for _, imp := range p.Imports {
			if of, ours := strings.CutPrefix(imp, "springline/"); ours && !slices.Contains(allowed, of) {
				bad = append(bad, fmt.Sprintf("%s imports %s", name, of))
			}
			for layer, outs := range forbidden {
				if (name == layer || strings.HasPrefix(name, layer+"/")) && slices.Contains(outs, imp) {
					bad = append(bad, fmt.Sprintf("%s imports %s", name, imp))
				}
			}
		}
	}
	return bad
}

// unused names the arrows and packages of the table that nobody draws.
func unused(ps []pkg) []string {
	var bad []string
	for name, allowed := range layers {
		i := slices.IndexFunc(ps, func(p pkg) bool { return p.ImportPath == "springline/"+name })
		if i < 0 {
			bad = append(bad, fmt.Sprintf("%s: no such package; take it out of the table", name))
			continue
		}
		for _, to := range allowed {
			if !slices.Contains(ps[i].Imports, "springline/"+to) {
				bad = append(bad, fmt.Sprintf("%s may import %s and does not; take it out of the table", name, to))
			}
		}
	}
	slices.Sort(bad)
	return bad
}

func ours(t *testing.T) []pkg {
	t.Helper()
	cmd := exec.Command("go", "list", "-json=ImportPath,Imports", "springline/...")
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("go list: %v", err)
	}
	var ps []pkg
	for d := json.NewDecoder(strings.NewReader(string(out))); ; {
		var p pkg
		if err := d.Decode(&p); errors.Is(err, io.EOF) {
			break
		} else if err != nil {
			t.Fatal(err)
		}
		ps = append(ps, p)
	}
	if len(ps) < 10 {
		t.Fatalf("go list named %d packages only", len(ps))
	}
	return ps
}

func TestArrowsPointDown(t *testing.T) {
	ps := ours(t)
	for _, v := range append(violations(ps), unused(ps)...) {
		t.Error(v)
	}
}

func TestPlantedViolationsAreCaught(t *testing.T) {
	for _, p := range []pkg{
		{"springline/qc", []string{"os"}},
		{"springline/qc/bend", []string{"net/http"}},
		{"springline/qc/pairing", []string{"springline/session"}},
		{"springline/device", []string{"springline/session"}},
		{"springline/device/wire", []string{"springline/reports"}},
		{"springline/reports", []string{"springline/device"}},
		{"springline/session", []string{"springline/session/web"}},
		{"springline/session/show", []string{"springline/session/command"}},
		{"springline/session/command", []string{"springline/session/show"}},
		{"springline/session/doubt", []string{"fmt"}},
		{"springline/elsewhere", nil},
	} {
		if len(violations([]pkg{p})) == 0 {
			t.Errorf("%s importing %v was let through", p.ImportPath, p.Imports)
		}
	}
}

func TestArrowsThatNobodyDrawsAreCaught(t *testing.T) {
	ps := ours(t)
	i := slices.IndexFunc(ps, func(p pkg) bool { return p.ImportPath == "springline/device" })
	ps[i].Imports = nil
	if got := unused(ps); !slices.ContainsFunc(got, func(s string) bool { return strings.HasPrefix(s, "device may import ") }) {
		t.Errorf("a package that imports nothing passes: %q", got)
	}
	if got := unused(slices.Delete(ps, i, i+1)); !slices.ContainsFunc(got,
		func(s string) bool { return strings.HasPrefix(s, "device: no such") }) {
		t.Errorf("a package that is gone passes: %q", got)
	}
}
