package reports

import (
	"fmt"
	"math"
	"strings"

	"springline/qc/arch"
	"springline/qc/bend"
	"springline/reports/draw"
)

// key is what stands below the plan: the numbers that the jig is built and checked by.
func (s JigSheet) key(t *typesetter) []Block {
	p := s.Plan
	n := len(p.Contacts)
	facts := []yardFact{
		{"Face radius", s.both(p.Face, 1)},
		{"Bar centre on it", s.both(p.CentreRadius, 1)},
		{"Blocks", fmt.Sprintf("%d, evenly spaced", n)},
		{"Wrap" + s.half(), fmt.Sprintf("%.1f degrees", p.Angle*180/math.Pi)},
		{"Chord, next block", s.both(p.Chord, 1)},
		{"Bulge of a gap", fmt.Sprintf("%.1f mm", p.Sagitta)},
		{"Block 1 to last", s.both(p.EndChord, 1)},
		{"Arc centre", fmt.Sprintf("X %.0f, Y %.0f mm", p.Centre[0], p.Centre[1])},
		{"Bar", s.BarText},
	}
	if s.Lot != "" {
		facts = append(facts, yardFact{"Lot", s.Lot})
	}
	if s.Expected != nil {
		facts = append(facts, yardFact{"Tips when let go", fmt.Sprintf("%s ± %.0f mm, %s", s.both(s.tipAt(s.Expected.Tip), 0), math.Ceil(2*s.Expected.U), s.faceName())})
	}
	out := []Block{t.tell(facts)}
	loud := t.warn("The bar is a loaded spring on the jig: both ends held, nobody beyond the tips or between the legs, let go slowly. See the cautions.")
	for _, c := range s.Checks() {
		if word, _, ok := strings.Cut(c, " "); ok && word == strings.ToUpper(word) {
			loud = append(loud, t.warn(c)...)
		}
	}
	if hard, ok := p.HardestPull(); ok && hard.Force > bend.PullNever {
		loud = append(loud, t.warn("NOT BY HAND at the end blocks: see the pulls.")...)
	}
	return append(out, loud...)
}

// warn sets a line in bold with a heavy bar at its left.
func (t *typesetter) warn(text string) []Block {
	d := draw.Drawing{W: blockWidth}
	for _, l := range t.wrap(minus(text), blockWidth-4, yardSize, true) {
		d.Items = append(d.Items, draw.Text{At: draw.Point{X: 4, Y: d.H + 4.4}, S: l, Size: yardSize, Bold: true})
		d.H += yardLine
	}
	d.Items = append(d.Items, draw.Rect{W: 1.6, H: d.H, Style: draw.Style{Fill: draw.Ink}})
	return []Block{{Figure: &d}}
}

func (s JigSheet) faceName() string {
	if s.Face == arch.Centre {
		return "at the centreline"
	}
	return "on the " + s.Face.String()
}

// half says of a jig for one half what its angle is.
func (s JigSheet) half() string {
	if s.Plan.Half {
		return ", one half"
	}
	return ""
}

// tipAt turns a tip-to-tip at the centreline into one on the face that is measured.
func (s JigSheet) tipAt(centre float64) float64 {
	r, err := arch.RadiusFromTip(centre, s.Order.Leg, s.Order.Arc)
	if err != nil {
		return centre
	}
	return arch.TipAt(s.Face, centre, s.Order.Diameter, s.Order.Arc/(2*r))
}

// expect is what a bar does when it is let go, and how sure that is.
func (s JigSheet) expect(t *typesetter) Section {
	sec := Section{Key: "expect", Title: "What to expect when the bar is let go"}
	add := func(text ...string) { sec.Blocks = append(sec.Blocks, t.say(text...)...) }
	if s.Origin != "" {
		add(s.Origin)
	}
	if s.Expected == nil {
		add("Nothing is known of the bar's yield: bend one test bar, measure its tips and ask again before the blocks are fixed for good.")
	} else {
		x := s.Expected
		add(fmt.Sprintf("Wanted: tips %s apart. Expected of the next bar: %s ± %.0f mm (95 %% band, %s, without the reading's own doubt). %s",
			s.both(s.tipAt(s.Order.Target()), 0), s.both(s.tipAt(x.Tip), 0), math.Ceil(2*x.U), s.faceName(), s.onJig()))
		add(fmt.Sprintf("1 mm of error in the face radius moves the tips by %.1f mm; 1 %% of yield moves them by %.1f mm. So build to the millimetre, and bend a test bar at each new heat or bundle.",
			math.Abs(x.TipPerFace), math.Abs(x.TipPerYield)))
		if s.UFace > 0 {
			add(fmt.Sprintf("The face radius itself is known to ± %.1f mm.", 2*s.UFace))
		}
		if s.Retest {
			add("RE-TEST: bend one bar on this jig and measure it before the batch goes on.")
		}
	}
	add(s.Checks()...)
	for _, r := range s.Rules {
		add(fmt.Sprintf("Not by the shortcut \"%s\": its face radius of %.0f mm would leave the tips %s.", r.Name, r.Face, s.missed(r.Miss)))
	}
	for _, n := range s.Notes {
		add(sentence(n))
	}
	return sec
}

