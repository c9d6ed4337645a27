package draw

import (
	"fmt"

	"github.com/boombuler/barcode/qr"
)

// QR draws a text as a QR code (ISO/IEC 18004, error level M) with sides of the given length in
// millimetres, the quiet zone of four modules included. Digits, capitals and " $%*+-./:" pack tighter
// than other text. Modules of a row that touch are drawn as one rectangle, so no seams show.
func QR(text string, size float64) (Drawing, error) {
	mode := qr.Unicode
	if alphanumeric(text) {
		mode = qr.AlphaNumeric
	}
	code, err := qr.Encode(text, qr.M, mode)
	if err != nil {
		return Drawing{}, fmt.Errorf("draw %d bytes as a QR code: %w", len(text), err)
	}
	n := code.Bounds().Dx()
	dark := func(x, y int) bool {
		r, _, _, _ := code.At(x, y).RGBA()
		return r == 0
	}
	module := size / float64(n+8)
	d := Drawing{W: size, H: size, Title: "QR code", Desc: text}
	for y := range n {
		for x := 0; x < n; x++ {
			from := x
			for x < n && dark(x, y) {
				x++
			}
			if x > from {
				d.Items = append(d.Items, Rect{
					X: float64(from+4) * module, Y: float64(y+4) * module,
					W: float64(x-from) * module, H: module, Style: Style{Fill: Ink},
				})
			}
		}
	}
	return d, nil
}

func alphanumeric(s string) bool {
	for _, r := range s {
		switch {
		case r >= '0' && r <= '9', r >= 'A' && r <= 'Z':
		case r == ' ', r == '$', r == '%', r == '*', r == '+', r == '-', r == '.', r == '/', r == ':':
		default:
			return false
		}
	}
	return true
}
