package section

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/reports/typeset"
)

func pairColumns() *typeset.Table {
	return table(num("Pair", ""), col("Left rib"), col("Right rib"), col("Right rib is set"),
		col("Tag ties"), col("Differ most at"), num("Mismatch", "mm"))
}

// Pairs lists the confirmed pairs, the spare ribs and how many good ribs have no partner, and the run order.
func Pairs(b qc.Judged) typeset.Section {
	s := typeset.Section{Key: "pairs", Title: "Pairs and spare"}
	alike := confirmedAlike(b.Pairs)
	if len(b.Pairs) > 0 {
		tag := "The tag ties the two legs that stand on one side"
		if b.Order != nil {
			tag += ", so that in the run order every tag hangs on the same side"
		}
		s.Blocks = append(s.Blocks, typeset.Block{Table: pairTable(b, alike)},
			text("Mismatch is the cost by which the pairing was chosen: the smaller, the more alike the two ribs stand. "+
				"Turned end for end means that leg B (no paint band) stands where the left rib has leg A. "+tag+"."))
	} else {
		s.Blocks = append(s.Blocks, text("No pairs have been confirmed."))
	}
	facts := spares(b.Batch)
	if len(b.Pairs) > 0 {
		facts = append(facts, fact("Compared by", b.PairRule.String()), fact("Sum of mismatches", proof(b.Batch)))
		if alike {
			facts = append(facts, fact("Pairs confirmed", confirmed(b.Pairs[0].ConfirmedBy, b.Pairs[0].At)))
		}
	}
	paired := map[string]bool{}
	for _, p := range b.Pairs {
		paired[p.A], paired[p.B] = true, true
	}
	var alone, changed []string
	for _, r := range b.InOrder {
		pass := r.Verdict.Word == qc.Pass
		switch {
		case pass && !paired[r.ID] && !slices.Contains(b.Spares, r.ID):
			alone = append(alone, r.ID)
		case paired[r.ID] && !pass:
			changed = append(changed, fmt.Sprintf("%s (%s)", r.ID, r.Verdict.Word))
		}
	}
	if len(alone) > 0 {
		facts = append(facts, fact("Passed, not paired", list(alone)))
	}
	if len(changed) > 0 {
		facts = append(facts, fact("Paired, no longer good", list(changed)))
	}
	s.Blocks = append(s.Blocks, typeset.Block{Facts: facts})
	if b.Order != nil {
		s.Blocks = append(s.Blocks, runOrder(b.Batch)...)
	}
	return s
}

// pairTable names who confirmed each pair, unless that is said once for all.
func pairTable(b qc.Judged, alike bool) *typeset.Table {
	t := pairColumns()
	if !alike {
		t.Columns = append(t.Columns, col("Confirmed by"), col("Confirmed"))
	}
	for i, p := range b.Pairs {
		set := "as bent"
		if p.Flip {
			set = "turned end for end"
		}
		if p.Locked {
			set += ", locked"
		}
		r := row(fmt.Sprint(i+1), p.A, p.B, set, b.TagLegs(p), differMost(b, p), words.Fixed(length.Length(p.MismatchNM), hundredth))
		r.Cells[1].Bold, r.Cells[2].Bold = true, true
		if !alike {
			r.Cells = append(r.Cells, cells(said(p.ConfirmedBy), stamp(p.At))...)
		}
		t.Rows = append(t.Rows, r)
	}
	return t
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

func confirmed(by string, at time.Time) string {
	return strings.TrimSpace("by " + said(by) + ", " + stamp(at))
}

// spares lists the ribs left over, those of one reason together.
func spares(b qc.Batch) []typeset.Fact {
	if len(b.SpareWhy) != len(b.Spares) || len(b.Spares) == 0 {
		return []typeset.Fact{fact("Spare", or(list(b.Spares), "none"))}
	}
	var order []string
	of := map[string][]string{}
	for i, why := range b.SpareWhy {
		if of[why] == nil {
			order = append(order, why)
		}
		of[why] = append(of[why], b.Spares[i])
	}
	var facts []typeset.Fact
	for _, why := range order {
		facts = append(facts, fact("Spare", list(of[why])+": "+why))
	}
	return facts
}

// differMost names the largest difference of a pair as it stands.
func differMost(b qc.Judged, p qc.PairOf) string {
	var devs [2][]int32
	for i, id := range []string{p.A, p.B} {
		if r, ok := b.JudgedRib(id); ok && r.Verdict.Word == qc.Pass {
			devs[i] = b.Target.PairDeviations(r.Verdict)
		}
	}
	at, diff := qc.LargestDifference(devs[0], devs[1], p.Flip)
	if at < 0 {
		return "not known"
	}
	c, ok := b.Target.Characteristic(b.Target.PairPlaces()[at])
	if !ok {
		return "nowhere"
	}
	return c.Label() + ", " + words.Fixed(max(diff, -diff), tenth) + " mm"
}

// proof states the sum and what no pairing of these ribs can be below.
func proof(b qc.Batch) string {
	sum := words.Fixed(b.PairsSum, hundredth) + " mm"
	switch {
	case b.PairsSum != b.PairsMin:
		return sum + ", no pairing is below " + words.Fixed(b.PairsMin, hundredth) + " mm"
	case b.PairRule.Objective == qc.PairWorst:
		return sum + ", proven: no pairing into as many pairs has a smaller largest mismatch, and with that none a smaller sum"
	}
	return sum + ", proven least: no pairing into as many pairs has a smaller one"
}

// runOrder lists the pairs as they stand along the structure.
func runOrder(b qc.Batch) []typeset.Block {
	o := b.Order
	t := table(num("Place", ""), col("Left rib"), col("Right rib"), col("Pair is set"), col("Tag ties"))
	t.Caption = "Run order"
	of := map[string]qc.PairOf{}
	for _, p := range b.Pairs {
		of[p.A] = p
	}
	for i, s := range o.Stands {
		set := "as paired"
		if s.Turned {
			set = "turned end for end as a whole"
		}
		r := row(fmt.Sprint(i+1), s.A, s.B, set, b.TagLegs(of[s.A]))
		r.Cells[1].Bold, r.Cells[2].Bold = true, true
		t.Rows = append(t.Rows, r)
	}
	sum := words.Fixed(o.Length, hundredth) + " mm, proven least"
	if o.Length > o.Bound {
		sum = words.Fixed(o.Length, hundredth) + " mm, best found; no order is below " + words.Fixed(o.Bound, hundredth) + " mm"
		if permille, ok := qc.PathGap(o.Length, o.Bound); ok {
			sum += fmt.Sprintf(", so it is within %d.%d %% of the least", permille/10, permille%10)
		}
	}
	return []typeset.Block{{Table: t}, {Facts: []typeset.Fact{fact("Sum of steps from pair to pair", sum),
		fact("Run order confirmed", confirmed(o.By, o.At))}}}
}
