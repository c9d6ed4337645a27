package picture

import (
	"fmt"

	"springline/qc"
	"springline/reports/draw"
)

// capHeight is the height of a capital over the size of DejaVu Sans Condensed Bold.
const capHeight = 0.729

// points is the size of a text whose capitals are so many millimetres tall.
func points(capital float64) float64 { return capital / capHeight / 25.4 * 72 }

// Tags draws the tags that are tied to the ribs, what needs a hand first, each of the given size in mm. It fails
// for an id that no code can hold.
func Tags(b qc.Judged, width, height float64) ([]draw.Drawing, error) {
	faces, err := draw.NewFaces()
	if err != nil {
		return nil, fmt.Errorf("tags of batch %q: %w", b.ID, err)
	}
	var out []draw.Drawing
	for _, r := range b.ByNeed {
		d, err := tag(b.ID, r, width, height, faces)
		if err != nil {
			return nil, fmt.Errorf("tag of rib %q: %w", r.ID, err)
		}
		out = append(out, d)
	}
	return out, nil
}

// tag has the rib's id as large as it goes, 8 mm tall where it is short enough, the verdict as shape and word,
// batch and lot, and a code that holds the id and nothing else.
func tag(batch string, r qc.JudgedRib, width, height float64, faces draw.Faces) (draw.Drawing, error) {
	const margin = 1.5
	side := min(height-2*margin, width*.42)
	code, err := draw.QR(r.ID, side)
	if err != nil {
		return draw.Drawing{}, err
	}
	d := draw.Drawing{W: width, H: height}
	d.Items = append(d.Items, draw.Group{Move: draw.Point{X: width - margin - side, Y: (height - side) / 2}, Items: code.Items})
	room := width - side - 3*margin
	foot := height * .36 // verdict and batch stand in it
	pt, lines := 0.0, []string(nil)
	for pt = points(height * .32); ; pt *= .93 {
		lines = faces.Wrap(r.ID, room, pt, true)
		whole := faces.LongestWord(r.ID, pt, true) <= room || pt < 12
		if whole && float64(len(lines))*pt*.36 <= height-foot-2*margin {
			break
		}
	}
	y := margin
	for _, l := range lines {
		y += pt * 25.4 / 72 * capHeight
		d.Items = append(d.Items, draw.Text{At: draw.Point{X: margin, Y: y}, S: l, Size: pt, Bold: true})
		y += pt * 25.4 / 72 * .28
	}
	verdict := string(r.Verdict.Word)
	word := points(height * .13)
	for faces.Width(verdict, word, true) > room-height*.2 {
		word *= .95
	}
	base := height - foot + height*.13
	d.Items = append(d.Items, SignOf(r.Verdict.Word).Items(draw.Point{X: margin + height*.085, Y: base - height*.065}, height*.08)...)
	below := batch + " · " + r.Lot
	small := points(height * .085)
	for ; small > 5 && faces.Width(below, small, false) > room; small *= .95 {
	}
	d.Items = append(d.Items,
		draw.Text{At: draw.Point{X: margin + height*.2, Y: base}, S: verdict, Size: word, Bold: true},
		draw.Text{At: draw.Point{X: margin, Y: height - margin - .6}, S: faces.Wrap(below, room, small, false)[0], Size: small})
	return d, nil
}
