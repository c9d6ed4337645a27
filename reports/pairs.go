package reports

import (
	"fmt"
	"strings"

	"springline/qc"
)

// pairs lists the confirmed pairs, the spare ribs and how many good ribs have no partner.
func pairs(w work) Section {
	b := w.b
	s := Section{Key: "pairs", Title: "Pairs and spare"}
	t := &Table{Blank: w.o.Blank, Columns: []Column{{Head: "Pair", Align: Number}, {Head: "Left rib"}, {Head: "Right rib"}, {Head: "Right rib is set"},
		{Head: "Tag ties"}, {Head: "Differ most at"}, {Head: "Mismatch", Unit: "mm", Align: Number}}}
	alike := confirmedAlike(b.Pairs)
	if !alike {
		t.Columns = append(t.Columns, Column{Head: "Confirmed by"}, Column{Head: "Confirmed"})
	}
	if w.o.Blank {
		for i := range max(1, b.Planned/2) {
			row := Row{Cells: make([]Cell, len(t.Columns))}
			row.Cells[0].Text = fmt.Sprint(i + 1)
			t.Rows = append(t.Rows, row)
		}
		s.Blocks = append(s.Blocks, Block{Table: t}, Block{Facts: []Fact{{"Spare", ""}}})
		return s
	}
	paired := map[string]bool{}
	for i, p := range b.Pairs {
		paired[p.A], paired[p.B] = true, true
		set := "as bent"
		if p.Flip {
			set = "turned end for end"
		}
		if p.Locked {
			set += ", locked"
		}
		row := Row{Cells: []Cell{{Text: fmt.Sprint(i + 1)}, {Text: p.A, Bold: true}, {Text: p.B, Bold: true}, {Text: set}, {Text: w.tag(p)}, {Text: w.differMost(p)}, {Text: mismatch(p)}}}
		if !alike {
			row.Cells = append(row.Cells, Cell{Text: said(p.ConfirmedBy)}, Cell{Text: stamp(p.At)})
		}
		t.Rows = append(t.Rows, row)
	}
	if len(t.Rows) > 0 {
		s.Blocks = append(s.Blocks, Block{Table: t})
		s.Blocks = append(s.Blocks, Block{Text: "Mismatch is the cost by which the pairing was chosen: the smaller, the more alike the two ribs stand. " +
			"Turned end for end means that leg B (no paint band) stands where the left rib has leg A. The tag ties the two legs that stand on one side" + w.sides() + "."})
	} else {
		s.Blocks = append(s.Blocks, Block{Text: "No pairs have been confirmed."})
	}
	facts := spares(b)
	if len(b.Pairs) > 0 {
		facts = append(facts, Fact{"Compared by", b.PairRule.String()}, Fact{"Sum of mismatches", w.proof()})
	}
	if alike && len(b.Pairs) > 0 {
		facts = append(facts, Fact{"Pairs confirmed", strings.TrimSpace("by " + said(b.Pairs[0].ConfirmedBy) + ", " + stamp(b.Pairs[0].At))})
	}
	var alone []string
	for _, r := range w.bent {
		if r.v.Word == qc.Pass && !paired[r.ID] && !contains(b.Spares, r.ID) {
			alone = append(alone, r.ID)
		}
	}
	if len(alone) > 0 {
		facts = append(facts, Fact{"Passed, not paired", strings.Join(alone, ", ")})
	}
	var changed []string
	for _, r := range w.bent {
		if paired[r.ID] && r.v.Word != qc.Pass {
			changed = append(changed, fmt.Sprintf("%s (%s)", r.ID, r.v.Word))
		}
	}
	if len(changed) > 0 {
		facts = append(facts, Fact{"Paired, no longer good", strings.Join(changed, ", ")})
	}
	s.Blocks = append(s.Blocks, Block{Facts: facts})
	if b.Order != nil {
		s.Blocks = append(s.Blocks, runOrder(w)...)
	}
	return s
}

