package device_test

import (
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"
)

var (
	testName  = regexp.MustCompile("`((?:Test|Fuzz|Benchmark)[A-Za-z0-9]+)`")
	recName   = regexp.MustCompile("`([a-z0-9-]+\\.rec)`")
	vectorID  = regexp.MustCompile(`\b([GW]\d+b?)\b`)
	testFunc  = regexp.MustCompile(`(?m)^func ((?:Test|Fuzz|Benchmark)[A-Za-z0-9]+)\(`)
	vectorRow = regexp.MustCompile(`"id": ?"([GW]\d+b?)"`)
)

// The table of failures has every row once and in order, says something in every cell, and names only
// tests, recordings and vectors that are there; what is checked by hand has its steps.
func TestFailureTable(t *testing.T) {
	text, err := os.ReadFile("FAILURES.md")
	if err != nil {
		t.Fatal(err)
	}
	table, hand, found := strings.Cut(string(text), "\n## By hand\n")
	if !found {
		t.Fatal("no part on what is checked by hand")
	}
	tests := namesIn(t, "..", "_test.go", testFunc)
	vectors := namesIn(t, "../testdata", ".jsonl", vectorRow)
	if len(tests) < 100 || len(vectors) < 100 {
		t.Fatalf("only %d tests and %d vectors were found", len(tests), len(vectors))
	}
	row := 0
	for _, line := range strings.Split(table, "\n") {
		if !strings.HasPrefix(line, "| S") {
			continue
		}
		row++
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		name := fmt.Sprintf("S%d", row)
		if len(cells) != 4 || cells[0] != name {
			t.Fatalf("row %d is %q with %d cells, want %s with 4", row, cells[0], len(cells), name)
		}
		for i, c := range cells[1:3] {
			if len(c) < 20 {
				t.Errorf("%s: cell %d says only %q", name, i+2, c)
			}
		}
		proofs := 0
		for _, m := range testName.FindAllStringSubmatch(cells[3], -1) {
			if proofs++; !tests[m[1]] {
				t.Errorf("%s: there is no %s", name, m[1])
			}
		}
		for _, m := range recName.FindAllStringSubmatch(cells[3], -1) {
			if _, err := os.Stat(filepath.Join("../testdata/gauges", m[1])); err != nil {
				t.Errorf("%s: %v", name, err)
			}
			proofs++
		}
		for _, m := range vectorID.FindAllStringSubmatch(cells[3], -1) {
			if !vectors[m[1]] {
				t.Errorf("%s: there is no vector %s", name, m[1])
			}
			proofs++
		}
		byHand := strings.Contains(cells[3], "By hand")
		if byHand != strings.Contains(hand, "\n### "+name+"\n") {
			t.Errorf("%s: the steps by hand and the table do not agree", name)
		}
		if proofs == 0 && !byHand {
			t.Errorf("%s: no proof", name)
		}
	}
	if row != 30 {
		t.Fatalf("%d rows, want S1 to S30", row)
	}
	for _, m := range testName.FindAllStringSubmatch(table, -1) {
		if !tests[m[1]] {
			t.Errorf("there is no %s", m[1])
		}
	}
}

// namesIn collects what a pattern finds in all files below dir with an ending.
func namesIn(t *testing.T, dir, ending string, pattern *regexp.Regexp) map[string]bool {
	t.Helper()
	names := map[string]bool{}
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil || d.IsDir() || !strings.HasSuffix(path, ending) {
			return err
		}
		b, err := os.ReadFile(path)
		for _, m := range pattern.FindAllStringSubmatch(string(b), -1) {
			names[m[1]] = true
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return names
}
