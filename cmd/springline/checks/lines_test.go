//go:build check

package checks

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"unicode/utf8"
)

// A line of Go is read whole on one screen: at most 140 characters, a tab being one.
func TestLinesAreShort(t *testing.T) {
	n := 0
	err := filepath.WalkDir("../../..", func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ".go") {
			return err
		}
		b, err := os.ReadFile(path)
		for i, line := range strings.Split(string(b), "\n") {
			n++
			if long := utf8.RuneCountInString(line); long > 140 {
				t.Errorf("%s:%d has %d characters", path, i+1, long)
			}
		}
		return err
	})
	if err != nil || n < 10_000 {
		t.Fatalf("only %d lines were looked at: %v", n, err)
	}
}
