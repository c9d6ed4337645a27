package job

import (
	"springline/qc"
	"springline/qc/length"
)

// pairingFile is the [pairing] section; what it leaves out is as usual ([qc.DefaultPairRule]).
type pairingFile struct {
	Compare       string `toml:"compare"`
	Best          string `toml:"best"`
	WeightTip     *int64 `toml:"weight_tip"`
	WeightCrown   *int64 `toml:"weight_crown"`
	WeightStation *int64 `toml:"weight_station"`
	Limit         string `toml:"limit"`
	OtherLot      string `toml:"other_lot"`
}

func (r *reader) pairing(f *pairingFile) *qc.PairRule {
	if f == nil {
		return nil
	}
	rule := qc.DefaultPairRule
	if f.Compare != "" {
		rule.Metric = f.Compare
	}
	if f.Best != "" {
		rule.Objective = f.Best
	}
	for _, w := range []struct {
		from *int64
		to   *int64
	}{{f.WeightTip, &rule.Tip}, {f.WeightCrown, &rule.Crown}, {f.WeightStation, &rule.Station}} {
		if w.from != nil {
			*w.to = *w.from
		}
	}
	for _, l := range []struct {
		at, text string
		to       *length.Length
	}{{"pairing.limit", f.Limit, &rule.Limit}, {"pairing.other_lot", f.OtherLot, &rule.OtherLot}} {
		*l.to = r.optional(l.at, l.text)
	}
	if err := rule.Validate(); err != nil {
		r.fail("pairing:", "%v", err)
	}
	return &rule
}
