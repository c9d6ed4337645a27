package reports

import (
	"fmt"
	"io"
	"math"
	"strings"

	"springline/qc/arch"
	"springline/qc/bend"
	"springline/qc/length"
	"springline/reports/draw"
)

// JigSheet is a jig for the yard: what to tape out, what to expect of it, what to mind. Lengths in mm.
type JigSheet struct {
	Name     string // of the rib wanted; may be empty
	Batch    string // empty where the sheet does not come from a record
	Lot      string
	BarText  string // bar and grade as bought
	Origin   string // where the radius comes from, in one sentence
	Software string
	Feet     bool // feet and inches stand beside millimetres

	Plan     bend.Plan
	Order    bend.Order
	Face     arch.Face      // on which tip-to-tip is measured
	Expected *bend.Expected // nil where nothing is known of the bar
	UFace    float64        // standard uncertainty of the face radius, 0 unknown
	Rules    []bend.Rule
	Retest   bool
	Notes    []string
}

// yardSize is what is read at arm's length, in points; yardLine the height of its line in millimetres.
const (
	yardSize = 12.5
	yardLine = 5.7
	yardRow  = 6.1
)

// sheetRows is how many blocks a page lists at most.
const sheetRows = 34

// WriteJigPDF writes the sheet on A4; the bytes depend on nothing but the sheet.
func WriteJigPDF(w io.Writer, s JigSheet) error {
	m, err := s.model()
	if err != nil {
		return err
	}
	return WritePDF(w, m)
}

// WriteJigSVG writes the same pages, one below the other, as one picture at full size.
func WriteJigSVG(w io.Writer, s JigSheet) error {
	m, err := s.model()
	if err != nil {
		return err
	}
	faces, err := draw.NewFaces()
	if err != nil {
		return fmt.Errorf("write the jig sheet as SVG: %w", err)
	}
	pages, err := layOut(m, faces)
	if err != nil {
		return fmt.Errorf("write the jig sheet as SVG: %w", err)
	}
	const margin = 10.0
	d := draw.Drawing{W: blockWidth + 2*margin, H: float64(len(pages)) * (blockHeight + 2*margin), Title: m.Title,
		Desc: fmt.Sprintf("%d pages, one below the other, in millimetres at full size", len(pages))}
	for i, p := range pages {
		d.Items = append(d.Items, draw.Group{Move: draw.Point{X: margin, Y: float64(i)*(blockHeight+2*margin) + margin}, Items: p.Items})
	}
	_, err = w.Write(d.SVGFile())
	return err
}

func (s JigSheet) model() (Model, error) {
	faces, err := draw.NewFaces()
	if err != nil {
		return Model{}, fmt.Errorf("write the jig sheet: %w", err)
	}
	t := &typesetter{faces: faces}
	name := s.Name
	if name == "" {
		name = s.BarText
	}
	m := Model{ID: "jig " + fmt.Sprintf("%.1f", s.Plan.Face), Title: fmt.Sprintf("Jig sheet: face radius %s", s.both(s.Plan.Face, 1)), Software: s.Software}
	head := "Jig sheet · " + name
	if s.Batch != "" {
		head += " · batch " + s.Batch
	}
	if s.Lot != "" {
		head += " · " + s.Lot
	}
	m.Running = []string{head}
	m.Foot = []string{s.Software + " · shape only, nothing on strength · print at full size: the check bar on page 1 is 100 mm"}
	// The plan gets what numbers and warnings leave of the first page.
	key := s.key(t)
	left := planPage
	for _, b := range key {
		left -= b.Figure.H + 2.5
	}
	figure := s.plan(faces, math.Max(left, 90))
	m.Sections = []Section{{Key: "plan", Blocks: append([]Block{{Figure: &figure}}, key...)}}
	m.Sections = append(m.Sections, s.points(t)...)
	m.Sections = append(m.Sections, s.expect(t), s.pull(t), s.build(t), s.cautions(t))
	return m, nil
}

// both is a length in millimetres, with feet and inches behind it where the job is in them.
func (s JigSheet) both(mm float64, places int) string {
	text := minus(fmt.Sprintf("%.*f mm", places, mm))
	if s.Feet {
		text += " (" + feet(mm) + ")"
	}
	return text
}

