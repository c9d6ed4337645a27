package jig_test

import (
	"bytes"
	"crypto/sha256"
	"flag"
	"fmt"
	"maps"
	"math"
	"os"
	"regexp"
	"slices"
	"strconv"
	"testing"

	"springline/qc/bend"
	"springline/reports/jig"
	"springline/reports/typeset"
)

func jigSheet(t *testing.T, s bend.PlanSpec, feet bool) jig.Sheet {
	t.Helper()
	p, err := bend.Draw(s)
	if err != nil {
		t.Fatal(err)
	}
	o := bend.Order{Diameter: s.Diameter, Modulus: 200e3, GradeYield: 500, Leg: s.Leg, Arc: s.Arc, Wanted: 2 * s.Face}
	e, err := o.Expect("", nil, s.Face)
	if err != nil {
		t.Fatal(err)
	}
	return jig.Sheet{Wanted: jig.Wanted{Name: "test rib", BarText: "12 mm B500B", Lot: "lot-1", Batch: "B-1", Feet: feet, Order: o},
		Software: "springline test", Plan: p, Expected: &e}
}

var jigCases = map[string]bend.PlanSpec{
	"five blocks":  {Diameter: 12, Face: 700, Leg: 500, Arc: 1200, Blocks: 5, Yield: 500, Room: 150},
	"forty blocks": {Diameter: 12, Face: 700, Leg: 900, Arc: 4200, Blocks: 40, Yield: 500, Room: 150},
	"half circle":  {Diameter: 12.7, Face: 1066.8, Leg: 1219.2, Arc: 3657.6, Yield: 280, Room: 150},
	"one half":     {Diameter: 12, Face: 660, Leg: 900, Arc: 4200, Blocks: 21, Yield: 540, Room: 150},
	"no legs":      {Diameter: 16, Face: 2000, Arc: 4200, Yield: 500, Room: 150},
	"heavy":        {Diameter: 32, Face: 1500, Leg: 300, Arc: 3000, Blocks: 9, Yield: 500, Room: 150},
}

func figureOf(t *testing.T, s string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(s, 64)
	if err != nil {
		t.Fatal(err)
	}
	return v
}

// The picture is to scale: distances between the contact dots on paper, times the scale printed beside
// them, are those of the table; the check bar is 100 mm long.
func TestJigPlanIsToScale(t *testing.T) {
	dot := regexp.MustCompile(`<path d="M(\S+) (\S+)C[^"]*Z"/>`)
	for name, spec := range jigCases {
		s := jigSheet(t, spec, true)
		var svg bytes.Buffer
		if err := jig.WriteSVG(&svg, s); err != nil {
			t.Fatal(err)
		}
		scale := regexp.MustCompile(`Scale 1 : (\d+)`).FindStringSubmatch(svg.String())
		if scale == nil {
			t.Fatalf("%s: no scale", name)
		}
		k := figureOf(t, scale[1])
		var dots [][2]float64
		for _, m := range dot.FindAllStringSubmatch(svg.String(), -1) {
			dots = append(dots, [2]float64{figureOf(t, m[1]), figureOf(t, m[2])})
		}
		n := len(s.Plan.Contacts)
		if len(dots) != n+1 { // the first is the datum corner
			t.Fatalf("%s: %d dots, want %d and the datum", name, len(dots), n)
		}
		for i := range n {
			a, b := dots[1], dots[1+i]
			want := math.Hypot(s.Plan.Contacts[i][0]-s.Plan.Contacts[0][0], s.Plan.Contacts[i][1]-s.Plan.Contacts[0][1])
			if got := k * math.Hypot(a[0]-b[0], a[1]-b[1]); math.Abs(got-want) > 0.003*k {
				t.Errorf("%s: block %d is drawn %.2f from block 1, want %.2f", name, i+1, got, want)
			}
		}
		// The datum dot has a radius of 1.7 and the contact dots one of 0.75: a circle begins at its right.
		if got := k * (dots[1][0] - .75 - (dots[0][0] - 1.7)); math.Abs(got-s.Plan.Contacts[0][0]) > 0.003*k {
			t.Errorf("%s: block 1 is drawn at X %.2f, want %.2f", name, got, s.Plan.Contacts[0][0])
		}
		bar := regexp.MustCompile(`<path d="M(\S+) (\S+)L(\S+) (\S+)" fill="none" stroke="#000" stroke-width="0.7"/>`)
		ok := false
		for _, m := range bar.FindAllStringSubmatch(svg.String(), -1) {
			ok = ok || m[2] == m[4] && math.Abs(figureOf(t, m[3])-figureOf(t, m[1])-100) < 1e-6
		}
		if !ok {
			t.Errorf("%s: no check bar of 100 mm", name)
		}
	}
}

var update = flag.Bool("update", false, "rewrite the golden file of this package")

// Sheets keep their bytes. A digest that changes says that something is set otherwise: look at the sheet, then
// rebuild with -update.
func TestJigSheetsKeepTheirBytes(t *testing.T) {
	var got bytes.Buffer
	for _, name := range slices.Sorted(maps.Keys(jigCases)) {
		for _, feet := range []bool{false, true} {
			s := jigSheet(t, jigCases[name], feet)
			var pdf, again, svg bytes.Buffer
			for _, err := range []error{jig.WritePDF(&pdf, s, typeset.A4), jig.WritePDF(&again, s, typeset.A4), jig.WriteSVG(&svg, s)} {
				if err != nil {
					t.Fatal(err)
				}
			}
			if !bytes.Equal(pdf.Bytes(), again.Bytes()) {
				t.Errorf("two sheets of one jig differ: %s", name)
			}
			fmt.Fprintf(&got, "%x jig %s, feet %v.pdf\n", sha256.Sum256(pdf.Bytes()), name, feet)
			fmt.Fprintf(&got, "%x jig %s, feet %v.svg\n", sha256.Sum256(svg.Bytes()), name, feet)
		}
	}
	const path = "../../testdata/golden/reports/jig-sums.txt"
	if *update {
		if err := os.WriteFile(path, got.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
	}
	want, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if !bytes.Equal(got.Bytes(), want) {
		t.Errorf("the digests are\n%s, want\n%s", &got, want)
	}
}
