package section

import (
	"fmt"
	"unicode/utf8"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/typeset"
)

// A table of ribs holds so many characteristics side by side, and so many characters of numbers; a
// longer round goes on in a further table.
const (
	charsPerTable  = 8
	widthOfNumbers = 64
)

// chunks cuts the round into what stands side by side in one table: wide says how many characters one needs,
// taken how many names take beyond their own.
func chunks(round []qc.Characteristic, taken int, wide func(qc.Characteristic) int) [][]qc.Characteristic {
	var out [][]qc.Characteristic
	var now []qc.Characteristic
	width := taken
	for _, c := range round {
		n := wide(c) + 2
		if len(now) == charsPerTable || (len(now) > 0 && width+n > widthOfNumbers) {
			out, now, width = append(out, now), nil, taken
		}
		now, width = append(now, c), width+n
	}
	return append(out, now)
}

// chunked makes a table of each chunk, said which where there are several.
func chunked(parts [][]qc.Characteristic, make func(cs []qc.Characteristic, first bool) *typeset.Table) []typeset.Block {
	all, at := 0, 0
	for _, cs := range parts {
		all += len(cs)
	}
	var out []typeset.Block
	for i, cs := range parts {
		t := make(cs, i == 0)
		if len(parts) > 1 {
			t.Caption = fmt.Sprintf("Characteristics %d to %d of %d", at+1, at+len(cs), all)
		}
		at += len(cs)
		out = append(out, typeset.Block{Table: t})
	}
	return out
}

const markKey = "Bold: what decides the verdict. ▲ beyond the upper limit, ▼ beyond the lower limit, ? too near a limit to tell, " +
	"— not measured. " +
	"Below a verdict: which way to bend, or the characteristic least sure to be within its limits and the probability that it is (JCGM 106)."

// Ribs is the table of all ribs: what needs a hand first, in bend order within a verdict.
func Ribs(b qc.Judged) typeset.Section {
	s := typeset.Section{Key: "ribs", Title: "Ribs"}
	if len(b.ByNeed) == 0 {
		s.Blocks = []typeset.Block{text("No rib is on record yet.")}
		return s
	}
	names := 0
	for _, r := range b.InOrder { // long names take the room of numbers
		names = max(names, min(30, utf8.RuneCountInString(r.ID+r.Lot)-10))
	}
	parts := chunks(b.Target.Round, names, func(c qc.Characteristic) int {
		n, step := 5, b.Step(c.ID)
		for _, j := range b.Measured(c.ID) {
			n = max(n, utf8.RuneCountInString(words.Signed(j.Dev.Dev, step)), utf8.RuneCountInString(words.AtLeast(2*j.U, step))+1)
		}
		return n
	})
	s.Blocks = append([]typeset.Block{
		text("Deviations in mm with their expanded uncertainty U below. Out of tolerance first, then in bend order. " + markKey)},
		chunked(parts, func(cs []qc.Characteristic, first bool) *typeset.Table { return ribTable(b, cs, first) })...)
	return s
}

func ribTable(b qc.Judged, cs []qc.Characteristic, noted bool) *typeset.Table {
	t := table(num("No.", ""), col("Rib"), col("Lot"), col("Verdict"))
	for _, c := range cs {
		t.Columns = append(t.Columns, typeset.Column{Head: shortLabel(c), Unit: "mm", Align: typeset.Number, Marks: true})
	}
	for _, r := range b.ByNeed {
		line := row(fmt.Sprint(r.Order), r.ID, r.Lot)
		line.Cells[1].Bold = true
		if r.Round > 1 {
			line.Cells[1].Second = fmt.Sprintf("round %d", r.Round)
		}
		line.Cells = append(line.Cells, verdictCell(r.Verdict))
		for _, c := range cs {
			line.Cells = append(line.Cells, deviationCell(b, r, c))
		}
		line.Strong = r.Verdict.Word != qc.Pass
		if noted && line.Strong {
			line.Note = note(b, r)
		}
		t.Rows = append(t.Rows, line)
	}
	return t
}

func deviationCell(b qc.Judged, r qc.JudgedRib, c qc.Characteristic) typeset.Cell {
	j, ok := r.Verdict.Of(c.ID)
	if !ok || !j.Measured {
		return typeset.Cell{Text: "—"}
	}
	step := b.Step(c.ID)
	return typeset.Cell{Text: words.Signed(j.Dev.Dev, step), Second: "±" + words.AtLeast(2*j.U, step), Mark: mark(j),
		Bold: j.Lane != qc.LaneIn || r.Verdict.Worst == c.ID}
}

// mark stands after a deviation: beyond its upper or lower limit, or too near to tell.
func mark(j qc.Judgement) string {
	switch {
	case j.Lane == qc.LaneUnsure:
		return "?"
	case j.Lane == qc.LaneOut && j.Dev.Dev > 0:
		return "▲"
	case j.Lane == qc.LaneOut:
		return "▼"
	}
	return ""
}

// note is the reason for a verdict that needs a hand, with the characteristic that decides.
func note(b qc.Judged, r qc.JudgedRib) string {
	s := words.Sentence(words.English.Say(r.Verdict.Why))
	if r.Verdict.Word == qc.ReBend {
		if shape, ok := b.Target.ForBar(r.BarLength).FitShape(r.Verdict); ok {
			s += " Shape: " + words.Sentence(words.Minus(shape.Sentence))
		}
	}
	var skipped []string
	for _, j := range r.Verdict.Chars {
		if j.Skipped {
			skipped = append(skipped, j.Char.Label())
		}
	}
	if len(skipped) > 0 {
		s += " Skipped: " + list(skipped) + "."
	}
	if c, ok := b.Target.Characteristic(r.Verdict.Worst); ok && r.Verdict.Word != qc.Open {
		s = "Worst: " + c.Label() + ". " + s
	}
	return s
}
