package typeset

import (
	"strings"

	"springline/qc/words"
	"springline/reports/draw"
)

// Sizes of what is read at arm's length: the text in points, its line and the row of a table in millimetres.
const (
	yardSize = 12.5
	yardLine = 5.7
	yardRow  = 6.1
)

// Yard sets what is read at arm's length, with both hands busy. All that it sets are figures, one for each
// paragraph, so that pages can break between them.
type Yard struct{ draw.Faces }

// NewYard reads the faces.
func NewYard() (Yard, error) {
	f, err := draw.NewFaces()
	return Yard{f}, err
}

// lines puts a text below what the drawing holds, from x to the right edge of the given width.
func (y Yard) lines(d *draw.Drawing, text string, x, width float64, bold bool) (height float64) {
	for _, l := range y.Wrap(words.Minus(text), width, yardSize, bold) {
		d.Items = append(d.Items, draw.Text{At: draw.Point{X: x, Y: d.H + height + 4.4}, S: l, Size: yardSize, Bold: bold})
		height += yardLine
	}
	return height
}

// Say sets paragraphs.
func (y Yard) Say(paragraphs ...string) []Block {
	var out []Block
	for _, p := range paragraphs {
		d := draw.Drawing{W: Width}
		d.H = y.lines(&d, p, 0, Width, false)
		out = append(out, Block{Figure: &d})
	}
	return out
}

// Warn sets a paragraph in bold with a heavy bar at its left.
func (y Yard) Warn(text string) Block {
	d := draw.Drawing{W: Width}
	d.H = y.lines(&d, text, 4, Width-4, true)
	d.Items = append(d.Items, draw.Rect{W: 1.6, H: d.H, Style: draw.Style{Fill: draw.Ink}})
	return Block{Figure: &d}
}

// Tell sets facts in two columns, the value in bold; one too wide for a column takes a row.
func (y Yard) Tell(facts []Fact) Block {
	const gutter, name = 4.0, 40.0
	half := (Width - gutter) / 2
	d := draw.Drawing{W: Width}
	x, h := 0.0, 0.0
	for _, f := range facts {
		narrow := y.Width(f.Value, yardSize, true) <= half-name
		width := Width
		if narrow {
			width = half
		}
		if x > 0 && !narrow {
			x, d.H = 0, d.H+h
		}
		d.Items = append(d.Items, draw.Text{At: draw.Point{X: x, Y: d.H + 4.4}, S: f.Name, Size: yardSize})
		h = y.lines(&d, f.Value, x+name, width-name, true)
		if narrow && x == 0 {
			x = half + gutter
		} else {
			x, d.H = 0, d.H+h
		}
	}
	if x > 0 {
		d.H += h
	}
	return Block{Figure: &d}
}

// Table sets a ruled table; the rows that bold names stand out, every fifth rule is heavy. A head may have two
// lines.
func (y Yard) Table(heads []string, widths []float64, rows [][]string, bold func(row int) bool) Block {
	d := draw.Drawing{W: Width}
	cell := func(x, base, w float64, text string, strong, first bool) {
		size := yardSize
		for size > 9 && y.Width(text, size, strong) > w-2 {
			size -= .5
		}
		at := draw.Text{At: draw.Point{X: x + w - 2, Y: base}, S: text, Size: size, Bold: strong, Anchor: draw.End}
		if first {
			at.At.X, at.Anchor = x+1, draw.Start
		}
		d.Items = append(d.Items, at)
	}
	total := 0.0
	for i, h := range heads {
		for k, line := range strings.Split(h, "\n") {
			cell(total, 4.2+4.8*float64(k), widths[i], line, true, i == 0)
		}
		total += widths[i]
	}
	rule := func(stroke float64) {
		d.Items = append(d.Items, draw.Line{A: draw.Point{Y: d.H}, B: draw.Point{X: total, Y: d.H}, Style: draw.Style{Stroke: stroke}})
	}
	d.H = 10.8
	rule(.5)
	for r, row := range rows {
		x := 0.0
		for i, text := range row {
			cell(x, d.H+4.6, widths[i], words.Minus(text), bold(r) || i == 0, i == 0)
			x += widths[i]
		}
		d.H += yardRow
		if (r+1)%5 == 0 || r == len(rows)-1 {
			rule(.4)
		} else {
			rule(.12)
		}
	}
	return Block{Figure: &d}
}
