package calc

import (
	"go/ast"
	"go/parser"
	"go/token"
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
