//go:build full

package jig_test

import (
	"bytes"
	"fmt"
	"math"
	"os/exec"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"springline/reports/jig"
	"springline/reports/typeset"
)

// What a person tapes out is what the printed page says: the figures of the PDF, read back by another
// program (pdftotext, poppler), lie on the face radius about the centre that the same page names.
func TestJigSheetCanBeTapedOut(t *testing.T) {
	row := regexp.MustCompile(`(?m)^\s*(\d+)(?: crown| middle)?\s+(\d+\.\d)\s+(\d+\.\d)\s+(\d+\.\d)\s+(\d+\.\d)\s+(\d+\.\d)\s*$`)
	for name, spec := range jigCases {
		t.Run(name, func(t *testing.T) {
			s := jigSheet(t, spec, false)
			var pdf bytes.Buffer
			if err := jig.WritePDF(&pdf, s, typeset.A4); err != nil {
				t.Fatal(err)
			}
			cmd := exec.Command("pdftotext", "-layout", "-", "-")
			cmd.Stdin = &pdf
			out, err := cmd.Output()
			if err != nil {
				t.Fatalf("pdftotext (poppler-utils): %v", err)
			}
			text := string(out)
			centre := regexp.MustCompile(`X (\d+), Y (\d+) mm`).FindStringSubmatch(text)
			if centre == nil {
				t.Fatal("the centre is not on the sheet")
			}
			cx, cy := figureOf(t, centre[1]), figureOf(t, centre[2])
			rows := row.FindAllStringSubmatch(text, -1)
			if len(rows) != len(s.Plan.Contacts) {
				t.Fatalf("%d blocks are listed, want %d", len(rows), len(s.Plan.Contacts))
			}
			x1, y1 := figureOf(t, rows[0][2]), figureOf(t, rows[0][3])
			for i, r := range rows {
				x, y := figureOf(t, r[2]), figureOf(t, r[3])
				if got := math.Hypot(x-cx, y-cy); r[1] != strconv.Itoa(i+1) || math.Abs(got-spec.Face) > 0.11 {
					t.Errorf("block %s stands %.2f from the centre, want %.1f", r[1], got, spec.Face)
				}
				if got := math.Hypot(x-x1, y-y1); math.Abs(got-figureOf(t, r[4])) > 0.16 {
					t.Errorf("block %s: %.2f from block 1 by its X and Y, the sheet says %s", r[1], got, r[4])
				}
			}
			for _, want := range []string{fmt.Sprintf("%.1f mm", spec.Face), "licensed engineer", "loaded spring", "not by hand",
				"common practice, no source", "100 mm", "1 mm of error in the face radius", "1 % of yield"} {
				if !strings.Contains(strings.ToLower(strings.Join(strings.Fields(text), " ")), strings.ToLower(want)) {
					t.Errorf("the sheet does not say %q", want)
				}
			}
			for _, c := range []struct {
				word string
				said bool
			}{{"LEGS CROSS", name == "forty blocks"}, {"ONE HALF AT A TIME", name == "one half"}, {"TOO FEW BLOCKS", name == "five blocks"},
				{"NOT BY HAND", name == "heavy" || name == "no legs"}} {
				if strings.Contains(text, c.word) != c.said {
					t.Errorf("%q said: %v, want %v", c.word, !c.said, c.said)
				}
			}
			if strings.Contains(text, "NaN") || strings.Contains(text, "Inf") {
				t.Error("a number that is none is printed")
			}
		})
	}
}
