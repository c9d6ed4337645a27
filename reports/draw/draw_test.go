package draw_test

import (
	"bytes"
	"encoding/xml"
	"errors"
	"flag"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"testing"

	"codeberg.org/go-pdf/fpdf"
	"github.com/boombuler/barcode/qr"
	"pgregory.net/rapid"

	"springline/reports/draw"
)

var update = flag.Bool("update", false, "rewrite the golden files of this package")

// sample holds one of everything.
func sample() draw.Drawing {
	line := draw.Style{Stroke: .3}
	return draw.Drawing{W: 100, H: 60, Title: "Everything", Desc: `all items & "signs"`, Items: []draw.Item{
		draw.Line{A: draw.Point{X: 1, Y: 1}, B: draw.Point{X: 20, Y: 5}, Style: draw.Style{Stroke: .2, Dash: []float64{1, .5}}},
		draw.Polyline{Points: []draw.Point{{X: 1, Y: 10}, {X: 5, Y: 12.3456}, {X: 9, Y: 10}}, Style: line},
		draw.Polygon{Points: []draw.Point{{X: 12, Y: 10}, {X: 18, Y: 10}, {X: 15, Y: 15}}, Style: draw.Style{Stroke: .3, Fill: draw.Stripes}},
		draw.Rect{X: 22, Y: 2, W: 10, H: 6, Style: draw.Style{Stroke: .3, Fill: draw.Dots}},
		draw.Circle{C: draw.Point{X: 40, Y: 6}, R: 4, Style: draw.Style{Fill: draw.Ink}},
		draw.Arc{C: draw.Point{X: 52, Y: 8}, R: 5, From: 180, To: 360, Style: line},
		draw.Text{At: draw.Point{X: 60, Y: 8}, S: "start <&>", Size: 10},
		draw.Text{At: draw.Point{X: 70, Y: 14}, S: "middle", Size: 10, Anchor: draw.Middle, Bold: true},
		draw.Text{At: draw.Point{X: 90, Y: 20}, S: "end", Size: 8, Anchor: draw.End, Turn: 30},
		draw.Group{Move: draw.Point{X: 20, Y: 30}, Scale: 2, Turn: 90, Items: []draw.Item{
			draw.Rect{X: 0, Y: 0, W: 5, H: 3, Style: line},
			draw.Text{At: draw.Point{X: 1, Y: 2}, S: "turned", Size: 5},
		}},
		draw.Group{Move: draw.Point{X: 60, Y: 40}, Items: signs()},
	}}
}

func signs() []draw.Item {
	var out []draw.Item
	for i, s := range []draw.Sign{draw.DiscTick, draw.StripedOct, draw.DottedTri, draw.DiamondCross, draw.HollowSquare} {
		out = append(out, s.Items(draw.Point{X: float64(i) * 7, Y: 5}, 2.5)...)
	}
	return out
}

func chart() draw.Drawing {
	c := draw.Chart{W: 190, H: 56, Title: "Crown: 1 out", Unit: "mm", XName: "No.", Lower: -5, Upper: 5, LowerText: "limit −5",
		UpperText: "limit +5"}
	for i, v := range []float64{.4, -1.2, 6.1, 4.6, 40, 0, -3} {
		p := draw.ChartPoint{X: fmt.Sprint(i + 1), Y: v, Half: .8, Group: fmt.Sprint("L", i/4+1)}
		switch {
		case v > 5:
			p.Mark, p.Note = draw.MarkOut, fmt.Sprintf("+%.1f", v)
		case v > 4:
			p.Mark, p.Note = draw.MarkUnsure, "+4.6"
		case v == 0:
			p.Mark = draw.MarkOpen
		}
		c.Points = append(c.Points, p)
	}
	return c.Drawing()
}

