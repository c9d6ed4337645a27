package show

import (
	"fmt"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/derive"
)

// ShownOrder shows a run order; c is its confirmation, nil before it has one.
func ShownOrder(p derive.Pairs, r *derive.RunOrder, c *book.ConfirmedOrder) *OrderView {
	v := &OrderView{
		State: "provisional", Stands: []StandView{}, Token: r.Token, CanFix: !p.Closed,
		Length: words.Fixed(length.Length(r.Body.LengthNM), TenthMM) + " mm",
	}
	v.Proof = "proven shortest: no order of these pairs has smaller steps in all"
	if b, l := r.Body.LowerBound, r.Body.LengthNM; l > b {
		v.Proof = fmt.Sprintf("best found; no order can be below %s mm, so it is within %s of the shortest",
			words.Fixed(length.Length(b), TenthMM), gap(l, b))
	}
	if c != nil {
		v.State, v.Confirmed = "confirmed", confirmedText(c.By, c.At)
	}
	flips := map[string]bool{}
	for _, x := range p.Confirmed.Pairs {
		flips[x.A] = x.Flip
	}
	for i, s := range r.Body.Order {
		sv := StandView{Place: i + 1, A: s.A, B: s.B, Turned: s.Turned, Tag: tagText(s.A, s.B, flips[s.A], s.Turned)}
		if i > 0 {
			sv.Step = words.Fixed(length.Length(r.Steps[i]), TenthMM) + " mm"
		}
		v.Stands = append(v.Stands, sv)
	}
	return v
}

// gap is how far a length may be above the least there can be.
func gap(l, bound int64) string {
	if permille, ok := qc.PathGap(length.Length(l), length.Length(bound)); ok {
		return fmt.Sprintf("%d.%d %%", permille/10, permille%10)
	}
	return words.Fixed(length.Length(l-bound), length.Micrometre) + " mm"
}
