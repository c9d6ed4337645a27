package reports

import "springline/reports/draw"

const (
	cellPad   = 0.9 // left and right of every cell
	markSlot  = 3.4 // for the mark after a number
	signSlot  = 6.0 // for the shape before a verdict
	rowPad    = 1.1 // above and below the lines of a row
	blankRow  = 9.0 // height of a row to be written on
	leastText = 13.0
)

// table sets a table: head, then every row as a piece that carries the head with it onto a new page.
func (t *typesetter) table(tab *Table) {
	widths := t.columnWidths(tab)
	head := t.tableHead(tab, widths)
	first := head
	first.gap, first.withNext = 2, true
	if tab.Caption != "" {
		c := t.paragraph(tab.Caption, 0)
		c.withNext = true
		t.add(c)
	}
	t.add(first)
	for i, r := range tab.Rows {
		p := t.tableRow(tab, r, widths)
		p.head = &head
		if i == 0 && len(tab.Rows) > 1 {
			p.withNext = true // a head never stands over a single row at the foot of a page
		}
		t.add(p)
	}
}

// columnWidths gives numbers and marks what they need and shares the rest among texts: all of it to
// those that fit, the remainder in equal parts to the long ones.
func (t *typesetter) columnWidths(tab *Table) []float64 {
	n := len(tab.Columns)
	natural, least := make([]float64, n), make([]float64, n)
	for i, c := range tab.Columns {
		slot := 2 * cellPad
		least[i] = max(t.longestWord(c.Head, headSize, true), t.longestWord(c.Unit, headSize, false))
		for _, r := range tab.Rows {
			cell := r.Cells[i]
			extra := 0.0
			if cell.Sign != draw.NoSign {
				extra = signSlot
			}
			if cell.Mark != "" && !c.Marks {
				extra += markSlot
			}
			w := max(t.faces.Width(cell.Text, bodySize, cell.Bold), t.faces.Width(cell.Second, bodySize, false))
			natural[i] = max(natural[i], w+extra)
			if c.Align == Number || cell.Sign != draw.NoSign {
				least[i] = max(least[i], w+extra)
			} else {
				word := max(t.longestWord(cell.Text, bodySize, cell.Bold), t.longestWord(cell.Second, bodySize, false))
				least[i] = max(least[i], min(word+extra, leastText))
			}
		}
		if c.Marks {
			slot += markSlot
		}
		natural[i] = max(natural[i], least[i]) + slot
		least[i] += slot
		if tab.Blank && c.Align != Number {
			natural[i] = max(natural[i], leastText)
		}
	}
	squeeze(tab, least)
	return share(natural, least, blockWidth)
}

// squeeze takes width from text columns, whose words can be cut, where the least widths do not fit.
func squeeze(tab *Table, least []float64) {
	const narrowest = 8.0
	over := -blockWidth
	for _, w := range least {
		over += w
	}
	for over > 1e-6 {
		at := -1
		for i, c := range tab.Columns {
			if c.Align == Left && least[i] > narrowest && (at < 0 || least[i] > least[at]) {
				at = i
			}
		}
		if at < 0 {
			return
		}
		take := min(over, max(.5, (least[at]-narrowest)/2), least[at]-narrowest)
		least[at] -= take
		over -= take
	}
}

// share fills the width: every column gets its least; what is left goes to columns still short of
// their natural width, in equal parts, and any rest evenly to all.
func share(natural, least []float64, width float64) []float64 {
	out := append([]float64{}, least...)
	left := width
	for _, w := range least {
		left -= w
	}
	for left > 1e-6 {
		short := 0
		for i := range out {
			if out[i] < natural[i]-1e-9 {
				short++
			}
		}
		if short == 0 {
			for i := range out {
				out[i] += left / float64(len(out))
			}
			return out
		}
		part := left / float64(short)
		for i := range out {
			if d := natural[i] - out[i]; d > 1e-9 {
				d = min(d, part)
				out[i] += d
				left -= d
			}
		}
	}
	return out
}