func TestGoldenDrawings(t *testing.T) {
	code, err := draw.QR("SPRINGLINE:1 HEAD:00FF", 20)
	if err != nil {
		t.Fatal(err)
	}
	for name, d := range map[string]draw.Drawing{"everything": sample(), "chart": chart(), "code": code} {
		t.Run(name, func(t *testing.T) {
			path := filepath.Join("..", "..", "testdata", "golden", "draw", name+".svg")
			got := d.SVG()
			if *update {
				if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
					t.Fatal(err)
				}
				if err := os.WriteFile(path, got, 0o666); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if !bytes.Equal(got, want) {
				t.Errorf("%s differs from %s: look at both, then rebuild with -update", name, path)
			}
			for dec := xml.NewDecoder(bytes.NewReader(got)); ; {
				if _, err := dec.Token(); errors.Is(err, io.EOF) {
					break
				} else if err != nil {
					t.Fatalf("not well-formed: %v", err)
				}
			}
		})
	}
}

// tape is a painter that writes down what it is told.
type tape struct{ said []string }

func (p *tape) Path(path draw.Path, stroke float64, dash []float64, fill draw.Fill) {
	p.said = append(p.said, fmt.Sprint("path ", path, stroke, dash, fill))
}
func (p *tape) Text(t draw.Text) { p.said = append(p.said, fmt.Sprint("text ", t)) }

// Every number that reaches a painter is a whole number of micrometres, so SVG and PDF get the same.
func TestPaintersGetWholeMicrometres(t *testing.T) {
	number := regexp.MustCompile(`-?\d+\.\d+(e[-+]\d+)?`)
	for _, d := range []draw.Drawing{sample(), chart()} {
		p := &tape{}
		d.Paint(p, draw.Point{X: 1.23456, Y: 9.87654})
		seen := 0
		for _, s := range p.said {
			for _, n := range number.FindAllString(s, -1) {
				seen++
				if strings.Contains(n, "e") || len(n)-strings.Index(n, ".")-1 > 3 {
					t.Errorf("%s in %.80s", n, s)
				}
			}
		}
		if seen < 100 {
			t.Errorf("only %d numbers seen", seen)
		}
	}
}

// The PDF holds the path numbers of the SVG, in points from below: the page's own units
// (ISO 32000-1, 8.3.2.3).
func TestPDFAndSVGHoldTheSameNumbers(t *testing.T) {
	d := draw.Drawing{W: 100, H: 60, Items: []draw.Item{
		draw.Polyline{Points: []draw.Point{{X: 12.345, Y: 7.891}, {X: 33.3, Y: 44.4}}, Style: draw.Style{Stroke: .3}}}}
	if svg := string(d.SVG()); !strings.Contains(svg, `d="M12.345 7.891L33.3 44.4"`) {
		t.Errorf("svg: %s", svg)
	}
	f := fpdf.NewCustom(&fpdf.InitType{OrientationStr: "P", UnitStr: "mm", Size: fpdf.SizeType{Wd: 100, Ht: 60}})
	f.SetCompression(false)
	f.AddPage()
	faces, err := draw.NewFaces()
	if err != nil {
		t.Fatal(err)
	}
	d.Paint(draw.PDF{To: f, Faces: faces}, draw.Point{})
	var out bytes.Buffer
	if err := f.Output(&out); err != nil {
		t.Fatal(err)
	}
	const k = 72 / 25.4
	want := fmt.Sprintf("%.2f %.2f m\n%.2f %.2f l", 12.345*k, (60-7.891)*k, 33.3*k, (60-44.4)*k)
	if !strings.Contains(out.String(), want) {
		t.Errorf("the PDF does not hold %q", want)
	}
}

// Text is as wide as fpdf, which reads the font with code of its own, says it is.
func TestWidthsAgreeWithTheWriter(t *testing.T) {
	faces, err := draw.NewFaces()
	if err != nil {
		t.Fatal(err)
	}
	f := fpdf.New("P", "mm", "A4", "")
	draw.AddFonts(f)
	for _, bold := range []bool{false, true} {
		style := map[bool]string{true: "B"}[bold]
		for _, s := range []string{"Boardwalk shelter", "+11.90", "−0.06 ±", "Ώμέγα Ребро", "▲▼✓Δ√", "WWiill", "{U+1F600}"} {
			f.SetFont("body", style, 11)
			want := f.GetStringWidth(s)
			if got := faces.Width(s, 11, bold); math.Abs(got-want) > .02*want/float64(len(s))+.02 {
				t.Errorf("%q is %.3f mm wide, fpdf says %.3f", s, got, want)
			}
		}
	}
}