func feet(mm float64) string {
	l, err := length.FromMM(mm)
	if err != nil {
		return "—"
	}
	return minus(l.FeetInches(16))
}

// say sets paragraphs at arm's-length size, each a figure of its own so that pages can break between.
func (t *typesetter) say(paragraphs ...string) []Block {
	var out []Block
	for _, p := range paragraphs {
		d := draw.Drawing{W: blockWidth}
		for _, l := range t.wrap(minus(p), blockWidth, yardSize, false) {
			d.Items = append(d.Items, draw.Text{At: draw.Point{Y: d.H + 4.4}, S: l, Size: yardSize})
			d.H += yardLine
		}
		out = append(out, Block{Figure: &d})
	}
	return out
}

// yardFact is a name with a value in bold.
type yardFact struct{ name, value string }

// tell sets facts in two columns at arm's-length size; one too wide for a column takes a row.
func (t *typesetter) tell(facts []yardFact) Block {
	const gutter, name = 4.0, 40.0
	half := (blockWidth - gutter) / 2
	d := draw.Drawing{W: blockWidth}
	x, h := 0.0, 0.0
	for _, f := range facts {
		narrow := t.faces.Width(f.value, yardSize, true) <= half-name
		width := blockWidth
		if narrow {
			width = half
		}
		if x > 0 && !narrow {
			x, d.H = 0, d.H+h
		}
		d.Items = append(d.Items, draw.Text{At: draw.Point{X: x, Y: d.H + 4.4}, S: f.name, Size: yardSize})
		h = yardLine
		for i, l := range t.wrap(minus(f.value), width-name, yardSize, true) {
			d.Items = append(d.Items, draw.Text{At: draw.Point{X: x + name, Y: d.H + 4.4 + float64(i)*yardLine}, S: l, Size: yardSize, Bold: true})
			h = float64(i+1) * yardLine
		}
		if narrow && x == 0 {
			x = half + gutter
		} else {
			x, d.H = 0, d.H+h
		}
	}
	if x > 0 {
		d.H += h
	}
	return Block{Figure: &d}
}

// yardTable is a ruled table at arm's-length size; a row in bold stands out, every fifth rule is heavy.
func (t *typesetter) yardTable(heads []string, widths []float64, rows [][]string, bold func(int) bool) Block {
	d := draw.Drawing{W: blockWidth}
	total := 0.0
	for _, w := range widths {
		total += w
	}
	cell := func(x, y, w float64, text string, strong, first bool) {
		size := yardSize
		for size > 9 && t.faces.Width(text, size, strong) > w-2 {
			size -= .5
		}
		at := draw.Text{At: draw.Point{X: x + w - 2, Y: y}, S: text, Size: size, Bold: strong, Anchor: draw.End}
		if first {
			at.At.X, at.Anchor = x+1, draw.Start
		}
		d.Items = append(d.Items, at)
	}
	x := 0.0
	for i, h := range heads {
		for j, line := range strings.Split(h, "\n") {
			cell(x, 4.2+4.8*float64(j), widths[i], line, true, i == 0)
		}
		x += widths[i]
	}
	d.H = 10.8
	d.Items = append(d.Items, draw.Line{A: draw.Point{Y: d.H}, B: draw.Point{X: total, Y: d.H}, Style: draw.Style{Stroke: .5}})
	for r, row := range rows {
		x = 0
		for i, text := range row {
			cell(x, d.H+4.6, widths[i], minus(text), bold(r) || i == 0, i == 0)
			x += widths[i]
		}
		d.H += yardRow
		stroke := .12
		if (r+1)%5 == 0 || r == len(rows)-1 {
			stroke = .4
		}
		d.Items = append(d.Items, draw.Line{A: draw.Point{Y: d.H}, B: draw.Point{X: total, Y: d.H}, Style: draw.Style{Stroke: stroke}})
	}
	return Block{Figure: &d}
}

