//go:build check

package checks

import (
	"go/ast"
	"go/token"
	"go/types"
	"maps"
	"os"
	"os/exec"
	"path"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/go/packages"
)

const module = "springline/"

// kept reads the names that wait for a later need, "PACKAGE.NAME why" on a line each; NAME may be * for all of a
// package that serves tests.
func kept(t *testing.T, file string) map[string]bool {
	t.Helper()
	b, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	list := map[string]bool{}
	for line := range strings.Lines(string(b)) {
		if line = strings.TrimSpace(line); line == "" || strings.HasPrefix(line, "#") {
			continue
		}
		name, why, _ := strings.Cut(line, " ")
		if strings.TrimSpace(why) == "" || list[name] {
			t.Errorf("%s: %q stands twice or without a reason", file, name)
		}
		list[name] = true
	}
	return list
}

// compare holds what was found against the kept list, both ways.
func compare(t *testing.T, file string, found []string) {
	t.Helper()
	keep, used := kept(t, file), map[string]bool{}
	slices.Sort(found)
	for _, name := range slices.Compact(found) {
		pkg, _, _ := strings.Cut(strings.TrimPrefix(name, path.Dir(name)+"/"), ".")
		whole := path.Join(path.Dir(name), pkg) + ".*"
		switch {
		case keep[name]:
			used[name] = true
		case keep[whole]:
			used[whole] = true
		default:
			t.Errorf("%s is used by nobody: delete it, or write into checks/%s why it waits", name, file)
		}
	}
	for name := range maps.Keys(keep) {
		if !used[name] {
			t.Errorf("checks/%s keeps %s, which is in use or gone: take the line out", file, name)
		}
	}
}

// No function of the program is out of reach of its commands.
func TestNothingIsDead(t *testing.T) {
	c := exec.Command("go", "tool", "deadcode", "-f", "{{range .Funcs}}{{println $.Path .Name}}{{end}}", "./cmd/...")
	c.Dir, c.Stderr = "../../..", os.Stderr
	out, err := c.Output()
	if err != nil {
		t.Fatalf("go tool deadcode: %v", err)
	}
	var found []string
	for line := range strings.Lines(string(out)) {
		if pkg, name, ok := strings.Cut(strings.TrimSpace(line), " "); ok && strings.HasPrefix(pkg, module) {
			found = append(found, strings.TrimPrefix(pkg, module)+"."+name)
		}
	}
	compare(t, "testdata/dead.txt", found)
}

// No name is exported that only its own package uses; a test of another package is a use. A type that an exported
// function, field or method of its package shows is used by whoever calls it, and so are all constants of a type or
// of a block of which one is used.
func TestNothingIsExportedInVain(t *testing.T) {
	ps, err := packages.Load(&packages.Config{Dir: "../../..", Tests: true, BuildFlags: []string{"-tags=full"},
		Mode: packages.NeedName | packages.NeedTypes | packages.NeedTypesInfo |
			packages.NeedSyntax | packages.NeedImports | packages.NeedDeps}, module+"...")
	if err != nil || packages.PrintErrors(ps) > 0 {
		t.Fatalf("load the tree: %v", err)
	}
	used := map[string]bool{}
	for _, p := range ps {
		for _, o := range p.TypesInfo.Uses {
			if o.Pkg() != nil && o.Pkg().Path() != strings.TrimSuffix(p.PkgPath, "_test") && o.Parent() == o.Pkg().Scope() {
				used[o.Pkg().Path()+"."+o.Name()] = true
			}
		}
	}
	var found []string
	for _, p := range ps {
		if p.ID != p.PkgPath || strings.HasSuffix(p.PkgPath, ".test") {
			continue // with its tests
		}
		shown := shownBy(p, used)
		for _, name := range p.Types.Scope().Names() {
			o := p.Types.Scope().Lookup(name)
			if !ast.IsExported(name) || used[p.PkgPath+"."+name] || shown[name] {
				continue
			}
			if n, ok := o.Type().(*types.Named); ok && n.Obj().Exported() && o != types.Object(n.Obj()) {
				continue // one of the values of a type
			}
			found = append(found, strings.TrimPrefix(p.PkgPath, module)+"."+name)
		}
	}
	compare(t, "testdata/exported.txt", found)
}

// shownBy names the types that exported declarations of a package mention and the constants beside one in use.
func shownBy(p *packages.Package, used map[string]bool) map[string]bool {
	shown := map[string]bool{}
	mark := func(n ast.Node) {
		ast.Inspect(n, func(n ast.Node) bool {
			if id, ok := n.(*ast.Ident); ok {
				if o, ok := p.TypesInfo.Uses[id].(*types.TypeName); ok && o.Pkg() == p.Types {
					shown[o.Name()] = true
				}
			}
			return true
		})
	}
	for _, f := range p.Syntax {
		for _, d := range f.Decls {
			switch d := d.(type) {
			case *ast.FuncDecl:
				if d.Name.IsExported() {
					mark(d.Type)
				}
			case *ast.GenDecl:
				for _, s := range d.Specs {
					if v, ok := s.(*ast.ValueSpec); ok && d.Tok == token.CONST && blockUsed(p.PkgPath, d, used) {
						shown[v.Names[0].Name] = true
					}
					if t, ok := s.(*ast.TypeSpec); ok && t.Name.IsExported() {
						mark(t.Type)
					}
				}
			}
		}
	}
	return shown
}

func blockUsed(pkg string, d *ast.GenDecl, used map[string]bool) bool {
	return slices.ContainsFunc(d.Specs, func(s ast.Spec) bool {
		return slices.ContainsFunc(s.(*ast.ValueSpec).Names, func(n *ast.Ident) bool { return used[pkg+"."+n.Name] })
	})
}
