package calc

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// sources parses the Go files of a folder that are not tests, by name.
func sources(t *testing.T, dir string) map[string]*ast.File {
	t.Helper()
	names, err := filepath.Glob(filepath.Join(dir, "*.go"))
	if err != nil || len(names) == 0 {
		t.Fatalf("no sources in %s (%v)", dir, err)
	}
	files := map[string]*ast.File{}
	for _, name := range names {
		if strings.HasSuffix(name, "_test.go") {
			continue
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, parser.SkipObjectResolution)
		if err != nil {
			t.Fatal(err)
		}
		files[filepath.Base(name)] = f
	}
	return files
}

// A kind adapts; the distributions and the comparison with limits are the bench's.
func TestKindsLeaveTheJudgingToTheBench(t *testing.T) {
	for name, f := range sources(t, ".") {
		for _, why := range judges(f) {
			if strings.HasPrefix(name, "kinds") {
				t.Errorf("%s %s: call what the bench calls", name, why)
			}
		}
	}
	f, err := parser.ParseFile(token.NewFileSet(), "x.go", `package calc
		import "gonum.org/v1/gonum/stat/distuv"
		func bad() bool { return v <= upper-guard }
		func good() bool { return in.Lower >= in.Upper || n > 3 }`, 0)
	if err != nil {
		t.Fatal(err)
	}
	if got := judges(f); len(got) != 2 {
		t.Errorf("of an import and a comparison that are not allowed and two that are, the test sees %v", got)
	}
}

// judges names what in a file is the bench's to do: distributions, and a value compared with a limit.
func judges(f *ast.File) (found []string) {
	for _, i := range f.Imports {
		if strings.Contains(i.Path.Value, "gonum.org") {
			found = append(found, "imports "+i.Path.Value)
		}
	}
	limit := regexp.MustCompile(`(?i)lower|upper|limit|guard`)
	names := func(e ast.Expr) bool {
		found := false
		ast.Inspect(e, func(n ast.Node) bool {
			id, ok := n.(*ast.Ident)
			found = found || ok && limit.MatchString(id.Name)
			return true
		})
		return found
	}
	ast.Inspect(f, func(n ast.Node) bool {
		b, ok := n.(*ast.BinaryExpr)
		order := []token.Token{token.LSS, token.LEQ, token.GTR, token.GEQ}
		if ok && slices.Contains(order, b.Op) && names(b.X) != names(b.Y) {
			found = append(found, "compares with a limit by "+b.Op.String())
		}
		return true
	})
	return found
}

// rules names the function behind each kind, and whether the bench rests on it too or it is there for scripts
// alone: what only a script calls is never taken for what the bench was checked by.
var rules = map[string]struct {
	calls string
	used  use
}{
	"length.parse": {"Read", bench}, "length.round": {"RoundText", contractOnly}, "length.at_20c": {"At20C", bench},
	"gauge.decode": {"ParseFormat", bench}, "gauge.tape_limit": {"PermissibleError", bench}, "budget.tape": {"NewBudget", bench},
	"bar.moment": {"Moment", bench}, "bar.springback": {"Spring", bench}, "bar.jig_radius": {"Jig", bench},
	"bar.test_bend": {"FromTest", contractOnly}, "bar.effort": {"EffortAt", bench}, "rib.geometry": {"TipToTip", bench},
	"rib.fit_radius": {"FitRadius", contractOnly}, "rib.two_radius": {"SplitRadius", contractOnly},
	"rib.half_chords": {"LeanFromChords", contractOnly},
	"rib.set_onset":   {"Onset", bench}, "rib.set": {"Pull", bench}, "jig.advise": {"Advise", bench},
	"rib.correct": {"Correct", bench}, "jig.layout": {"LayOut", bench},
	"decide": {"Decide", bench}, "decide.risk": {"GlobalRisk", bench}, "stat.summary": {"Summarise", bench}, "stat.line": {"FitLine", bench},
	"chart.individuals": {"ChartIndividuals", bench}, "chart.ewma": {"ChartEWMA", bench},
	"chart.cusum": {"ChartCUSUM", bench}, "chart.rules": {"First", bench},
	"spread.capability": {"ProcessCapability", bench}, "spread.normality": {"AndersonDarling", bench},
	"spread.tolerance_factor": {"ToleranceFactors", bench},
	"study.crossed":           {"CrossedStudy", bench}, "outlier.grubbs": {"GrubbsTest", bench},
	"trend.kendall": {"MannKendall", bench}, "trend.change": {"ChangePoint", bench},
	"fit.circle": {"FitCircle", contractOnly}, "pair.match": {"Solve", bench},
	"pair.order": {"OrderPairs", bench}, "order.path": {"ShortestPath", bench},
}

type use string

const (
	bench        use = "bench"
	contractOnly use = "contract-only"
)

// Every kind calls its rule, and the rest of the program calls it too or, where it is said to, does not.
func TestEveryKindNamesItsRule(t *testing.T) {
	here, outside, defined := map[string]bool{}, map[string]map[string]bool{}, map[string]string{}
	err := filepath.WalkDir("../../..", func(path string, d fs.DirEntry, err error) error {
		if err != nil || !d.IsDir() || strings.HasPrefix(d.Name(), ".") && d.Name() != ".." {
			return err
		}
		if files, _ := filepath.Glob(filepath.Join(path, "*.go")); len(files) == 0 {
			return nil
		}
		dir := filepath.Clean(path)
		for _, f := range sources(t, path) {
			ast.Inspect(f, func(n ast.Node) bool {
				switch x := n.(type) {
				case *ast.FuncDecl:
					defined[x.Name.Name] = dir
				case *ast.CallExpr:
					name := called(x)
					if dir == filepath.Clean("../../../cmd/springline/calc") {
						here[name] = true
					} else if outside[name] == nil {
						outside[name] = map[string]bool{dir: true}
					} else {
						outside[name][dir] = true
					}
				}
				return true
			})
		}
		return nil
	})
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range Kinds() {
		r, ok := rules[k.Name]
		if !ok {
			t.Errorf("%s names no rule", k.Name)
			continue
		}
		if !here[r.calls] {
			t.Errorf("%s is said to call %s and nothing here does", k.Name, r.calls)
		}
		switch elsewhere := outside[r.calls]; {
		case r.used == bench && len(elsewhere) == 0:
			t.Errorf("%s: the bench does not call %s", k.Name, r.calls)
		case r.used == contractOnly && (len(elsewhere) > 1 || len(elsewhere) == 1 && !elsewhere[defined[r.calls]]):
			t.Errorf("%s: %s is called in %v: it is the bench's now", k.Name, r.calls, elsewhere)
		}
	}
}

// called is the name of the function or method called.
func called(x *ast.CallExpr) string {
	switch f := x.Fun.(type) {
	case *ast.SelectorExpr:
		return f.Sel.Name
	case *ast.Ident:
		return f.Name
	}
	return ""
}