// spares lists the ribs left over, those of one reason together.
func spares(b qc.Batch) []Fact {
	if len(b.Spares) == 0 {
		return []Fact{{"Spare", "none"}}
	}
	if len(b.SpareWhy) != len(b.Spares) {
		return []Fact{{"Spare", strings.Join(b.Spares, ", ")}}
	}
	var order []string
	of := map[string][]string{}
	for i, why := range b.SpareWhy {
		if of[why] == nil {
			order = append(order, why)
		}
		of[why] = append(of[why], b.Spares[i])
	}
	var facts []Fact
	for _, why := range order {
		facts = append(facts, Fact{"Spare", strings.Join(of[why], ", ") + ": " + why})
	}
	return facts
}

// tag names the legs that a pair's tag ties, A-B for leg A of the left rib with leg B of the right one.
func (w work) tag(p qc.PairOf) string {
	turned := false
	if w.b.Order != nil {
		for _, s := range w.b.Order.Stands {
			turned = turned || s.A == p.A && s.Turned
		}
	}
	a, b := qc.TagLegs(p.Flip, turned)
	return fmt.Sprintf("leg %c, leg %c", a, b)
}

// sides says more of the tags where there is a run order.
func (w work) sides() string {
	if w.b.Order == nil {
		return ""
	}
	return ", so that in the run order every tag hangs on the same side"
}

// differMost names the largest difference of a pair as it stands.
func (w work) differMost(p qc.PairOf) string {
	var devs [2][]int32
	for i, id := range []string{p.A, p.B} {
		for _, r := range w.bent {
			if r.ID == id && r.v.Word == qc.Pass {
				devs[i] = w.b.Target.PairDeviations(r.v)
			}
		}
	}
	at, diff := qc.LargestDifference(devs[0], devs[1], p.Flip)
	if at < 0 {
		return "not known"
	}
	id := w.b.Target.PairPlaces()[at]
	c, ok := w.b.Target.Characteristic(id)
	if !ok {
		return "nowhere"
	}
	return c.Label() + ", " + plain(max(diff, -diff), 1) + " mm"
}

// proof states the sum and what no pairing of these ribs can be below.
func (w work) proof() string {
	b := w.b
	sum := plain(b.PairsSum, 2) + " mm"
	switch {
	case b.PairsSum == b.PairsMin && b.PairRule.Objective == qc.PairWorst:
		return sum + ", proven: no pairing into as many pairs has a smaller largest mismatch, and with that none a smaller sum"
	case b.PairsSum == b.PairsMin:
		return sum + ", proven least: no pairing into as many pairs has a smaller one"
	default:
		return sum + ", no pairing is below " + plain(b.PairsMin, 2) + " mm"
	}
}

// runOrder lists the pairs as they stand along the structure.
func runOrder(w work) []Block {
	o := w.b.Order
	t := &Table{Caption: "Run order", Columns: []Column{{Head: "Place", Align: Number}, {Head: "Left rib"}, {Head: "Right rib"}, {Head: "Pair is set"}, {Head: "Tag ties"}}}
	of := map[string]qc.PairOf{}
	for _, p := range w.b.Pairs {
		of[p.A] = p
	}
	for i, s := range o.Stands {
		set := "as paired"
		if s.Turned {
			set = "turned end for end as a whole"
		}
		t.Rows = append(t.Rows, Row{Cells: []Cell{{Text: fmt.Sprint(i + 1)}, {Text: s.A, Bold: true}, {Text: s.B, Bold: true}, {Text: set}, {Text: w.tag(of[s.A])}}})
	}
	proof := plain(o.Length, 2) + " mm, proven least"
	if o.Length > o.Bound {
		proof = plain(o.Length, 2) + " mm, best found; no order is below " + plain(o.Bound, 2) + " mm"
		if permille, ok := qc.PathGap(o.Length, o.Bound); ok {
			proof += fmt.Sprintf(", so it is within %d.%d %% of the least", permille/10, permille%10)
		}
	}
	return []Block{{Table: t}, {Facts: []Fact{{"Sum of steps from pair to pair", proof}, {"Run order confirmed", strings.TrimSpace("by " + said(o.By) + ", " + stamp(o.At))}}}}
}

// confirmedAlike reports whether one person confirmed all pairs at one time, which is then said once.
func confirmedAlike(ps []qc.PairOf) bool {
	for _, p := range ps {
		if p.ConfirmedBy != ps[0].ConfirmedBy || !p.At.Equal(ps[0].At) {
			return false
		}
	}
	return true
}

func contains(list []string, s string) bool {
	for _, x := range list {
		if x == s {
			return true
		}
	}
	return false
}