func (s JigSheet) missed(mm float64) string {
	if math.Abs(mm) < 0.5 {
		return "where they are wanted, this time"
	}
	word := "too wide"
	if mm < 0 {
		word = "too close"
	}
	return fmt.Sprintf("%.0f mm %s", math.Abs(mm), word)
}

func (s JigSheet) onJig() string {
	tip := s.Plan.TipOnJig
	if s.Plan.Half {
		return "One half is bent after the other."
	}
	if tip < 0 {
		return fmt.Sprintf("On the jig they stand past each other by %.0f mm.", -tip)
	}
	return fmt.Sprintf("On the jig they stand %.0f mm apart at the centreline.", tip)
}

// Checks hold the jig against the bar: minimum bend, set at all, gaps, crossing.
func (s JigSheet) Checks() []string {
	p := s.Plan
	least := bend.LeastBend(p.Diameter)
	out := []string{}
	if least == 0 {
		out = append(out, fmt.Sprintf("No rule on the minimum bend diameter of a bar of %g mm is held here: look it up.", p.Diameter))
	} else if 2*p.Face >= least {
		out = append(out, fmt.Sprintf("Minimum bend: this bend is %.0f mm in diameter inside, the strictest of ACI 318, EN 1992-1-1 and BS 8666 asks for %.0f mm: kept. A local kink over one block must keep it too: round its edge to a radius of %.0f mm.", 2*p.Face, least, math.Ceil(least/2)))
	} else {
		out = append(out, fmt.Sprintf("BELOW THE MINIMUM BEND: %.0f mm in diameter inside, less than the %.0f mm that ACI 318, EN 1992-1-1 and BS 8666 ask for. Do not bend this bar on this jig.", 2*p.Face, least))
	}
	if s.Expected != nil && s.Expected.Yield > 0 {
		b := bend.Bar{Diameter: p.Diameter, Modulus: s.Order.Modulus, Yield: s.Expected.Yield}
		switch most := b.LargestFace(); {
		case p.Face >= most:
			out = append(out, fmt.Sprintf("TOO SPRINGY: on a face radius above %.0f mm this bar springs back straight and takes no set.", most))
		case p.Face > 0.8*most:
			out = append(out, fmt.Sprintf("Springy: above a face radius of %.0f mm this bar takes no set; so near to it the set scatters. A thicker or softer bar would hold its shape better.", most))
		}
	}
	if p.Half {
		turn := p.Arc / p.CentreRadius * 180 / math.Pi
		why := "as asked for"
		if turn > 330 {
			why = fmt.Sprintf("the whole arc wraps %.0f degrees of this jig and leaves the legs no way out", turn)
		}
		out = append(out, fmt.Sprintf("ONE HALF AT A TIME: %s. The jig holds one half of the arc: clamp the middle of the bar at block 1, lay one half on, let go, turn the bar over and lay the other half on.", why))
	}
	if p.Crossing != nil {
		out = append(out, fmt.Sprintf("THE LEGS CROSS on this jig, at X %.0f, Y %.0f mm: bend one half at a time, or set the second leg on a packing above the first; mind hands where they pass.", p.Crossing[0], p.Crossing[1]))
	}
	if p.Sagitta > p.Diameter/2 {
		out = append(out, fmt.Sprintf("TOO FEW BLOCKS: the arc bulges %.1f mm over one gap, more than half the bar (a rule of ours), so the bar kinks at the blocks; %d blocks would do.",
			p.Sagitta, bend.BlocksFor(p.Face, p.Angle*p.Face, p.Diameter/2)))
	}
	return out
}

