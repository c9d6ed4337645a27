package main

import (
	"go/ast"
	"go/parser"
	"go/token"
	"io/fs"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// No clock below cmd: time comes in from above, so that a replay equals the live run. time.Since and
// time.Until read the clock too. Tests may.
func TestNoClockBelowCmd(t *testing.T) {
	root := filepath.Join("..", "..")
	files := 0
	for _, dir := range []string{"qc", "device", "session", "reports"} {
		err := filepath.WalkDir(filepath.Join(root, dir), func(path string, d fs.DirEntry, err error) error {
			if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") || strings.HasSuffix(path, "_test.go") {
				return err
			}
			files++
			for _, at := range clockReads(t, path, nil) {
				t.Errorf("%s reads the clock; take it from the caller", at)
			}
			return nil
		})
		if err != nil && !os.IsNotExist(err) {
			t.Fatal(err)
		}
	}
	if files < 20 {
		t.Fatalf("only %d files were looked at", files)
	}
	if got := clockReads(t, "planted.go", "package p\nimport \"time\"\nvar x = time.Now()\n"); len(got) != 1 {
		t.Errorf("a planted clock read was not seen: %v", got)
	}
}

func clockReads(t *testing.T, path string, src any) []string {
	t.Helper()
	set := token.NewFileSet()
	f, err := parser.ParseFile(set, path, src, 0)
	if err != nil {
		t.Fatal(err)
	}
	var at []string
	ast.Inspect(f, func(n ast.Node) bool {
		s, ok := n.(*ast.SelectorExpr)
		if !ok {
			return true
		}
		if x, ok := s.X.(*ast.Ident); ok && x.Name == "time" && (s.Sel.Name == "Now" || s.Sel.Name == "Since" || s.Sel.Name == "Until") {
			at = append(at, set.Position(s.Pos()).String())
		}
		return true
	})
	return at
}
