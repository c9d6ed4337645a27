package reports

import (
	"fmt"
	"strings"

	"springline/qc"
)

// A table of ribs holds so many characteristics side by side, and so many characters of numbers; a
// longer round goes on in a further table.
const (
	charsPerTable  = 8
	widthOfNumbers = 64
)

// chunks cuts the round into what stands side by side in one table.
func chunks(w work) [][]qc.Characteristic {
	var out [][]qc.Characteristic
	var now []qc.Characteristic
	width := 0
	for _, r := range w.bent { // long names take the room of numbers
		width = max(width, min(30, len([]rune(r.ID+r.Lot))-10))
	}
	taken := width
	for _, c := range w.b.Target.Round {
		n := 5
		for _, j := range w.measured(c.ID) {
			n = max(n, len([]rune(signed(j.Dev.Dev, w.places[c.ID]))), len([]rune(atLeast(2*j.U, w.places[c.ID])))+1)
		}
		if w.o.Blank {
			n = 5 * c.Repeats
		}
		if len(now) == charsPerTable || (len(now) > 0 && width+n+2 > widthOfNumbers) {
			out, now, width = append(out, now), nil, taken
		}
		now, width = append(now, c), width+n+2
	}
	return append(out, now)
}

// ribs is the table of all ribs: what needs a hand first, in bend order within a verdict.
func ribs(w work) Section {
	s := Section{Key: "ribs", Title: "Ribs", NewPage: w.o.Blank}
	if len(w.ribs) == 0 && !w.o.Blank {
		s.Blocks = append(s.Blocks, Block{Text: "No rib is on record yet."})
		return s
	}
	if w.o.Blank {
		s.Blocks = append(s.Blocks, Block{Text: "Write the value as read and its unit if it is not mm. Take every reading of a characteristic; between two readings lift the rib and lay it again."})
	} else {
		s.Blocks = append(s.Blocks, Block{Text: "Deviations in mm with their expanded uncertainty U below. Out of tolerance first, then in bend order. " + markKey})
	}
	parts := chunks(w)
	at := 0
	for i, cs := range parts {
		t := &Table{Blank: w.o.Blank}
		if len(parts) > 1 {
			t.Caption = fmt.Sprintf("Characteristics %d to %d of %d", at+1, at+len(cs), len(w.b.Target.Round))
		}
		if w.o.Blank {
			blankRibs(w, t, cs)
		} else {
			ribRows(w, t, cs, i == 0)
		}
		s.Blocks = append(s.Blocks, Block{Table: t})
		at += len(cs)
	}
	return s
}

func ribRows(w work, t *Table, cs []qc.Characteristic, first bool) {
	t.Columns = []Column{{Head: "No.", Align: Number}, {Head: "Rib"}, {Head: "Lot"}, {Head: "Verdict"}}
	for _, c := range cs {
		t.Columns = append(t.Columns, Column{Head: shortLabel(c), Unit: "mm", Align: Number, Marks: true})
	}
	for _, r := range w.ribs {
		row := Row{Strong: r.v.Word != qc.Pass, Cells: []Cell{
			{Text: fmt.Sprint(r.Order)}, {Text: r.ID, Bold: true, Second: roundText(r)}, {Text: r.Lot}, verdictCell(r.v)}}
		for _, c := range cs {
			row.Cells = append(row.Cells, deviationCell(w, r, c))
		}
		if first && r.v.Word != qc.Pass {
			row.Note = note(w, r)
		}
		t.Rows = append(t.Rows, row)
	}
}

func roundText(r judged) string {
	if r.Round > 1 {
		return fmt.Sprintf("round %d", r.Round)
	}
	return ""
}

func deviationCell(w work, r judged, c qc.Characteristic) Cell {
	j, ok := r.v.Of(c.ID)
	if !ok || !j.Measured {
		return Cell{Text: "—"}
	}
	p := w.places[c.ID]
	return Cell{Text: signed(j.Dev.Dev, p), Second: "±" + atLeast(2*j.U, p), Mark: charMark(j), Bold: j.Lane != qc.LaneIn || r.v.Worst == c.ID}
}

// note is the reason for a verdict that needs a hand, with the characteristic that decides.
func note(w work, r judged) string {
	s := sentence(r.v.Reason)
	if shape, ok := w.b.Target.ForBar(r.BarLength).FitShape(r.v); ok && r.v.Word == qc.ReBend {
		s += " Shape: " + sentence(shape.Sentence)
	}
	var skipped []string
	for _, j := range r.v.Chars {
		if j.Skipped {
			skipped = append(skipped, j.Char.Label())
		}
	}
	if len(skipped) > 0 {
		s += " Skipped: " + strings.Join(skipped, ", ") + "."
	}
	if c, ok := w.b.Target.Characteristic(r.v.Worst); ok && r.v.Word != qc.Open {
		s = "Worst: " + c.Label() + ". " + s
	}
	return s
}

func shortLabel(c qc.Characteristic) string {
	switch c.Kind {
	case qc.StationOffset:
		return string(c.ID)
	case qc.TipToTip:
		return "Tip to tip"
	case qc.CrownHeight:
		return "Crown"
	default:
		return capital(c.Label())
	}
}

func capital(s string) string {
	if s == "" || s[0] < 'a' || s[0] > 'z' {
		return s
	}
	return string(s[0]-'a'+'A') + s[1:]
}

// blankRibs gives a line for every rib planned and a spare, with a place for every reading.
func blankRibs(w work, t *Table, cs []qc.Characteristic) {
	t.Columns = []Column{{Head: "No.", Align: Number}, {Head: "Rib"}, {Head: "Lot"}}
	for _, c := range cs {
		for i := 1; i <= c.Repeats; i++ {
			head := shortLabel(c)
			if c.Repeats > 1 {
				head = fmt.Sprintf("%s %d", head, i)
			}
			t.Columns = append(t.Columns, Column{Head: head, Unit: "mm"})
		}
	}
	t.Columns = append(t.Columns, Column{Head: "Verdict"})
	for i := range max(w.b.Planned, 1) {
		row := Row{Cells: make([]Cell, len(t.Columns))}
		row.Cells[0].Text = fmt.Sprint(i + 1)
		t.Rows = append(t.Rows, row)
	}
}
