package typeset

import (
	"fmt"
	"io"

	"springline/reports/draw"
)

// WriteLabels writes labels of one size, given as drawings: one to a page where the paper has that size, for a
// label printer, else as many as fit a sheet, with thin lines to cut along. Title, ID and program are the sheet's.
func WriteLabels(w io.Writer, s Sheet, labels []draw.Drawing, size, on Paper) error {
	faces, err := draw.NewFaces()
	if err != nil {
		return fmt.Errorf("write labels %q as PDF: %w", s.ID, err)
	}
	f := newPDF(s, on)
	cut := on.W > size.W+1 || on.H > size.H+1
	across, down := 1, 1
	if cut {
		across, down = max(1, int((on.W-20)/size.W)), max(1, int((on.H-20)/size.H))
	}
	left, top := (on.W-float64(across)*size.W)/2, (on.H-float64(down)*size.H)/2
	for i, d := range labels {
		at := i % (across * down)
		if at == 0 {
			f.AddPage()
		}
		if cut {
			d.Items = append(d.Items, draw.Rect{W: size.W, H: size.H, Style: draw.Style{Stroke: .1, Dash: []float64{.6, 1.2}}})
		}
		d.Paint(draw.PDF{To: f, Faces: faces}, draw.Point{X: left + float64(at%across)*size.W, Y: top + float64(at/across)*size.H})
	}
	if len(labels) == 0 {
		f.AddPage()
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("write labels %q as PDF: %w", s.ID, err)
	}
	return nil
}
