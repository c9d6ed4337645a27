package typeset

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"springline/reports/draw"
)

// seen is a text on a page with its box in millimetres.
type seen struct {
	draw.Text
	x0, x1 float64
}

// reader is a painter that keeps what it is given.
type reader struct {
	faces  draw.Faces
	texts  []seen
	lo, hi draw.Point
}

func (r *reader) Path(p draw.Path, stroke float64, _ []float64, _ draw.Fill) {
	for _, s := range p {
		if s.Op == draw.MoveTo || s.Op == draw.LineTo {
			q := s.P[0]
			r.lo = draw.Point{X: math.Min(r.lo.X, q.X), Y: math.Min(r.lo.Y, q.Y)}
			r.hi = draw.Point{X: math.Max(r.hi.X, q.X), Y: math.Max(r.hi.Y, q.Y)}
		}
	}
}
func (r *reader) Text(t draw.Text) {
	w := r.faces.Width(t.S, t.Size, t.Bold)
	x := t.At.X
	switch t.Anchor {
	case draw.Middle:
		x -= w / 2
	case draw.End:
		x -= w
	}
	r.texts = append(r.texts, seen{t, x, x + w})
}

// check holds that nothing leaves the block and that no two texts on one line touch.
func (r *reader) check() error {
	const slack = 0.05
	if r.lo.X < -slack || r.lo.Y < -slack || r.hi.X > Width+slack || r.hi.Y > Height+slack {
		return fmt.Errorf("lines reach from %v to %v", r.lo, r.hi)
	}
	for i, a := range r.texts {
		if a.x0 < -slack || a.x1 > Width+slack || a.At.Y > Height || a.At.Y-a.Size*25.4/72*.8 < -slack {
			return fmt.Errorf("%q runs from %.2f to %.2f at %.2f", a.S, a.x0, a.x1, a.At.Y)
		}
		for _, b := range r.texts[i+1:] {
			if math.Abs(a.At.Y-b.At.Y) < 2 && a.x0 < b.x1-slack && b.x0 < a.x1-slack {
				return fmt.Errorf("%q and %q overlap at %.2f", a.S, b.S, a.At.Y)
			}
		}
	}
	return nil
}

// Names and numbers of any length, in tables of any shape: nothing is clipped, nothing overlaps, and
// the page's parts stay in order.
func TestPagesHoldWhateverTheyAreGiven(t *testing.T) {
	faces, err := draw.NewFaces()
	if err != nil {
		t.Fatal(err)
	}
	name := rapid.StringOfN(rapid.RuneFrom([]rune("Wil m-é骨")), 0, 120, -1)
	rapid.Check(t, func(rt *rapid.T) {
		m := Sheet{ID: "x", Title: name.Draw(rt, "title"), Running: []string{name.Draw(rt, "run")}, Foot: []string{name.Draw(rt, "foot")}}
		tab := &Table{Columns: []Column{{Head: "No.", Align: Number}, {Head: name.Draw(rt, "head")}, {Head: "Verdict"}}}
		places := rapid.IntRange(0, 3).Draw(rt, "places")
		for i := range rapid.IntRange(1, 6).Draw(rt, "numbers") {
			tab.Columns = append(tab.Columns, Column{Head: fmt.Sprintf("A%d", i), Unit: "mm", Align: Number, Marks: true})
		}
		for i := range rapid.IntRange(1, 30).Draw(rt, "rows") {
			row := Row{Strong: i%3 == 0, Cells: []Cell{{Text: fmt.Sprint(i)},
				{Text: name.Draw(rt, "name"), Bold: true}, {Text: "RE-MEASURE", Sign: draw.DottedTri, Bold: true}}}
			for range tab.Columns[3:] {
				row.Cells = append(row.Cells, Cell{Text: "−12." + strings.Repeat("3", places), Second: "±0.06", Mark: "▼", Bold: true})
			}
			if row.Strong {
				row.Note = name.Draw(rt, "note")
			}
			tab.Rows = append(tab.Rows, row)
		}
		m.Sections = []Section{
			{Key: "a", Title: "Facts", Blocks: []Block{{Facts: []Fact{
				{"Batch", name.Draw(rt, "id")}, {"Place", name.Draw(rt, "place")}, {"Date", ""}, {"Maker", "M"}, {"Lot", "L"}}}}},
			{Key: "b", Title: "Ribs", Blocks: []Block{{Text: name.Draw(rt, "text")}, {Table: tab}}},
			{Key: "c", Title: "Signed", Together: true, Blocks: []Block{
				{Table: &Table{Columns: tab.Columns[:1], Rows: []Row{{Cells: []Cell{{Text: "1"}}}, {Cells: []Cell{{Text: "2"}}}}}},
				{Signers: []Signer{{"Maker", name.Draw(rt, "maker")}, {Part: "Checker"}}}}},
		}
		pages, err := layOut(m, faces)
		if err != nil {
			rt.Fatal(err)
		}
		for i, p := range pages {
			r := &reader{faces: faces}
			p.Paint(r, draw.Point{})
			if err := r.check(); err != nil {
				rt.Errorf("page %d of %d: %v", i+1, len(pages), err)
			}
			heads, rows := 0, 0
			for _, s := range r.texts {
				if s.S == "RE-MEASURE" {
					rows++
				}
				if s.S == "Verdict" {
					heads++
				}
			}
			if (rows > 0) != (heads == 1) {
				rt.Errorf("page %d carries %d rows under %d heads", i+1, rows, heads)
			}
		}
		last := &reader{faces: faces}
		pages[len(pages)-1].Paint(last, draw.Point{})
		said := map[string]bool{}
		for _, s := range last.texts {
			said[s.S] = true
		}
		if !said["Signature"] || !said["1"] || !said["2"] {
			rt.Error("the signatures stand without two lines of a table")
		}
	})
}

