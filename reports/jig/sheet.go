package jig

import (
	"fmt"
	"io"
	"math"
	"strings"

	"springline/qc"
	"springline/qc/bend"
	"springline/qc/words"
	"springline/reports/typeset"
)

// Sheet is a jig for the yard: what to tape out, what to expect of it, what to mind. Lengths in mm.
type Sheet struct {
	Wanted
	Origin   string // where the radius comes from, in one sentence
	Software string

	Plan     bend.Plan
	Expected *bend.Expected // nil where nothing is known of the bar
	UFace    float64        // standard uncertainty of the face radius, 0 unknown
	Rules    []bend.Rule
	Retest   bool
}

// WritePDF writes the sheet; the bytes depend on nothing but the sheet and the paper.
func WritePDF(w io.Writer, s Sheet, on typeset.Paper) error {
	t, err := s.set()
	if err != nil {
		return err
	}
	return typeset.WritePDF(w, t, on)
}

// WriteNext writes on A4 the sheet of the jig that is advised for the next bar of a lot of the batch, see
// [Wanted.Sheet].
func WriteNext(w io.Writer, b qc.Batch, lot, software string) error {
	s, err := ForBatch(b, lot).Sheet(Layout{}, software)
	if err != nil {
		return err
	}
	return WritePDF(w, s, typeset.A4)
}

// WriteSVG writes the same pages, one below the other, as one picture at full size.
func WriteSVG(w io.Writer, s Sheet) error {
	t, err := s.set()
	if err != nil {
		return err
	}
	return typeset.WriteSVG(w, t)
}

// set sets the sheet at arm's-length size.
func (s Sheet) set() (typeset.Sheet, error) {
	y, err := typeset.NewYard()
	if err != nil {
		return typeset.Sheet{}, fmt.Errorf("write the jig sheet: %w", err)
	}
	name := s.Name
	if name == "" {
		name = s.BarText
	}
	head := "Jig sheet · " + name
	if s.Batch != "" {
		head += " · batch " + s.Batch
	}
	if s.Lot != "" {
		head += " · " + s.Lot
	}
	// The plan gets what numbers and warnings leave of the first page.
	key := s.key(y)
	left := planPage
	for _, b := range key {
		left -= b.Figure.H + 2.5
	}
	figure := s.plan(y.Faces, math.Max(left, 90))
	t := typeset.Sheet{ID: fmt.Sprintf("jig %.1f", s.Plan.Face), Title: "Jig sheet: face radius " + s.Length(s.Plan.Face, 1),
		Software: s.Software, Running: []string{head},
		Foot:     []string{s.Software + " · shape only, nothing on strength · print at full size: the check bar on page 1 is 100 mm"},
		Sections: []typeset.Section{{Key: "plan", Blocks: append([]typeset.Block{{Figure: &figure}}, key...)}}}
	t.Sections = append(append(t.Sections, s.points(y)...), s.expect(y), s.pull(y), s.build(y), s.cautions(y))
	return t, nil
}

// key is what stands below the plan: the numbers that the jig is built and checked by.
func (s Sheet) key(y typeset.Yard) []typeset.Block {
	p := s.Plan
	n := len(p.Contacts)
	wrap := "Wrap"
	if p.Half {
		wrap += ", one half"
	}
	facts := []typeset.Fact{
		{Name: "Face radius", Value: s.Length(p.Face, 1)},
		{Name: "Bar centre on it", Value: s.Length(p.CentreRadius, 1)},
		{Name: "Blocks", Value: fmt.Sprintf("%d, evenly spaced", n)},
		{Name: wrap, Value: fmt.Sprintf("%.1f degrees", p.Angle*180/math.Pi)},
		{Name: "Chord, next block", Value: s.Length(p.Chord, 1)},
		{Name: "Bulge of a gap", Value: fmt.Sprintf("%.1f mm", p.Sagitta)},
		{Name: "Block 1 to last", Value: s.Length(p.EndChord, 1)},
		{Name: "Arc centre", Value: fmt.Sprintf("X %.0f, Y %.0f mm", p.Centre[0], p.Centre[1])},
		{Name: "Bar", Value: s.BarText},
	}
	if s.Lot != "" {
		facts = append(facts, typeset.Fact{Name: "Lot", Value: s.Lot})
	}
	if s.Expected != nil {
		facts = append(facts, typeset.Fact{Name: "Tips when let go", Value: fmt.Sprintf("%s ± %.0f mm, %s",
			s.Length(s.FaceTip(s.Expected.Tip), 0), math.Ceil(2*s.Expected.U), s.OnFace())})
	}
	out := []typeset.Block{y.Tell(facts), y.Warn("The bar is a loaded spring on the jig: both ends held, nobody beyond the tips or " +
		"between the legs, let go slowly. See the cautions.")}
	for _, c := range Checks(p, s.Order, s.Expected) {
		if word, _, ok := strings.Cut(c, " "); ok && word == strings.ToUpper(word) {
			out = append(out, y.Warn(c))
		}
	}
	if hard, ok := p.HardestPull(); ok && hard.Force > bend.PullNever {
		out = append(out, y.Warn("NOT BY HAND at the end blocks: see the pulls."))
	}
	return out
}

// build says in which order to work, and what to check of the jig as built.
func (s Sheet) build(y typeset.Yard) typeset.Section {
	p := s.Plan
	return typeset.Section{Key: "build", Title: "Building and bending", Blocks: y.Say(
		"1. Strike the datum corner at a right angle (3-4-5 with the tape) and mark the arc centre. All X and Y go to the point where "+
			"the block touches the bar, not to its middle. "+
			fmt.Sprintf("A square block touches with its corners: a block of 50 mm set square at the radius touches %.1f mm further out, "+
				"so round or dress its face, or use pegs.", bend.FlatBlockRadius(p.Face, 50)-p.Face),
		"2. Swing a tape from the arc centre past every block and write down the radii as built: enter their mean as the jig's face radius.",
		fmt.Sprintf("3. Mark the bar at its middle and %s to each side, and the same places on the jig. A bar laid on by 1 mm off "+
			"makes one leg 1 mm longer and the other 1 mm shorter.", s.Length(p.Arc/2, 0)),
		"4. Hold the middle first, then lay on outwards block by block, steadily and without stopping on a block. Release slowly, both "+
			"ends held.",
	)}
}

// cautions are those of every report, at arm's-length size.
func (s Sheet) cautions(y typeset.Yard) typeset.Section {
	sec := typeset.Section{Key: "cautions", Title: "Cautions"}
	for i, text := range words.Cautions() {
		sec.Blocks = append(sec.Blocks, y.Say(fmt.Sprintf("%d. %s", i+1, text))...)
	}
	sec.Blocks = append(sec.Blocks, y.Say("Anchor every block: each takes about twice the moment over the chord when the bar is "+
		"hard against it"+s.blockLoad()+".")...)
	return sec
}

// blockLoad is about 2 M/c, a rough order of size.
func (s Sheet) blockLoad() string {
	if len(s.Plan.Pulls) == 0 {
		return ""
	}
	return fmt.Sprintf(", here some %.0f N (rough)", math.Ceil(2*s.Plan.Pulls[0].Pipe*bend.PullAlone/s.Plan.Chord/50)*50)
}