func TestPrintable(t *testing.T) {
	faces, err := draw.NewFaces()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct{ in, want string }{
		{"rib 7", "rib 7"}, {"é½Δ", "é½Δ"}, {"😀", "{U+1F600}"}, {"骨", "{U+9AA8}"}, {"a\u202eb\u200f", "ab"}, {"tab\there", "tab{U+0009}here"},
		// Seen order by UAX 9: a run from right to left is reversed, its numbers and the rest are not.
		{"אבג", "גבא"}, {"rib אבג 7", "rib גבא 7"}, {"אב 12 גד x", "דג 12 בא x"}, {"א(ב)ג", "ג(ב)א"},
	} {
		if got := faces.Printable(c.in, false); got != c.want {
			t.Errorf("%q prints as %q, want %q", c.in, got, c.want)
		}
	}
}

// The curve of an arc stays on its circle: held at many places against x^2 + y^2 = r^2.
func TestArcsAreRound(t *testing.T) {
	p := &pathTape{}
	draw.Drawing{Items: []draw.Item{draw.Arc{R: 1000, From: 17, To: 333, Style: draw.Style{Stroke: 1}}}}.Paint(p, draw.Point{})
	if len(p.path) < 5 {
		t.Fatalf("%d segments", len(p.path))
	}
	at := p.path[0].P[0]
	for _, s := range p.path[1:] {
		for i := 0; i <= 20; i++ {
			u := float64(i) / 20
			v := 1 - u
			x := v*v*v*at.X + 3*v*v*u*s.P[0].X + 3*v*u*u*s.P[1].X + u*u*u*s.P[2].X
			y := v*v*v*at.Y + 3*v*v*u*s.P[0].Y + 3*v*u*u*s.P[1].Y + u*u*u*s.P[2].Y
			if r := math.Hypot(x, y); math.Abs(r-1000) > .01 {
				t.Errorf("radius %.4f at (%.1f, %.1f)", r, x, y)
			}
		}
		at = s.P[2]
	}
	sin, cos := math.Sincos(333 * math.Pi / 180)
	if math.Hypot(at.X-1000*cos, at.Y-1000*sin) > .01 {
		t.Errorf("the arc ends at %v", at)
	}
}

type pathTape struct {
	tape
	path draw.Path
}

func (p *pathTape) Path(path draw.Path, _ float64, _ []float64, _ draw.Fill) {
	p.path = append(p.path, path...)
}

// Patterns stay inside their outline.
func TestPatternsStayInside(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		cx, cy, r := rapid.Float64Range(0, 50).Draw(rt, "x"), rapid.Float64Range(0, 50).Draw(rt, "y"), rapid.Float64Range(.5, 20).Draw(rt, "r")
		fill := rapid.SampledFrom([]draw.Fill{draw.Stripes, draw.Dots}).Draw(rt, "fill")
		p := &pathTape{}
		draw.Drawing{Items: []draw.Item{draw.Circle{C: draw.Point{X: cx, Y: cy}, R: r, Style: draw.Style{Fill: fill}}}}.Paint(p, draw.Point{})
		for _, s := range p.path {
			for _, q := range s.P[:1] {
				if s.Op == draw.MoveTo || s.Op == draw.LineTo {
					if d := math.Hypot(q.X-cx, q.Y-cy); d > r+.25 {
						rt.Errorf("a mark %.3f from the centre of a circle of radius %.3f", d, r)
					}
				}
			}
		}
	})
}

