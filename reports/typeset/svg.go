package typeset

import (
	"fmt"
	"io"

	"springline/reports/draw"
)

// WriteSVG writes the pages, one below the other, as one picture at full size.
func WriteSVG(w io.Writer, s Sheet) error {
	faces, err := draw.NewFaces()
	if err != nil {
		return fmt.Errorf("write %q as SVG: %w", s.ID, err)
	}
	pages, err := layOut(s, faces)
	if err != nil {
		return fmt.Errorf("write %q as SVG: %w", s.ID, err)
	}
	const margin = 10.0
	d := draw.Drawing{W: Width + 2*margin, H: float64(len(pages)) * (Height + 2*margin), Title: s.Title,
		Desc: fmt.Sprintf("%d pages, one below the other, in millimetres at full size", len(pages))}
	for i, p := range pages {
		d.Items = append(d.Items, draw.Group{Move: draw.Point{X: margin, Y: float64(i)*(Height+2*margin) + margin}, Items: p.Items})
	}
	_, err = w.Write(d.SVGFile())
	return err
}
