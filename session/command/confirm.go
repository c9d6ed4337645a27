package command

import (
	"slices"

	"springline/qc/words"
	"springline/session/book"
	"springline/session/derive"
)

// ConfirmPairs confirms the pairs as they were seen.
type ConfirmPairs struct {
	Token string `json:"token" most:"120" doc:"names what was seen"`
}

func (ConfirmPairs) op() Op { return "confirm-pairs" }

// confirmPairs records the very proposal that the person saw.
func confirmPairs(d *Desk, o *book.Batch, s Sent, c ConfirmPairs) (any, error) {
	if s.By == "" {
		return nil, words.Problem(words.CodeMissing, "by", "say who confirms", "confirming pairs needs a person")
	}
	pr := d.Is.Pairs()
	switch {
	case pr.Err != nil:
		return nil, words.Problem(words.CodeBadValue, "pairs", "", "no pairs can be proposed for batch %q: %v", o.Body.ID, pr.Err)
	case len(pr.Body.Pairs) == 0:
		return nil, words.Problem(words.CodeBadValue, "pairs", "measure more ribs", "batch %q has no two ribs that pass", o.Body.ID)
	case c.Token != pr.Token:
		return nil, words.Problem(words.CodeConflict, "token", "look at the pairs as they are now and confirm those",
			"the pairs of batch %q have changed since they were shown (%q, now %q)", o.Body.ID, c.Token, pr.Token)
	}
	body := pr.Body
	body.By, body.Keyed = s.By, s.keyed()
	return body, nil
}

// ConfirmOrder confirms the run order as it was seen.
type ConfirmOrder struct {
	Token string `json:"token" most:"120" doc:"names what was seen"`
	First string `json:"first" need:"no" most:"120" doc:"a rib of the pair that stands first"`
	Last  string `json:"last" need:"no" most:"120" doc:"a rib of the pair that stands last"`
}

func (ConfirmOrder) op() Op { return "confirm-order" }

// confirmOrder records the very order that the person saw.
func confirmOrder(d *Desk, o *book.Batch, s Sent, c ConfirmOrder) (any, error) {
	if s.By == "" {
		return nil, words.Problem(words.CodeMissing, "by", "say who confirms", "confirming the run order needs a person")
	}
	p := d.Is.Pairs()
	if p.Confirmed != nil && len(p.Confirmed.Pairs) > derive.ShortRun && !p.KnowsOrder(c.First, c.Last) {
		// Working it out would keep the gauges waiting.
		return nil, words.Problem(words.CodeConflict, "token", "work the run order out and confirm what is shown",
			"the run order of batch %q has not been worked out yet", o.Body.ID)
	}
	r, err := p.Order(c.First, c.Last)
	if err != nil {
		return nil, err
	}
	if c.Token != r.Token {
		return nil, words.Problem(words.CodeConflict, "token", "look at the run order as it is now and confirm that one",
			"the run order of batch %q has changed since it was shown (%q, now %q)", o.Body.ID, c.Token, r.Token)
	}
	body := r.Body
	body.Order = slices.Clone(body.Order)
	body.By, body.Keyed = s.By, s.keyed()
	return body, nil
}
