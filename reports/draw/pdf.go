package draw

import (
	"math"

	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedbold"
	"codeberg.org/go-pdf/fpdf"
)

// family is the name under which both faces stand in a PDF.
const family = "body"

// AddFonts gives a PDF the two faces that texts are set in.
func AddFonts(f *fpdf.Fpdf) {
	f.AddUTF8FontFromBytes(family, "", dejavusanscondensed.TTF)
	f.AddUTF8FontFromBytes(family, "B", dejavusanscondensedbold.TTF)
}

// PDF paints onto the current page of a PDF that has the fonts of [AddFonts] and works in millimetres.
type PDF struct {
	To    *fpdf.Fpdf
	Faces Faces
}

// Path implements [Painter].
func (p PDF) Path(path Path, stroke float64, dash []float64, fill Fill) {
	how := map[bool]map[bool]string{
		true:  {true: "DF", false: "D"},
		false: {true: "F"},
	}[stroke > 0][fill != NoFill]
	if len(path) == 0 || how == "" {
		return
	}
	grey := 0
	if fill == Paper {
		grey = 255
	}
	p.To.SetFillColor(grey, grey, grey)
	p.To.SetLineWidth(math.Max(stroke, 0.01))
	p.To.SetDashPattern(dash, 0)
	for _, s := range path {
		switch s.Op {
		case MoveTo:
			p.To.MoveTo(s.P[0].X, s.P[0].Y)
		case LineTo:
			p.To.LineTo(s.P[0].X, s.P[0].Y)
		case CurveTo:
			p.To.CurveBezierCubicTo(s.P[0].X, s.P[0].Y, s.P[1].X, s.P[1].Y, s.P[2].X, s.P[2].Y)
		case Close:
			p.To.ClosePath()
		}
	}
	p.To.DrawPath(how)
}

// Text implements [Painter].
func (p PDF) Text(t Text) {
	s := p.Faces.Printable(t.S, t.Bold)
	style := ""
	if t.Bold {
		style = "B"
	}
	p.To.SetFont(family, style, t.Size)
	x := t.At.X
	switch t.Anchor {
	case Middle:
		x -= p.Faces.Width(t.S, t.Size, t.Bold) / 2
	case End:
		x -= p.Faces.Width(t.S, t.Size, t.Bold)
	}
	if t.Turn == 0 {
		p.To.Text(x, t.At.Y, s)
		return
	}
	p.To.TransformBegin()
	p.To.TransformRotate(-t.Turn, t.At.X, t.At.Y)
	p.To.Text(x, t.At.Y, s)
	p.To.TransformEnd()
}