func (t *typesetter) tableHead(tab *Table, widths []float64) piece {
	lines := make([][]string, len(widths))
	most, units := 1, 0
	for i, c := range tab.Columns {
		slot := 2 * cellPad
		if c.Marks {
			slot += markSlot
		}
		lines[i] = t.wrap(c.Head, widths[i]-slot+1e-6, headSize, true)
		most = max(most, len(lines[i]))
		if c.Unit != "" {
			units = 1
		}
	}
	p := piece{h: float64(most+units)*headLine + 1.6}
	x := 0.0
	for i, c := range tab.Columns {
		at, anchor := t.cellX(c, x, widths[i])
		for k, l := range lines[i] {
			y := float64(most-len(lines[i])+k)*headLine + 3.4
			p.items = append(p.items, draw.Text{At: draw.Point{X: at, Y: y}, S: l, Size: headSize, Bold: true, Anchor: anchor})
		}
		if c.Unit != "" {
			p.items = append(p.items, draw.Text{At: draw.Point{X: at, Y: float64(most)*headLine + 3.4}, S: c.Unit, Size: headSize, Anchor: anchor})
		}
		x += widths[i]
	}
	p.items = append(p.items, draw.Line{A: draw.Point{Y: p.h - .4}, B: draw.Point{X: blockWidth, Y: p.h - .4}, Style: draw.Style{Stroke: .3}})
	return p
}

// cellX is where the text of a cell stands: left, or right with the slot for marks kept free.
func (t *typesetter) cellX(c Column, x, w float64) (float64, draw.Anchor) {
	if c.Align == Left {
		return x + cellPad, draw.Start
	}
	if c.Marks {
		w -= markSlot
	}
	return x + w - cellPad, draw.End
}

func (t *typesetter) tableRow(tab *Table, r Row, widths []float64) piece {
	var p piece
	x, most := 0.0, 0.0
	for i, cell := range r.Cells {
		c := tab.Columns[i]
		at, anchor := t.cellX(c, x, widths[i])
		room := widths[i] - 2*cellPad
		if cell.Sign != draw.NoSign {
			p.items = append(p.items, cell.Sign.Items(draw.Point{X: at + 2.2, Y: rowPad + 2.3}, 1.95)...)
			at += signSlot
			room -= signSlot
		}
		if cell.Mark != "" && !c.Marks {
			room -= markSlot
		}
		y := rowPad
		put := func(s string, bold bool) {
			if s == "" {
				return
			}
			for _, l := range t.wrap(s, room+1e-6, bodySize, bold) {
				p.items = append(p.items, draw.Text{At: draw.Point{X: at, Y: y + 3.6}, S: l, Size: bodySize, Bold: bold, Anchor: anchor})
				y += bodyLine
			}
		}
		put(cell.Text, cell.Bold)
		if cell.Mark != "" {
			mx := at + .6
			if anchor == draw.Start {
				mx = at + t.faces.Width(cell.Text, bodySize, cell.Bold) + .6
			}
			p.items = append(p.items, draw.Text{At: draw.Point{X: mx, Y: rowPad + 3.6}, S: cell.Mark, Size: bodySize, Bold: true})
		}
		put(cell.Second, false)
		most = max(most, y)
		x += widths[i]
	}
	p.h = most
	if r.Note != "" {
		for _, l := range t.wrap(r.Note, blockWidth-noteIndent-cellPad, bodySize, false) {
			p.items = append(p.items, draw.Text{At: draw.Point{X: noteIndent, Y: p.h + 3.6}, S: l, Size: bodySize})
			p.h += bodyLine
		}
	}
	p.h += rowPad
	if tab.Blank {
		p.h = max(p.h, blankRow)
		p.items = append(p.items, columnLines(widths, p.h)...)
	}
	if r.Strong {
		p.items = append(p.items, draw.Line{A: draw.Point{X: .4, Y: .5}, B: draw.Point{X: .4, Y: p.h - .5}, Style: draw.Style{Stroke: .8}})
	}
	p.items = append(p.items, draw.Line{A: draw.Point{Y: p.h}, B: draw.Point{X: blockWidth, Y: p.h}, Style: draw.Style{Stroke: .1}})
	return p
}

const noteIndent = 8.0

// columnLines part the columns of a row that is written on.
func columnLines(widths []float64, h float64) []draw.Item {
	var out []draw.Item
	x := 0.0
	for _, w := range widths[:len(widths)-1] {
		x += w
		out = append(out, draw.Line{A: draw.Point{X: x}, B: draw.Point{X: x, Y: h}, Style: draw.Style{Stroke: .1}})
	}
	return out
}