func TestTicks(t *testing.T) {
	for _, c := range []struct {
		lo, hi float64
		n      int
		want   string
	}{
		{-6, 6, 4, "−5 0 +5"}, {-.3, .3, 6, "−0.3 −0.2 −0.1 0.0 +0.1 +0.2 +0.3"}, {0, 1, 2, "0.0 +0.5 +1.0"}, {-14, 3, 3, "−10 −5 0"},
		{-40, 45, 4, "−40 −20 0 +20 +40"}, {995, 1005, 5, "+996 +998 +1000 +1002 +1004"},
	} {
		var got []string
		for _, k := range draw.Ticks(c.lo, c.hi, c.n, true) {
			got = append(got, k.Label)
			if k.At < c.lo-1e-9 || k.At > c.hi+1e-9 {
				t.Errorf("tick %s outside %g..%g", k.Label, c.lo, c.hi)
			}
		}
		if s := strings.Join(got, " "); s != c.want {
			t.Errorf("%g..%g: %s, want %s", c.lo, c.hi, s, c.want)
		}
	}
	if draw.Ticks(1, 1, 3, false) != nil || draw.Ticks(math.NaN(), 1, 3, false) != nil {
		t.Error("an empty range has ticks")
	}
}

// The drawn modules are those of the code, with four modules of quiet zone (ISO/IEC 18004).
func TestQRDrawsEveryModule(t *testing.T) {
	text := "SPRINGLINE:1 EPOCH:1 RECORDS:12-251 HEAD:" + strings.Repeat("4BE01C9F7A63D258", 4)
	d, err := draw.QR(text, 30)
	if err != nil {
		t.Fatal(err)
	}
	code, err := qr.Encode(text, qr.M, qr.AlphaNumeric)
	if err != nil {
		t.Fatal(err)
	}
	n := code.Bounds().Dx()
	module := 30 / float64(n+8)
	if module < .5 {
		t.Errorf("modules of %.2f mm are too small for a phone", module)
	}
	for y := -4; y < n+4; y++ {
		for x := -4; x < n+4; x++ {
			want := false
			if x >= 0 && y >= 0 && x < n && y < n {
				r, _, _, _ := code.At(x, y).RGBA()
				want = r == 0
			}
			px, py := (float64(x+4)+.5)*module, (float64(y+4)+.5)*module
			got := false
			for _, i := range d.Items {
				r := i.(draw.Rect)
				got = got || (px > r.X && px < r.X+r.W && py > r.Y && py < r.Y+r.H)
			}
			if got != want {
				t.Fatalf("module %d,%d is %v", x, y, got)
			}
		}
	}
	if _, err := draw.QR(strings.Repeat("x", 5000), 30); err == nil {
		t.Error("5000 bytes in one code")
	}
}

// Notes of a chart do not hide each other, the points or the limits.
func TestChartNotesKeepClear(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		c := draw.Chart{W: 190, H: 56, Lower: -5, Upper: 5}
		for i := range 25 {
			v := rapid.Float64Range(-2, 2).Draw(rt, "v")
			p := draw.ChartPoint{X: fmt.Sprint(i), Y: v, Half: .5}
			if i%6 == 3 || i%6 == 4 {
				p.Y = rapid.Float64Range(3, 9).Draw(rt, "out")
				p.Mark, p.Note = draw.MarkOut, "+12.3"
			}
			c.Points = append(c.Points, p)
		}
		p := &textTape{}
		c.Drawing().Paint(p, draw.Point{})
		for i, a := range p.texts {
			for _, b := range p.texts[i+1:] {
				if a.S == "+12.3" && b.S == "+12.3" && math.Abs(a.At.X-b.At.X) < 8 && math.Abs(a.At.Y-b.At.Y) < 2 {
					rt.Errorf("two notes at %v and %v", a.At, b.At)
				}
			}
			if a.At.X < 0 || a.At.X > 190 || a.At.Y < 0 || a.At.Y > 56 {
				rt.Errorf("%q stands at %v", a.S, a.At)
			}
		}
	})
}

type textTape struct {
	tape
	texts []draw.Text
}

func (p *textTape) Text(t draw.Text) { p.texts = append(p.texts, t) }
