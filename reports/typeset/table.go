package typeset

import "springline/reports/draw"

const (
	cellPad   = 1.1 // left and right of every cell
	numberGap = 2.4 // right of a number, where text may follow
	barInset  = 1.6 // left of the first column, where strong rows carry a bar
	markSlot  = 3.4 // for the mark after a number
	signSlot  = 6.0 // for the shape before a verdict
	rowPad    = 1.1 // above and below the lines of a row
	blankRow  = 8.0 // height of a row to be written on
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
		if i+1 < len(tab.Rows) && (i == 0 || i == len(tab.Rows)-2) {
			p.withNext = true // no row stands alone, under the head or on the next page
		}
		t.add(p)
	}
}

// columnWidths gives numbers and marks what they need and shares the rest among texts: all of it to
// those that fit, the remainder in equal parts to the long ones.
func (t *typesetter) columnWidths(tab *Table) []float64 {
	n := len(tab.Columns)
	natural, least := make([]float64, n), make([]float64, n)
	marks := 0.0
	for i, c := range tab.Columns {
		slot := c.slots(tab, i)
		least[i] = max(t.faces.LongestWord(c.Head, headSize, true), t.faces.LongestWord(c.Unit, headSize, false))
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
				word := max(t.faces.LongestWord(cell.Text, bodySize, cell.Bold), t.faces.LongestWord(cell.Second, bodySize, false))
				least[i] = max(least[i], min(word+extra, leastText))
			}
		}
		natural[i] = max(natural[i], least[i]) + slot
		least[i] += slot
		if c.Marks {
			marks = max(marks, least[i])
		}
		if tab.Blank && c.Align != Number {
			natural[i] = max(natural[i], leastText)
		}
	}
	alike := append([]float64{}, least...)
	sum := 0.0
	for i, c := range tab.Columns {
		if c.Marks {
			alike[i] = marks
		}
		sum += alike[i]
	}
	if sum <= Width { // columns of one kind are of one width where there is room
		least = alike
	}
	for i := range natural {
		natural[i] = max(natural[i], least[i])
	}
	squeeze(tab, least)
	return share(tab, natural, least)
}

// squeeze takes width from text columns, whose words can be cut, where the least widths do not fit.
func squeeze(tab *Table, least []float64) {
	const narrowest = 8.0
	over := -Width
	for _, w := range least {
		over += w
	}
	for over > 1e-6 {
		at := -1
		for i, c := range tab.Columns {
			if c.Align == Left && !tab.signed(i) && least[i] > narrowest && (at < 0 || least[i] > least[at]) {
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
// their natural width, in equal parts, and any rest to the columns that carry marks, else to texts.
func share(tab *Table, natural, least []float64) []float64 {
	out := append([]float64{}, least...)
	left := Width
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
			takers := takesRest(tab)
			for _, i := range takers {
				out[i] += left / float64(len(takers))
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

// signed reports whether column i carries verdicts, whose words are never cut.
func (tab *Table) signed(i int) bool {
	for _, r := range tab.Rows {
		if r.Cells[i].Sign != draw.NoSign {
			return true
		}
	}
	return false
}

// takesRest lists the columns that share the width nobody needs.
func takesRest(tab *Table) []int {
	var marks, texts, all []int
	for i, c := range tab.Columns {
		all = append(all, i)
		if c.Marks {
			marks = append(marks, i)
		}
		if c.Align == Left {
			texts = append(texts, i)
		}
	}
	switch {
	case len(marks) > 0:
		return marks
	case len(texts) > 0:
		return texts
	}
	return all
}

// slots is the width of a column that no text may take.
func (c Column) slots(tab *Table, i int) float64 {
	w := 2 * cellPad
	switch {
	case c.Marks:
		w += markSlot
	case c.Align == Number:
		w += numberGap
	}
	if i == 0 && c.Align == Left {
		w += barInset
	}
	return w
}

func (t *typesetter) tableHead(tab *Table, widths []float64) piece {
	lines := make([][]string, len(widths))
	most, units := 1, 0
	for i, c := range tab.Columns {
		lines[i] = t.faces.Wrap(c.Head, widths[i]-c.slots(tab, i)+1e-6, headSize, true)
		most = max(most, len(lines[i]))
		if c.Unit != "" {
			units = 1
		}
	}
	p := piece{h: float64(most+units)*headLine + 1.6}
	x := 0.0
	for i, c := range tab.Columns {
		at, anchor := c.textAt(i, x, widths[i])
		for k, l := range lines[i] {
			y := float64(most-len(lines[i])+k)*headLine + 3.4
			p.items = append(p.items, draw.Text{At: draw.Point{X: at, Y: y}, S: l, Size: headSize, Bold: true, Anchor: anchor})
		}
		if c.Unit != "" {
			p.items = append(p.items, draw.Text{At: draw.Point{X: at, Y: float64(most)*headLine + 3.4}, S: c.Unit, Size: headSize, Anchor: anchor})
		}
		x += widths[i]
	}
	p.items = append(p.items, rule(p.h-.4, .3))
	return p
}

// textAt is where the text of a cell of column i stands: left, or right with the slots kept free.
func (c Column) textAt(i int, x, w float64) (float64, draw.Anchor) {
	switch {
	case c.Align == Left && i == 0:
		return x + cellPad + barInset, draw.Start
	case c.Align == Left:
		return x + cellPad, draw.Start
	case c.Marks:
		return x + w - cellPad - markSlot, draw.End
	default:
		return x + w - cellPad - numberGap, draw.End
	}
}

func (t *typesetter) tableRow(tab *Table, r Row, widths []float64) piece {
	var p piece
	x, most := 0.0, 0.0
	for i, cell := range r.Cells {
		c := tab.Columns[i]
		at, anchor := c.textAt(i, x, widths[i])
		room := widths[i] - c.slots(tab, i)
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
			for _, l := range t.faces.Wrap(s, room+1e-6, bodySize, bold) {
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
		t.body(&p, r.Note, noteIndent, Width-noteIndent-cellPad, false)
	}
	p.h += rowPad
	if tab.Blank {
		p.h = max(p.h, blankRow)
		p.items = append(p.items, columnLines(widths, p.h)...)
	}
	if r.Strong {
		p.items = append(p.items, draw.Line{A: draw.Point{X: .4, Y: .5}, B: draw.Point{X: .4, Y: p.h - .5}, Style: draw.Style{Stroke: .8}})
	}
	p.items = append(p.items, rule(p.h, .1))
	return p
}

const noteIndent = 8.0

// columnLines part the columns of a row that is written on.
func columnLines(widths []float64, h float64) []draw.Item {
	var out []draw.Item
	x := 0.0
	for _, w := range widths[:len(widths)-1] {
		x += w
		out = append(out, upright(x, 0, h))
	}
	return out
}
