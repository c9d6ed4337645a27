package typeset

import (
	_ "embed"
	"html/template"
	"io"

	"springline/reports/draw"
)

//go:embed page.html
var pageSource string

// WriteHTML writes the sheet as one self-contained page: no script, no outside file. Printed from a
// browser it gives the same text as the PDF.
func WriteHTML(w io.Writer, s Sheet) error {
	page, err := template.New("sheet").Funcs(template.FuncMap{
		// Drawings come from draw, which escapes every text; they are the only markup taken as it is.
		"svg":   func(d *draw.Drawing) template.HTML { return template.HTML(d.SVG()) },
		"code":  func(c *Coded) template.HTML { return template.HTML(c.Code.SVG()) },
		"sign":  signSVG,
		"num":   func(a Align) bool { return a == Number },
		"col":   func(t *Table, i int) Column { return t.Columns[i] },
		"short": func(s string) bool { return len(s) <= 12 },
		"key":   keyColumn,
		"inc":   func(i int) int { return i + 1 },
	}).Parse(pageSource)
	if err != nil {
		return err
	}
	return page.Execute(w, s)
}

// keyColumn is the column that names a row, which stays in sight when a narrow screen scrolls.
func keyColumn(t *Table) int {
	for i, c := range t.Columns {
		if c.Align == Left {
			return i
		}
	}
	return 0
}

// signSVG draws a verdict's shape; the word stands beside it, so it is hidden from readers of text.
func signSVG(s draw.Sign) template.HTML {
	if s == draw.NoSign {
		return ""
	}
	d := draw.Drawing{W: 5, H: 5, Items: s.Items(draw.Point{X: 2.5, Y: 2.5}, 2)}
	return template.HTML(`<span class="sign" aria-hidden="true">` + string(d.SVG()) + `</span>`)
}