// points lists what is taped out: the blocks, then the leg channels.
func (s JigSheet) points(t *typesetter) []Section {
	n := len(s.Plan.Contacts)
	pages, per := (n+sheetRows-1)/sheetRows, min(n, sheetRows)
	heads := []string{"Block", "X\nmm", "Y\nmm", "from block 1\nmm", fmt.Sprintf("from block %d\nmm", n), "from top\nmm"}
	widths := []float64{26, 30, 30, 36, 36, 32}
	if s.Feet {
		heads = []string{"Block", "X\nmm", "X\nft in", "Y\nmm", "Y\nft in", "from 1\nmm", "from 1\nft in"}
		widths = []float64{22, 22, 32, 22, 32, 24, 36}
	}
	crown := -1
	if n%2 == 1 && !s.Plan.Half {
		crown = n / 2
	}
	var out []Section
	for from := 0; from < n; from += per {
		var rows [][]string
		for i := from; i < min(n, from+per); i++ {
			c := s.Plan.Contacts[i]
			name := fmt.Sprint(i + 1)
			if i == crown {
				name += " crown"
			}
			if i == 0 && s.Plan.Half {
				name += " middle"
			}
			first, last := distance(c, s.Plan.Contacts[0]), distance(c, s.Plan.Contacts[n-1])
			row := []string{name, one(c[0]), one(c[1]), one(first), one(last), one(s.Plan.CrownChord[i])}
			if s.Feet {
				row = []string{name, one(c[0]), feet(c[0]), one(c[1]), feet(c[1]), one(first), feet(first)}
			}
			rows = append(rows, row)
		}
		title := "Blocks: the point where each touches the bar"
		if pages > 1 {
			title += fmt.Sprintf(", %d to %d of %d", from+1, min(n, from+per), n)
		}
		at := from
		out = append(out, Section{Key: fmt.Sprintf("blocks-%d", from), Title: title, NewPage: true, Blocks: append(
			t.say("From the datum corner: X to the right, Y up. Set each by X and Y, then check it with the tape by the distances from block to block; all are straight lines between contact points; the top is the point of the face straight above the arc's centre."),
			t.yardTable(heads, widths, rows, func(i int) bool { return at+i == 0 || at+i == crown || at+i == n-1 }))})
	}
	if len(s.Plan.Channels) > 0 {
		out = append(out, s.channels(t))
	}
	return out
}

func (s JigSheet) channels(t *typesetter) Section {
	p := s.Plan
	heads, widths := []string{"Point", "X\nmm", "Y\nmm"}, []float64{94, 30, 30}
	if s.Feet {
		heads, widths = []string{"Point", "X\nmm", "X\nft in", "Y\nmm", "Y\nft in"}, []float64{76, 25, 32, 25, 32}
	}
	var rows [][]string
	add := func(name string, q [2]float64) {
		row := []string{name, one(q[0]), one(q[1])}
		if s.Feet {
			row = []string{name, one(q[0]), feet(q[0]), one(q[1]), feet(q[1])}
		}
		rows = append(rows, row)
	}
	for _, c := range p.Channels {
		l := string(c.Leg)
		add(l+"1 keeper inside, near", c.Keepers[0])
		add(l+"2 keeper inside, far", c.Keepers[1])
		add(l+"3 keeper outside, near", c.Outer[0])
		add(l+"4 keeper outside, far", c.Outer[1])
		add(l+" tip, inside of the bar", c.End)
	}
	return Section{Key: "legs", Title: "Leg channels: where the straight legs come to lie", Together: true, Blocks: append(
		t.say(fmt.Sprintf("Each leg is %s straight, from the end block along its tangent. The channel is %s wide: the bar over its ribs and %.0f mm of clearance (common practice, no source); in it a leg can lie askew by %.2f degrees, which moves its tip by up to %.0f mm.",
			s.both(p.Leg, 0), s.both(p.Width, 1), 3.0, p.Play*180/math.Pi, p.Leg*math.Sin(p.Play))),
		t.yardTable(heads, widths, rows, func(int) bool { return false }))}
}

func one(mm float64) string { return fmt.Sprintf("%.1f", mm) }

func distance(a, b [2]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
