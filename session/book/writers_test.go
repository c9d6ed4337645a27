package book_test

import (
	"fmt"
	"go/ast"
	"go/parser"
	"go/token"
	"go/types"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"golang.org/x/tools/go/packages"
)

const bookPath = "springline/session/book"

// load reads packages with their types, seen from the root of the tree.
func load(t *testing.T, where ...string) []*packages.Package {
	t.Helper()
	pkgs, err := packages.Load(&packages.Config{
		Mode: packages.NeedName | packages.NeedFiles | packages.NeedImports | packages.NeedSyntax | packages.NeedTypes |
			packages.NeedTypesInfo,
		Dir: filepath.Join("..", ".."),
	}, where...)
	if err != nil {
		t.Fatal(err)
	}
	for _, p := range pkgs {
		for _, e := range p.Errors {
			t.Fatalf("load %s: %v", p.PkgPath, e)
		}
	}
	return pkgs
}

// writes are the places that assign to a field of a type of the book, or into a slice or map that such a field holds.
func writes(fset *token.FileSet, info *types.Info, files []*ast.File) (found []string) {
	for _, f := range files {
		ast.Inspect(f, func(n ast.Node) bool {
			for _, target := range written(n) {
				if name := bookField(info, target); name != "" {
					found = append(found, fmt.Sprintf("%s writes %s", fset.Position(target.Pos()), name))
				}
			}
			return true
		})
	}
	return found
}

// written are the expressions that a statement changes.
func written(n ast.Node) []ast.Expr {
	switch n := n.(type) {
	case *ast.AssignStmt:
		if n.Tok != token.DEFINE {
			return n.Lhs
		}
	case *ast.IncDecStmt:
		return []ast.Expr{n.X}
	case *ast.RangeStmt:
		if n.Tok == token.ASSIGN {
			return []ast.Expr{n.Key, n.Value}
		}
	case *ast.UnaryExpr:
		if n.Op == token.AND { // its address may be written through
			if sel, ok := n.X.(*ast.SelectorExpr); ok {
				return []ast.Expr{sel}
			}
		}
	case *ast.CallExpr:
		if id, ok := n.Fun.(*ast.Ident); ok && slices.Contains([]string{"delete", "clear", "copy"}, id.Name) && len(n.Args) > 0 {
			return n.Args[:1]
		}
	}
	return nil
}

// bookField names the field of a book type that e selects or indexes into, "" when it does neither. A local
// copy of a value may be changed: the path must pass a pointer, a slice or a map of the book.
func bookField(info *types.Info, e ast.Expr) string {
	name, through := "", false
	for {
		switch x := e.(type) {
		case *ast.IndexExpr:
			if _, isMap := info.TypeOf(x.X).Underlying().(*types.Map); isMap {
				through = true
			} else if _, isSlice := info.TypeOf(x.X).Underlying().(*types.Slice); isSlice {
				through = true
			}
			e = x.X
		case *ast.StarExpr:
			through = true
			e = x.X
		case *ast.ParenExpr:
			e = x.X
		case *ast.SelectorExpr:
			s, ok := info.Selections[x]
			if !ok {
				return ""
			}
			if _, isPointer := s.Recv().Underlying().(*types.Pointer); isPointer || s.Indirect() {
				through = true
			}
			if v, ok := s.Obj().(*types.Var); ok && name == "" && (ofBook(v) || ofBookType(s.Recv())) {
				name = types.TypeString(s.Recv(), nil) + "." + v.Name()
			}
			e = x.X
		default:
			if through {
				return name
			}
			return ""
		}
	}
}

func ofBook(o types.Object) bool { return o.Pkg() != nil && o.Pkg().Path() == bookPath }

// ofBookType says whether t is a type of the book, or a pointer to one: its fields may be those of what it embeds.
func ofBookType(t types.Type) bool {
	if p, ok := t.Underlying().(*types.Pointer); ok {
		t = p.Elem()
	}
	n, ok := t.(*types.Named)
	return ok && ofBook(n.Obj())
}

func TestOnlyApplyWritesTheBook(t *testing.T) {
	pkgs := load(t, "./session/...", "./cmd/...")
	if len(pkgs) < 10 {
		t.Fatalf("%d packages were read", len(pkgs))
	}
	for _, p := range pkgs {
		if p.PkgPath == bookPath {
			continue
		}
		for _, w := range writes(p.Fset, p.TypesInfo, p.Syntax) {
			t.Error(w)
		}
	}
}

// importing answers every import with the one package that the planted file needs.
type importing struct{ *types.Package }

func (i importing) Import(string) (*types.Package, error) { return i.Package, nil }

// prints are the uses of fmt beyond making an error, and of sentences, in the files of a package.
func prints(p *packages.Package) (found []string) {
	for id, o := range p.TypesInfo.Uses {
		if o.Pkg() == nil {
			continue
		}
		file := filepath.Base(p.Fset.Position(id.Pos()).Filename)
		if path := o.Pkg().Path(); path == "fmt" && o.Name() != "Errorf" || path == "springline/qc/words" && o.Name() == "English" {
			found = append(found, fmt.Sprintf("%s %s.%s", file, o.Pkg().Name(), o.Name()))
		}
	}
	slices.Sort(found)
	return slices.Compact(found)
}

// What is found is kept as codes: only errors are worded here, and why a rib is spare, which qc.Batch keeps as text.
func TestTheBookSaysNothing(t *testing.T) {
	want := []string{"book.go fmt.Sprintf", "copy.go words.English"} // RecordError, SpareWhy
	if got := prints(load(t, bookPath)[0]); !slices.Equal(got, want) {
		t.Errorf("the book makes text in %q, and may in %q", got, want)
	}
}

func TestAPlantedWriteIsSeen(t *testing.T) {
	fset := token.NewFileSet()
	f, err := parser.ParseFile(fset, "planted.go", `package planted

import "springline/session/book"

func planted(b *book.Book) {
	b.Seq = 7
	b.Lots[0].ID = "x"
	r := b.Batch.Ribs[0]
	r.Round = 3 // of qc.Rib, which book.Rib embeds
	own := book.Book{}
	own.Seq = 7 // a copy of one's own
}
`, 0)
	if err != nil {
		t.Fatal(err)
	}
	info := &types.Info{Types: map[ast.Expr]types.TypeAndValue{}, Selections: map[*ast.SelectorExpr]*types.Selection{},
		Uses: map[*ast.Ident]types.Object{}, Defs: map[*ast.Ident]types.Object{}}
	c := types.Config{Importer: importing{load(t, bookPath)[0].Types}}
	if _, err := c.Check("planted", fset, []*ast.File{f}, info); err != nil {
		t.Fatal(err)
	}
	found := writes(fset, info, []*ast.File{f})
	if len(found) != 3 || !strings.Contains(found[0], "Book.Seq") || !strings.Contains(found[2], "Rib.Round") {
		t.Errorf("planted writes were seen as %v", found)
	}
}
