package typeset

import (
	"fmt"

	"springline/reports/draw"
)

// The text block, in millimetres: what A4 and Letter both hold with margins of 10 mm or more.
const (
	Width  = 190.0
	Height = 259.0
)

// Sizes in points and lines in millimetres. Nothing to be read as body is smaller than 10 points.
const (
	bodySize  = 10.0
	headSize  = 9.0
	runSize   = 9.0
	titleSize = 17.0
	partSize  = 12.0
	bodyLine  = 4.7
	headLine  = 4.1
	runLine   = 4.1
)

// piece is what is never split over two pages.
type piece struct {
	h        float64
	items    []draw.Item // drawn from its own upper left corner
	withNext bool        // not the last on a page
	head     *piece      // repeated above where a page begins with this piece
	gap      float64     // left free above it, except on top of a page
	newPage  bool        // begins a page
}

type typesetter struct {
	faces draw.Faces
	out   []piece
	head  float64 // height of the head lines of a page
	foot  float64
}

// layOut sets the sheet on pages of Width by Height.
func layOut(sheet Sheet, faces draw.Faces) ([]draw.Drawing, error) {
	t := &typesetter{faces: faces}
	running := t.running(sheet.Running, Width-34)
	footing := t.running(sheet.Foot, Width)
	t.head, t.foot = running.h+3.5, footing.h+3
	t.title(sheet.Title)
	for i, s := range sheet.Sections {
		t.section(s, i == 0)
	}
	pages, err := t.paginate()
	if err != nil {
		return nil, err
	}
	out := make([]draw.Drawing, len(pages))
	for i, body := range pages {
		d := draw.Drawing{W: Width, H: Height}
		d.Items = append(d.Items, running.items...)
		d.Items = append(d.Items,
			draw.Text{At: draw.Point{X: Width, Y: 3.2}, S: fmt.Sprintf("page %d of %d", i+1, len(pages)), Size: runSize, Anchor: draw.End},
			rule(running.h+.8, .2),
			draw.Group{Move: draw.Point{Y: t.head}, Items: body},
			rule(Height-footing.h-1.2, .2),
			draw.Group{Move: draw.Point{Y: Height - footing.h}, Items: footing.items})
		out[i] = d
	}
	return out, nil
}

// running sets the head or foot lines of a page.
func (t *typesetter) running(lines []string, width float64) piece {
	var p piece
	for _, l := range lines {
		t.write(&p, l, 0, width, 3.2, runLine, draw.Text{Size: runSize})
	}
	return p
}

// paginate fills pages from the top. Pieces that stay together move to the next page together.
func (t *typesetter) paginate() ([][]draw.Item, error) {
	room := Height - t.head - t.foot
	var pages [][]draw.Item
	var page []draw.Item
	y := 0.0
	for i := 0; i < len(t.out); {
		j, h := i+1, t.out[i].h
		for t.out[j-1].withNext && j < len(t.out) {
			h += t.out[j].gap + t.out[j].h
			j++
		}
		for h > room && j > i+1 { // too much to keep together: let go from the end
			j--
			h -= t.out[j].gap + t.out[j].h
		}
		gap := t.out[i].gap
		if y == 0 {
			gap = 0
		}
		if y > 0 && (y+gap+h > room || t.out[i].newPage) {
			pages, page, y, gap = append(pages, page), nil, 0, 0
		}
		if y == 0 && t.out[i].head != nil {
			page = append(page, draw.Group{Items: t.out[i].head.items})
			y = t.out[i].head.h
		}
		if y+gap+h > room+1e-9 {
			return nil, fmt.Errorf("a part of %.0f mm is taller than a page; shorten the names or texts in it", h)
		}
		for ; i < j; i++ {
			page = append(page, draw.Group{Move: draw.Point{Y: y + gap}, Items: t.out[i].items})
			y += gap + t.out[i].h
			if i+1 < j {
				gap = t.out[i+1].gap
			}
		}
	}
	return append(pages, page), nil
}

// write wraps a text below what the piece holds, set as the sample is: base lines are so far below the top of
// each line.
func (t *typesetter) write(p *piece, s string, x, width, base, line float64, as draw.Text) {
	for _, l := range t.faces.Wrap(s, width, as.Size, as.Bold) {
		as.At, as.S = draw.Point{X: x, Y: p.h + base}, l
		p.items = append(p.items, as)
		p.h += line
	}
}

// body writes at the size of running text.
func (t *typesetter) body(p *piece, s string, x, width float64, bold bool) {
	t.write(p, s, x, width, 3.6, bodyLine, draw.Text{Size: bodySize, Bold: bold})
}

// rule is a line across the whole width.
func rule(y, stroke float64) draw.Line {
	return draw.Line{A: draw.Point{Y: y}, B: draw.Point{X: Width, Y: y}, Style: draw.Style{Stroke: stroke}}
}

// upright is a line that parts columns.
func upright(x, from, to float64) draw.Line {
	return draw.Line{A: draw.Point{X: x, Y: from}, B: draw.Point{X: x, Y: to}, Style: draw.Style{Stroke: .1}}
}

func (t *typesetter) add(p piece) { t.out = append(t.out, p) }

func (t *typesetter) title(s string) {
	var p piece
	t.write(&p, s, 0, Width, 6.4, 7.6, draw.Text{Size: titleSize, Bold: true})
	p.h += 1.5
	p.withNext = true
	t.add(p)
}

func (t *typesetter) section(s Section, first bool) {
	from := len(t.out)
	if s.Title != "" {
		p := piece{h: 7, gap: 5.5, withNext: true}
		p.items = append(p.items,
			draw.Text{At: draw.Point{Y: 4.6}, S: s.Title, Size: partSize, Bold: true},
			rule(6, .35))
		t.add(p)
	}
	if s.NewPage && from < len(t.out) {
		t.out[from].newPage = true
	}
	for i, b := range s.Blocks {
		at := len(t.out)
		t.block(b)
		if b.Text != "" && i+1 < len(s.Blocks) && s.Blocks[i+1].Text == "" {
			t.out[at].withNext = true // what introduces a table or a figure stands with it
		}
	}
	if s.Together {
		for i := from; i < len(t.out)-1; i++ {
			t.out[i].withNext = true
		}
	}
}

func (t *typesetter) block(b Block) {
	switch {
	case b.Table != nil:
		t.table(b.Table)
	case b.Figure != nil:
		t.add(piece{h: b.Figure.H, gap: 2.5, items: b.Figure.Items})
	case b.Coded != nil:
		t.coded(b.Coded)
	case b.Signers != nil:
		t.signers(b.Signers)
	case b.Facts != nil:
		t.facts(b.Facts)
	case b.List != nil:
		for i, s := range b.List {
			p := t.paragraph(s, 5)
			p.items = append(p.items, draw.Text{At: draw.Point{Y: 3.6}, S: fmt.Sprintf("%d.", i+1), Size: bodySize})
			p.gap = 1
			t.add(p)
		}
	default:
		t.add(t.paragraph(b.Text, 0))
	}
}

func (t *typesetter) paragraph(s string, indent float64) piece {
	p := piece{gap: 1.6}
	t.body(&p, s, indent, Width-indent, false)
	return p
}