// Columns keep what they need: no verdict word is cut, and numbers of a column end at one place.
func TestNumbersOfAColumnAlign(t *testing.T) {
	faces, err := draw.NewFaces()
	if err != nil {
		t.Fatal(err)
	}
	tab := &Table{Columns: []Column{{Head: "Rib"}, {Head: "Crown", Unit: "mm", Align: Number, Marks: true}}}
	texts := []string{"+11.9", "−0.4", "0.0", "−104.0"}
	for i, s := range texts {
		mark := ""
		if i == 0 {
			mark = "▲"
		}
		tab.Rows = append(tab.Rows, Row{Cells: []Cell{{Text: "R"}, {Text: s, Mark: mark}}})
	}
	pages, err := layOut(Sheet{Sections: []Section{{Blocks: []Block{{Table: tab}}}}}, faces)
	if err != nil {
		t.Fatal(err)
	}
	r := &reader{faces: faces}
	pages[0].Paint(r, draw.Point{})
	ends := map[string]float64{}
	for _, s := range r.texts {
		ends[s.S] = s.x1
	}
	for _, s := range texts {
		if ends[s] != 0 && math.Abs(ends[s]-ends[texts[0]]) > .001 {
			t.Errorf("%q ends at %.3f, %q at %.3f", s, ends[s], texts[0], ends[texts[0]])
		}
		if ends[s] == 0 {
			t.Errorf("%q is not on the page", s)
		}
	}
	if ends["▲"] <= ends["+11.9"] {
		t.Error("the mark does not stand after its number")
	}
}

// What is to stay together but is taller than a page is let go from its end rather than refused.
func TestTooMuchToKeepTogetherStillPrints(t *testing.T) {
	faces, err := draw.NewFaces()
	if err != nil {
		t.Fatal(err)
	}
	s := Section{Title: "Long", Together: true}
	for i := range 80 {
		s.Blocks = append(s.Blocks, Block{Text: fmt.Sprintf("line %d", i)})
	}
	pages, err := layOut(Sheet{Sections: []Section{s}}, faces)
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for _, p := range pages {
		r := &reader{faces: faces}
		p.Paint(r, draw.Point{})
		if err := r.check(); err != nil {
			t.Error(err)
		}
		for _, x := range r.texts {
			if strings.HasPrefix(x.S, "line ") {
				seen++
			}
		}
	}
	if seen != 80 || len(pages) != 3 {
		t.Errorf("%d of 80 lines on %d pages", seen, len(pages))
	}
}
