package words

import (
	"go/ast"
	"go/parser"
	"go/token"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"
)

// The decoder of a gauge's line names faults by codes of words joined by hyphens, and nothing else is written so there.
func TestEveryLineFaultHasWords(t *testing.T) {
	files, err := filepath.Glob("../../device/wire/*.go")
	if err != nil || len(files) == 0 {
		t.Fatal(files, err)
	}
	code := regexp.MustCompile(`^[a-z]{3,}(-[a-z]+)+$`)
	named := map[string]bool{}
	for _, name := range files {
		if strings.HasSuffix(name, "_test.go") || filepath.Base(name) == "named.go" {
			continue // named.go names formats
		}
		f, err := parser.ParseFile(token.NewFileSet(), name, nil, 0)
		if err != nil {
			t.Fatal(err)
		}
		ast.Inspect(f, func(n ast.Node) bool {
			if lit, ok := n.(*ast.BasicLit); ok && lit.Kind == token.STRING {
				if s, err := strconv.Unquote(lit.Value); err == nil && code.MatchString(s) {
					named[s] = true
				}
			}
			return true
		})
	}
	for s := range named {
		if lineFaults[s] == "" {
			t.Errorf("device/wire names the fault %q and there are no words for it", s)
		}
	}
	for s := range lineFaults {
		if !named[s] {
			t.Errorf("%q has words and device/wire never names it", s)
		}
	}
}

func TestLineFaultsOfOtherReleases(t *testing.T) {
	for _, c := range []struct{ on, want string }{
		{`{"code":"refused.frame","fault":"reply-missing"}`, "no answer within timeout_ms"},
		{`{"code":"refused.frame","fault":"newer-fault"}`, "newer-fault"},
		{`{"code":"refused.frame","detail":"half a frame"}`, "half a frame"},
		{`{"code":"value.which-gauge","why":"two are alike"}`, "it is not certain which gauge this is: two are alike"},
		{`{"code":"value.not-checked","gauge":"T","state":"never checked"}`, "T: never checked, and this batch takes checked gauges only"},
	} {
		if f, err := decode([]byte(c.on)); err != nil || English.Say(f) != c.want {
			t.Errorf("%s is said as %q, %v; want %q", c.on, English.Say(f), err, c.want)
		}
	}
}
