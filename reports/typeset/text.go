package typeset

import (
	"bufio"
	"fmt"
	"io"
	"strings"
	"unicode/utf8"

	"springline/reports/draw"
)

// textLine is where running text breaks on a terminal; tables may run wider.
const textLine = 96

// textSigns are the verdicts' shapes as characters.
var textSigns = map[draw.Sign]string{
	draw.NoSign: "", draw.DiscTick: "● ", draw.StripedOct: "▨ ", draw.DottedTri: "△ ",
	draw.DiamondCross: "◆ ", draw.HollowSquare: "□ ",
}

// WriteText writes the sheet as plain text for a terminal; drawings are left out.
func WriteText(w io.Writer, s Sheet) error {
	out := bufio.NewWriter(w)
	fmt.Fprintf(out, "%s\n%s\n", s.Title, strings.Repeat("=", min(textLine, utf8.RuneCountInString(s.Title))))
	for _, sec := range s.Sections {
		if sec.Title != "" {
			fmt.Fprintf(out, "\n%s\n%s\n", sec.Title, strings.Repeat("-", utf8.RuneCountInString(sec.Title)))
		}
		for _, b := range sec.Blocks {
			writeTextBlock(out, b)
		}
	}
	fmt.Fprintln(out)
	for _, f := range s.Foot {
		fmt.Fprintln(out, f)
	}
	return out.Flush()
}

func writeTextBlock(w io.Writer, b Block) {
	switch {
	case b.Table != nil:
		writeTextTable(w, b.Table)
	case b.Coded != nil:
		writeTextFacts(w, b.Coded.Facts)
	case b.Facts != nil:
		writeTextFacts(w, b.Facts)
	case b.Figure != nil:
	case b.Signers != nil:
		for _, s := range b.Signers {
			fmt.Fprintf(w, "%-8s name %-28s role ________________  date __________  signature ________________\n",
				s.Part, or(s.Name, strings.Repeat("_", 28)))
		}
	case b.List != nil:
		for i, s := range b.List {
			for k, l := range fill(s, textLine-4) {
				lead := "    "
				if k == 0 {
					lead = fmt.Sprintf("%2d. ", i+1)
				}
				fmt.Fprintln(w, lead+l)
			}
		}
	default:
		fmt.Fprintln(w, strings.Join(fill(b.Text, textLine), "\n"))
	}
}

func or(s, other string) string {
	if s == "" {
		return other
	}
	return s
}

func writeTextFacts(w io.Writer, fs []Fact) {
	wide := 0
	for _, f := range fs {
		wide = max(wide, utf8.RuneCountInString(f.Name))
	}
	for _, f := range fs {
		fmt.Fprintf(w, "%s  %s\n", pad(f.Name, wide, Left), or(f.Value, strings.Repeat("_", 30)))
	}
}

func writeTextTable(w io.Writer, t *Table) {
	if t.Caption != "" {
		fmt.Fprintln(w, t.Caption)
	}
	widths := make([]int, len(t.Columns))
	heads := make([]string, len(t.Columns))
	for i, c := range t.Columns {
		heads[i] = c.Head
		if c.Unit != "" {
			heads[i] += " " + c.Unit
		}
		widths[i] = utf8.RuneCountInString(heads[i])
		for _, r := range t.Rows {
			widths[i] = max(widths[i], utf8.RuneCountInString(cellText(t, r, i)))
		}
	}
	line := func(cells []string) {
		for i, c := range cells {
			cells[i] = pad(c, widths[i], t.Columns[i].Align)
		}
		fmt.Fprintln(w, strings.TrimRight(strings.Join(cells, "  "), " "))
	}
	line(heads)
	for _, r := range t.Rows {
		cells := make([]string, len(r.Cells))
		for i := range r.Cells {
			cells[i] = cellText(t, r, i)
		}
		line(cells)
		if r.Note != "" {
			for _, l := range fill(r.Note, textLine-6) {
				fmt.Fprintln(w, "      "+l)
			}
		}
	}
}

func cellText(t *Table, r Row, i int) string {
	c := r.Cells[i]
	s := textSigns[c.Sign] + c.Text
	if c.Second != "" {
		s += " " + c.Second
	}
	switch {
	case c.Mark != "":
		s += " " + c.Mark
	case t.Columns[i].Marks:
		s += "  "
	}
	if t.Blank && s == "" {
		return "______"
	}
	return s
}

func pad(s string, width int, a Align) string {
	gap := strings.Repeat(" ", max(0, width-utf8.RuneCountInString(s)))
	if a == Number {
		return gap + s
	}
	return s + gap
}

// fill breaks a text at spaces.
func fill(s string, width int) []string {
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && utf8.RuneCountInString(line)+1+utf8.RuneCountInString(word) > width {
			lines, line = append(lines, line), ""
		}
		if line != "" {
			line += " "
		}
		line += word
	}
	return append(lines, line)
}
