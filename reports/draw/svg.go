package draw

import (
	"bytes"
	"fmt"
	"html"
	"strconv"
	"strings"
)

// mmPerPoint is one typographic point (1/72 inch) in millimetres.
const mmPerPoint = 25.4 / 72

// SVG returns the drawing as one svg element that can stand in a page or in a file of its own.
func (d Drawing) SVG() []byte { return d.svg("") }

// SVGFile is SVG for a file of its own, which no page lends its fonts.
func (d Drawing) SVGFile() []byte {
	return d.svg(` font-family="Liberation Sans, Arial, Helvetica, DejaVu Sans, sans-serif"`)
}

func (d Drawing) svg(more string) []byte {
	p := &svgPainter{}
	p.line(`<svg xmlns="http://www.w3.org/2000/svg" class="drawing" role="img" width="%smm" height="%smm" viewBox="0 0 %s %s"%s>`,
		num(d.W), num(d.H), num(d.W), num(d.H), more)
	if d.Title != "" {
		p.line(`<title>%s</title>`, html.EscapeString(d.Title))
	}
	if d.Desc != "" {
		p.line(`<desc>%s</desc>`, html.EscapeString(d.Desc))
	}
	d.Paint(p, Point{})
	p.line(`</svg>`)
	return p.out.Bytes()
}

type svgPainter struct {
	out bytes.Buffer
}

func (p *svgPainter) line(format string, args ...any) {
	fmt.Fprintf(&p.out, format, args...)
	p.out.WriteByte('\n')
}

func (p *svgPainter) Path(path Path, stroke float64, dash []float64, fill Fill) {
	if len(path) == 0 || (stroke == 0 && fill == NoFill) {
		return
	}
	attr := map[Fill]string{NoFill: ` fill="none"`, Ink: "", Paper: ` fill="#fff"`}[fill]
	if stroke > 0 {
		attr += ` stroke="#000" stroke-width="` + num(stroke) + `"`
	}
	if len(dash) > 0 {
		attr += ` stroke-dasharray="` + strings.Join(nums(dash), " ") + `"`
	}
	p.line(`<path d="%s"%s/>`, pathData(path), attr)
}

func (p *svgPainter) Text(t Text) {
	attr := ""
	switch t.Anchor {
	case Middle:
		attr = ` text-anchor="middle"`
	case End:
		attr = ` text-anchor="end"`
	}
	if t.Bold {
		attr += ` font-weight="bold"`
	}
	if t.Turn != 0 {
		attr += fmt.Sprintf(` transform="rotate(%s %s %s)"`, num(t.Turn), num(t.At.X), num(t.At.Y))
	}
	p.line(`<text x="%s" y="%s" font-size="%s"%s>%s</text>`,
		num(t.At.X), num(t.At.Y), num(t.Size*mmPerPoint), attr, html.EscapeString(t.S))
}

func pathData(path Path) string {
	var b strings.Builder
	for _, s := range path {
		b.WriteByte(byte(s.Op))
		for i, q := range s.points() {
			if i > 0 {
				b.WriteByte(' ')
			}
			b.WriteString(num(q.X) + " " + num(q.Y))
		}
	}
	return b.String()
}

// num prints a number with at most three decimals and no idle zeros.
func num(v float64) string {
	s := strconv.FormatFloat(quantum(v), 'f', 3, 64)
	s = strings.TrimRight(strings.TrimRight(s, "0"), ".")
	if s == "-0" || s == "" {
		return "0"
	}
	return s
}

func nums(vs []float64) []string {
	out := make([]string, len(vs))
	for i, v := range vs {
		out[i] = num(v)
	}
	return out
}
