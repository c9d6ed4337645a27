package reports

import (
	"fmt"
	"io"

	"springline/qc"
	"springline/reports/draw"
)

// TagSize is the size of a label or tag in millimetres.
type TagSize struct {
	Name string
	W, H float64
}

// The sizes of tags.
var (
	SmallTag = TagSize{"62 x 29 mm", 62, 29}
	LargeTag = TagSize{"100 x 50 mm", 100, 50}
)

// WriteTags writes a tag for each rib, one to a page of its own size, for a label printer.
func WriteTags(w io.Writer, m Model, size TagSize) error {
	return writeTags(w, m, size, Paper{size.Name, size.W, size.H})
}

// WriteTagSheets writes the tags onto sheets of paper, with thin lines to cut along.
func WriteTagSheets(w io.Writer, m Model, size TagSize, p Paper) error {
	return writeTags(w, m, size, p)
}

func writeTags(w io.Writer, m Model, size TagSize, p Paper) error {
	faces, err := draw.NewFaces()
	if err != nil {
		return fmt.Errorf("write tags of batch %q: %w", m.Document.Batch.ID, err)
	}
	f := newPDF(m, p)
	sheet := p.W > size.W+1 || p.H > size.H+1
	across, down := max(1, int((p.W-20)/size.W)), max(1, int((p.H-20)/size.H))
	if !sheet {
		across, down = 1, 1
	}
	left, top := (p.W-float64(across)*size.W)/2, (p.H-float64(down)*size.H)/2
	for i, r := range m.Document.Ribs {
		at := i % (across * down)
		if at == 0 {
			f.AddPage()
		}
		d, err := tag(m, r, size, faces)
		if err != nil {
			return fmt.Errorf("write the tag of rib %q: %w", r.ID, err)
		}
		if sheet {
			d.Items = append(d.Items, draw.Rect{W: size.W, H: size.H, Style: draw.Style{Stroke: .1, Dash: []float64{.6, 1.2}}})
		}
		d.Paint(draw.PDF{To: f, Faces: faces}, draw.Point{X: left + float64(at%across)*size.W, Y: top + float64(at/across)*size.H})
	}
	if len(m.Document.Ribs) == 0 {
		f.AddPage()
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("write tags of batch %q: %w", m.Document.Batch.ID, err)
	}
	return nil
}

// capHeight is the height of a capital over the size of DejaVu Sans Condensed Bold.
const capHeight = 0.729

// tag draws one tag: the rib's id as large as it goes, 8 mm tall where it is short enough, the verdict
// as shape and word, the batch, and a code that holds the id and nothing else.
func tag(m Model, r DocRib, size TagSize, faces draw.Faces) (draw.Drawing, error) {
	const margin = 1.5
	side := min(size.H-2*margin, size.W*.42)
	code, err := draw.QR(r.ID, side)
	if err != nil {
		return draw.Drawing{}, err
	}
	d := draw.Drawing{W: size.W, H: size.H}
	d.Items = append(d.Items, draw.Group{Move: draw.Point{X: size.W - margin - side, Y: (size.H - side) / 2}, Items: code.Items})
	t := &typesetter{faces: faces}
	room := size.W - side - 3*margin
	foot := size.H * .36 // verdict and batch stand in it
	pt, lines := 0.0, []string(nil)
	for pt = size.H * .32 / capHeight / 25.4 * 72; ; pt *= .93 {
		lines = t.wrap(r.ID, room, pt, true)
		whole := t.longestWord(r.ID, pt, true) <= room || pt < 12
		if whole && float64(len(lines))*pt*.36 <= size.H-foot-2*margin {
			break
		}
	}
	y := margin
	for _, l := range lines {
		y += pt * 25.4 / 72 * capHeight
		d.Items = append(d.Items, draw.Text{At: draw.Point{X: margin, Y: y}, S: l, Size: pt, Bold: true})
		y += pt * 25.4 / 72 * .28
	}
	word := size.H * .13 / capHeight / 25.4 * 72
	for t.faces.Width(r.Verdict, word, true) > room-size.H*.2 {
		word *= .95
	}
	base := size.H - foot + size.H*.13
	d.Items = append(d.Items, signOf(qc.Word(r.Verdict)).Items(draw.Point{X: margin + size.H*.085, Y: base - size.H*.065}, size.H*.08)...)
	d.Items = append(d.Items, draw.Text{At: draw.Point{X: margin + size.H*.2, Y: base}, S: r.Verdict, Size: word, Bold: true})
	below := m.Document.Batch.ID + " · " + r.Lot
	small := size.H * .085 / capHeight / 25.4 * 72
	for ; small > 5 && t.faces.Width(below, small, false) > room; small *= .95 {
	}
	d.Items = append(d.Items, draw.Text{At: draw.Point{X: margin, Y: size.H - margin - .6}, S: t.wrap(below, room, small, false)[0], Size: small})
	return d, nil
}
