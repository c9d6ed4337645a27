package command

import (
	"cmp"
	"strconv"
	"strings"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// ChangePairRule changes how ribs are paired; what is left out stays.
type ChangePairRule struct {
	Metric    string `json:"metric" need:"no" most:"120" doc:"rms or max"`
	Objective string `json:"objective" need:"no" most:"120" doc:"sum or worst_then_sum"`
	Weights   string `json:"weights" need:"no" most:"120" doc:"of tip-to-tip, crown height and every station: 1 1 2"`
	Limit     string `json:"limit" need:"no" most:"120" doc:"largest mismatch of a pair, or none"`
	OtherLot  string `json:"other_lot" need:"no" most:"120" doc:"by how much a pair of one lot may be worse and is still preferred, or none"`
}

func (ChangePairRule) op() Op { return "pair-rule" }
func changePairRule(d *Desk, o *book.Batch, s Sent, c ChangePairRule) (any, error) {
	r := o.Pairing.RuleOr()
	r.Metric, r.Objective = cmp.Or(c.Metric, r.Metric), cmp.Or(c.Objective, r.Objective)
	if c.Weights != "" {
		var err error
		if r.Tip, r.Crown, r.Station, err = parseWeights(c.Weights); err != nil {
			return nil, err
		}
	}
	for _, f := range []struct {
		name, text string
		to         *length.Length
	}{{"limit", c.Limit, &r.Limit}, {"other_lot", c.OtherLot, &r.OtherLot}} {
		switch f.text {
		case "":
		case "none":
			*f.to = 0
		default:
			l, err := length.Parse(f.text, length.Options{DefaultUnit: length.MM})
			if err != nil {
				return nil, words.Problem(words.CodeBadValue, f.name, `give a length such as "3 mm", or none`,
					"set the pairing rule of batch %q: %v", o.Body.ID, err)
			}
			*f.to = l
		}
	}
	if err := r.Validate(); err != nil {
		return nil, words.Refused("pairing", err)
	}
	return pairRuleBody(o.Body.ID, r, s), nil
}

func pairRuleBody(batch string, r qc.PairRule, s Sent) log.PairRuleBody {
	return log.PairRuleBody{Batch: batch, Metric: r.Metric, Objective: r.Objective, Tip: r.Tip, Crown: r.Crown, Station: r.Station,
		LimitNM: int64(r.Limit), OtherLotNM: int64(r.OtherLot), By: s.By, Keyed: s.keyed()}
}

func parseWeights(text string) (tip, crown, station int64, err error) {
	fields := strings.Fields(text)
	w := [3]int64{}
	for i, f := range fields {
		if len(fields) != len(w) {
			break
		}
		if w[i], err = strconv.ParseInt(f, 10, 32); err != nil {
			break
		}
	}
	if len(fields) != len(w) || err != nil {
		return 0, 0, 0, words.Problem(words.CodeBadValue,
			"weights", `give three whole numbers, for tip-to-tip, crown height and every station, such as "1 1 1"`,
			"set the pairing rule: the weights %q are not three whole numbers", text)
	}
	return w[0], w[1], w[2], nil
}

// SetPairRule states how the ribs of the open batch are paired.
type SetPairRule struct {
	Metric     string `json:"metric" most:"120" doc:"rms or max"`
	Objective  string `json:"objective" most:"120" doc:"sum or worst_then_sum"`
	Tip        int64  `json:"tip" doc:"weight of tip-to-tip"`
	Crown      int64  `json:"crown" doc:"weight of the crown height"`
	Station    int64  `json:"station" doc:"weight of every station"`
	LimitNM    int64  `json:"limit_nm" need:"no" doc:"largest mismatch of a pair"`
	OtherLotNM int64  `json:"other_lot_nm" need:"no" doc:"by how much a pair of one lot may be worse and is still preferred"`
}

func (SetPairRule) op() Op { return "pair-rule-set" }

// PairRuleDeed states a pairing rule.
func PairRuleDeed(r qc.PairRule) SetPairRule {
	return SetPairRule{Metric: r.Metric, Objective: r.Objective, Tip: r.Tip, Crown: r.Crown, Station: r.Station,
		LimitNM: int64(r.Limit), OtherLotNM: int64(r.OtherLot)}
}

func setPairRule(d *Desk, s Sent, c SetPairRule) (any, error) {
	r := qc.PairRule{Metric: c.Metric, Objective: c.Objective, Tip: c.Tip, Crown: c.Crown, Station: c.Station,
		Limit: length.Length(c.LimitNM), OtherLot: length.Length(c.OtherLotNM)}
	if err := r.Validate(); err != nil {
		return nil, words.Refused("pairing", err)
	}
	o := d.Book.Open()
	if o == nil {
		return nil, words.Problem(words.CodeNoBatch, "batch", "open a batch first", "set the pairing rule: no batch is open")
	}
	if o.Pairing.RuleOr() == r {
		return nil, same("pairing", "the pairing rule of batch %q", o.Body.ID)
	}
	return pairRuleBody(o.Body.ID, r, s), nil
}