// pull is the effort block by block; both sides are alike, so one row serves a pair.
func (s JigSheet) pull(t *typesetter) Section {
	sec := Section{Key: "pull", Title: "Pull at the tip, block by block", Together: true}
	p := s.Plan
	hard, ok := p.HardestPull()
	if !ok {
		sec.Blocks = t.say("The bar's yield is not known, so neither is the pull.")
		return sec
	}
	n := len(p.Pulls)
	word := "one person can pull it by hand"
	switch {
	case math.IsInf(hard.Force, 1):
		word = "NOT BY HAND at the end blocks, where nothing is left to pull at: slide a pipe over the end"
	case hard.Force > bend.PullNever:
		word = "NOT BY HAND at the end blocks: use a long pipe, a winch or a helper with one"
	case hard.Force > bend.PullAlone:
		word = "use a pipe over the leg or a second person towards the end blocks"
	}
	sec.Blocks = append(sec.Blocks, t.say(
		fmt.Sprintf("From the middle of the bar outwards: %s. The pull is the plastic moment of %.0f N m over the length still free; above %.0f N (15 kg, a filter for one person's first pull in HSE Research Report 228) take a pipe or a helper, above %.0f N (common practice, no source) it is not by hand. "+
			"A pipe over the leg reaches no closer than the mark at the end of the arc.", word, p.Pulls[0].Pipe*bend.PullAlone/1000, bend.PullAlone, bend.PullNever))...)
	rows := [][]string{}
	for _, i := range s.pullRows() {
		b := p.Pulls[i]
		name := fmt.Sprintf("%d and %d", i+1, n-i)
		if p.Half {
			name = fmt.Sprint(i + 1)
		}
		if n%2 == 1 && i == n/2 && !p.Half {
			name = fmt.Sprintf("%d, crown", i+1)
		}
		force, lever := fmt.Sprintf("%.0f", b.Force), fmt.Sprintf("%.0f", b.Lever)
		say := "by hand"
		switch {
		case math.IsInf(b.Force, 1):
			force, say = "—", "pipe"
		case b.Force > bend.PullNever:
			say = "not by hand"
		case b.Force > bend.PullAlone:
			say = "pipe or helper"
		}
		rows = append(rows, []string{name, lever, force, say, fmt.Sprintf("%.0f", b.Pipe)})
	}
	sec.Blocks = append(sec.Blocks, t.yardTable([]string{"Blocks", "free length\nmm", "pull\nN", "\n", fmt.Sprintf("lever for %.0f N\nmm", bend.PullAlone)},
		[]float64{36, 36, 30, 46, 42}, rows, func(i int) bool { return false }))
	return sec
}

// pullRows are the blocks that the pull is listed for, from the middle of the bar outwards, at most ten or so.
func (s JigSheet) pullRows() []int {
	n := len(s.Plan.Pulls)
	from, to, sign := (n-1)/2, 0, -1
	if s.Plan.Half {
		from, to, sign = 0, n-1, 1
	}
	count := (to-from)*sign + 1
	step := max(1, (count+8)/9)
	var rows []int
	for k := 0; k < count; k += step {
		rows = append(rows, from+sign*k)
	}
	if last := rows[len(rows)-1]; last != to {
		rows = append(rows, to)
	}
	return rows
}

// build says in which order to work, and what to check of the jig as built.
func (s JigSheet) build(t *typesetter) Section {
	p := s.Plan
	return Section{Key: "build", Title: "Building and bending", Blocks: t.say(
		"1. Strike the datum corner at a right angle (3-4-5 with the tape) and mark the arc centre. All X and Y go to the point where the block touches the bar, not to its middle. "+
			fmt.Sprintf("A square block touches with its corners: a block of 50 mm set square at the radius touches %.1f mm further out, so round or dress its face, or use pegs.", bend.FlatBlockRadius(p.Face, 50)-p.Face),
		"2. Swing a tape from the arc centre past every block and write down the radii as built: enter their mean as the jig's face radius.",
		fmt.Sprintf("3. Mark the bar at its middle and %s to each side, and the same places on the jig. A bar laid on by 1 mm off makes one leg 1 mm longer and the other 1 mm shorter.", s.both(p.Arc/2, 0)),
		"4. Hold the middle first, then lay on outwards block by block, steadily and without stopping on a block. Release slowly, both ends held.",
	)}
}

// cautions are those of every report, at arm's-length size.
func (s JigSheet) cautions(t *typesetter) Section {
	c := cautions()
	sec := Section{Key: c.Key, Title: c.Title}
	for _, b := range c.Blocks {
		for i, text := range b.List {
			sec.Blocks = append(sec.Blocks, t.say(fmt.Sprintf("%d. %s", i+1, text))...)
		}
	}
	sec.Blocks = append(sec.Blocks, t.say("Anchor every block: each takes about twice the moment over the chord when the bar is hard against it"+s.blockLoad()+".")...)
	return sec
}

// blockLoad is about 2 M/c, a rough order of size.
func (s JigSheet) blockLoad() string {
	if len(s.Plan.Pulls) == 0 {
		return ""
	}
	return fmt.Sprintf(", here some %.0f N (rough)", math.Ceil(2*s.Plan.Pulls[0].Pipe*bend.PullAlone/s.Plan.Chord/50)*50)
}
