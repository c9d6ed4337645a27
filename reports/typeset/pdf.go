package typeset

import (
	"fmt"
	"io"
	"time"

	"codeberg.org/go-pdf/fpdf"

	"springline/reports/draw"
)

// Paper is a sheet size in millimetres.
type Paper struct {
	Name string
	W, H float64
}

// The papers. One layout serves both: its text block of 190 x 259 mm fits either.
var (
	A4     = Paper{"A4", 210, 297}
	Letter = Paper{"Letter", 215.9, 279.4}
)

// newPDF is an empty document whose bytes will depend on nothing but what is painted.
func newPDF(s Sheet, p Paper) *fpdf.Fpdf {
	f := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: p.W, Ht: p.H}})
	fixed := time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	f.SetCatalogSort(true)
	f.SetCreationDate(fixed)
	f.SetModificationDate(fixed)
	f.SetProducer(s.Software, true)
	f.SetTitle(s.Title, true)
	f.SetSubject(s.ID, true)
	f.SetLang("en")
	f.SetMargins(0, 0, 0)
	f.SetAutoPageBreak(false, 0)
	draw.AddFonts(f)
	return f
}

// WritePDF writes the sheet on the paper given. The bytes depend on nothing but the sheet and the
// paper: dates inside are fixed, objects sorted.
func WritePDF(w io.Writer, s Sheet, p Paper) error {
	faces, err := draw.NewFaces()
	if err != nil {
		return fmt.Errorf("write report %q as PDF: %w", s.ID, err)
	}
	pages, err := layOut(s, faces)
	if err != nil {
		return fmt.Errorf("write report %q as PDF: %w", s.ID, err)
	}
	f := newPDF(s, p)
	at := draw.Point{X: (p.W - Width) / 2, Y: (p.H - Height) / 2}
	for _, page := range pages {
		f.AddPage()
		f.SetLineCapStyle("butt")
		f.SetLineJoinStyle("miter")
		page.Paint(draw.PDF{To: f, Faces: faces}, at)
	}
	if err := f.Output(w); err != nil {
		return fmt.Errorf("write report %q as PDF: %w", s.ID, err)
	}
	return nil
}

// The sizes of labels that are tied to ribs.
var (
	SmallTag = Paper{"62 x 29 mm", 62, 29}
	LargeTag = Paper{"100 x 50 mm", 100, 50}
)
