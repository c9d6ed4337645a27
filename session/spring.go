package session

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"springline/qc"
	"springline/qc/bend"
	"springline/qc/length"
)

// JigView is the jig to build for the next bar, as learned from the ribs so far.
type JigView struct {
	Lot      string   `json:"lot"`   // of the next bar
	Jig      string   `json:"jig"`   // set-up that it is bent on now
	Built    string   `json:"built"` // its face radius
	Advised  string   `json:"advised"`
	Band     string   `json:"band"`   // of the advised radius, twice its standard uncertainty
	Expect   string   `json:"expect"` // tip-to-tip of the next rib on the advised jig, on the target's face
	Now      string   `json:"now"`    // how far the jig as built is from the advised one, and what to do
	Costs    string   `json:"costs"`  // what an error of the jig or of the yield does
	Rests    string   `json:"rests"`  // what the advice rests on
	Retest   string   `json:"retest"` // why to re-test the jig, empty where there is no need
	Warnings []string `json:"warnings"`
	Chart    int      `json:"chart"` // ribs in the chart of the spring constant; below 3 there is none
	Fault    string   `json:"fault"` // why nothing can be advised
}

// springInput is what the jig is learned from.
type springInput struct {
	batch    string
	target   qc.Target
	bends    []qc.Bend
	lot, jig string
	face     length.Length
}

// springer keeps the last advice: it is worked out when it is looked at, and once.
type springer struct {
	mu    sync.Mutex
	asked springInput
	last  *JigView
}

// bendOf is the rib as it came off the jig.
func (s *state) bendOf(o *batch, r *rib) (qc.Bend, bool) {
	q := qc.Batch{Target: o.target, Decision: o.decision, Gauges: s.qcGauges(), Jigs: s.jigs, Ribs: []qc.Rib{r.Rib}}
	if b := q.Bends(); len(b) == 1 {
		return b[0], true
	}
	return qc.Bend{}, false
}

func (s *state) springInput() springInput {
	o := s.batch
	if o == nil || !o.closed.IsZero() {
		return springInput{}
	}
	in := springInput{batch: o.body.ID, target: o.target, lot: o.lot, jig: o.jig}
	if j, ok := s.jig(o.jig); ok {
		in.face = j.FaceRadius
	}
	for _, r := range o.ribs {
		s.judge(o, r)
		if r.bent {
			in.bends = append(in.bends, r.bend)
		}
	}
	return in
}

func (p *springer) view(in springInput) *JigView {
	if in.batch == "" {
		return nil
	}
	p.mu.Lock()
	defer p.mu.Unlock()
	a := p.asked
	if p.last == nil || a.batch != in.batch || a.lot != in.lot || a.jig != in.jig || a.face != in.face || !slices.Equal(a.bends, in.bends) {
		p.last, p.asked = jigView(in), in
	}
	return p.last
}

func jigView(in springInput) *JigView {
	v := &JigView{Lot: in.lot, Jig: in.jig, Built: oneTenth(in.face.MM()) + " mm", Warnings: []string{}, Chart: len(in.bends)}
	tests := make([]bend.Test, len(in.bends))
	for i, b := range in.bends {
		tests[i] = b.Test
	}
	order := in.target.BendOrder()
	a, cs, err := order.AdviseAndConstants(in.lot, tests)
	if err != nil {
		v.Fault = "no jig can be advised: " + err.Error()
		return v
	}
	v.Advised, v.Band = oneTenth(a.Face)+" mm", "+-"+oneTenth(2*a.UFace)+" mm"
	v.Expect = fmt.Sprintf("%.0f +-%.0f mm tip-to-tip (%s)", in.target.FaceTip(a.Tip), math.Ceil(2*a.UTip), in.target.Face)
	v.Costs = fmt.Sprintf("1 mm of jig radius moves the tips by %.0f mm, 1 %% of yield by %.0f mm", math.Abs(a.TipPerFace), math.Abs(a.TipPerYield))
	switch a.Bars {
	case 0:
		v.Rests = "no bar of this lot has been bent yet: bend one, measure it as it comes off the jig, and look here again"
	case 1:
		v.Rests = "learned from 1 bar of this lot"
	default:
		v.Rests = fmt.Sprintf("learned from %d bars of this lot; they scatter by %.1f %% of the spring constant", a.Bars, 100*a.BarScatter)
	}
	if s, ok := bend.LastShift(cs); ok && in.bends[len(in.bends)-1].Lot == in.lot && in.bends[len(in.bends)-1].Jig == in.jig {
		way := "further"
		if s.By < 1 {
			way = "less far"
		}
		v.Retest = fmt.Sprintf("Since rib %s bars spring back %s (spring constant %+.1f %%): check the blocks and re-test the jig.", in.bends[s.From].Rib, way, 100*(s.By-1))
	}
	if v.Retest == "" && a.Retest && a.Bars > 0 {
		v.Retest = "The last bars sprang back otherwise than those before: check the blocks and re-test the jig."
	}
	off := in.face.MM() - a.Face
	switch miss := math.Abs(off * a.TipPerFace); {
	case a.Bars == 0:
		v.Now = fmt.Sprintf("the jig stands at %s; with this radius to begin with the first bar may miss by %.0f mm", v.Built, math.Ceil(2*a.UTip))
	case miss < a.UTip/2 || math.Abs(off) < 0.5:
		v.Now = fmt.Sprintf("the jig stands at %s: leave it", v.Built)
	case off > 0:
		v.Now = fmt.Sprintf("the jig stands at %s, %s mm too wide: as it is the tips come out about %.0f mm wider", v.Built, oneTenth(off), miss)
	default:
		v.Now = fmt.Sprintf("the jig stands at %s, %s mm too tight: as it is the tips come out about %.0f mm closer", v.Built, oneTenth(-off), miss)
	}
	v.Warnings = append(v.Warnings, a.Warnings...)
	return v
}

// oneTenth is a computed length in mm with one decimal.
func oneTenth(mm float64) string { return fmt.Sprintf("%.1f", mm) }

// jigBuilt records a jig as built for the next rib.
func (b *Bench) jigBuilt(c Command) (event, error) {
	o, err := b.openBatch()
	if err != nil {
		return event{}, err
	}
	l, err := length.Parse(c.Text, length.Options{DefaultUnit: length.MM})
	if err != nil {
		return event{}, problem(CodeBadValue, "text", `give the radius of the block faces as built, such as "683 mm"`, "enter the jig as built: %v", err)
	}
	d := o.target.Bar.Diameter
	if l < 4*d || l > length.Limit {
		return event{}, problem(CodeBadValue, "text", "measure the radius of the block faces and enter that", "enter the jig as built: a face radius of %s mm for a %s mm bar", l, d)
	}
	id := strings.TrimSpace(c.Jig)
	if id == "" {
		for n := len(b.state.jigs) + 1; ; n++ {
			id = fmt.Sprintf("jig-%d", n)
			if _, ok := b.state.jig(id); !ok {
				break
			}
		}
	} else if _, ok := b.state.jig(id); ok {
		return event{}, problem(CodeExists, "jig", "give the rebuilt jig another name", "enter the jig as built: %q is on record already", id)
	}
	old, _ := b.state.jig(o.jig)
	return event{NextSet, NextSetBody{Batch: o.body.ID, Jig: id, FaceRadiusNM: int64(l), Blocks: old.Blocks, By: c.By, Key: c.Key}}, nil
}
