package draw

import (
	"encoding/binary"
	"errors"
	"fmt"
	"strings"

	"codeberg.org/go-fonts/dejavu/dejavusanscondensed"
	"codeberg.org/go-fonts/dejavu/dejavusanscondensedbold"
)

// Faces measures text in the two faces that PDFs are set in.
type Faces struct{ regular, bold face }

// NewFaces reads the two faces.
func NewFaces() (Faces, error) {
	r, err := parseFace(dejavusanscondensed.TTF)
	if err != nil {
		return Faces{}, fmt.Errorf("read the regular face: %w", err)
	}
	b, err := parseFace(dejavusanscondensedbold.TTF)
	if err != nil {
		return Faces{}, fmt.Errorf("read the bold face: %w", err)
	}
	return Faces{regular: r, bold: b}, nil
}

func (f Faces) of(bold bool) face {
	if bold {
		return f.bold
	}
	return f.regular
}

// Width is how far a text of the given size in points runs, in millimetres, as PDFs show it.
func (f Faces) Width(s string, size float64, bold bool) float64 {
	fc, sum := f.of(bold), 0
	for _, r := range f.Printable(s, bold) {
		sum += fc.advance(r)
	}
	return float64(sum) / float64(fc.perEm) * size * mmPerPoint
}

// Printable is the text as a PDF can show it: a character that the face has no glyph for is written
// out by its code point, as {U+1F600}, so that two names that differ never print alike; marks that
// only steer the writing direction go; words written from right to left are put in the order seen.
func (f Faces) Printable(s string, bold bool) string {
	if ascii(s) {
		return s
	}
	fc := f.of(bold)
	var b strings.Builder
	for _, r := range visual(s) {
		switch {
		case steers(r):
		case r == 0xFFFD || fc.has(r):
			b.WriteRune(r)
		default:
			fmt.Fprintf(&b, "{U+%04X}", r)
		}
	}
	return b.String()
}

func ascii(s string) bool {
	for i := range len(s) {
		if s[i] < ' ' || s[i] > '~' {
			return false
		}
	}
	return true
}

// face is what is needed of a TrueType font: which glyph a character has and how wide it is.
type face struct {
	perEm  int
	widths []uint16 // by glyph; the last one stands for all further glyphs
	glyphs map[rune]uint16
}

func (f face) has(r rune) bool { return r <= 0xFFFF && f.glyphs[r] != 0 }

func (f face) advance(r rune) int {
	return int(f.widths[min(int(f.glyphs[r]), len(f.widths)-1)])
}

// parseFace reads the tables head, hhea, hmtx and cmap (format 4) of a TrueType font (ISO/IEC
// 14496-22, OpenType).
func parseFace(b []byte) (face, error) {
	u16 := func(i int) int { return int(binary.BigEndian.Uint16(b[i:])) }
	u32 := func(i int) int { return int(binary.BigEndian.Uint32(b[i:])) }
	table := map[string]int{}
	for i := range u16(4) {
		table[string(b[12+16*i:16+16*i])] = u32(20 + 16*i)
	}
	for _, name := range []string{"head", "hhea", "hmtx", "cmap"} {
		if table[name] == 0 {
			return face{}, fmt.Errorf("the font has no table %q", name)
		}
	}
	f := face{perEm: u16(table["head"] + 18), glyphs: map[rune]uint16{}}
	for i := range u16(table["hhea"] + 34) {
		f.widths = append(f.widths, uint16(u16(table["hmtx"]+4*i)))
	}
	at := 0
	for i := range u16(table["cmap"] + 2) {
		sub := table["cmap"] + u32(table["cmap"]+8+8*i)
		if u16(sub) == 4 {
			at = sub
		}
	}
	if at == 0 {
		return face{}, errors.New("the font has no character map of format 4")
	}
	n := u16(at+6) / 2
	ends, starts, deltas, offsets := at+14, at+16+2*n, at+16+4*n, at+16+6*n
	for i := range n {
		for c := u16(starts + 2*i); c <= u16(ends+2*i) && c < 0xFFFF; c++ {
			g := c
			if off := u16(offsets + 2*i); off != 0 {
				if g = u16(offsets + 2*i + off + 2*(c-u16(starts+2*i))); g == 0 {
					continue
				}
			}
			f.glyphs[rune(c)] = uint16(g + u16(deltas+2*i))
		}
	}
	return f, nil
}
