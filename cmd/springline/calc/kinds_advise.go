package calc

import (
	"encoding/json"
	"fmt"
	"math"
	"strings"

	"springline/qc/bend"
	"springline/qc/strict"
)

const srcLearn = "springback of a round bar with the constant learned per lot: weighted grid over the " +
	"effective hardening, a filter per lot, a law of opening learned from every pull"

// textOf reads the name of a lot or rib: text or a number, compared as written.
func textOf(raw json.RawMessage, field string) (string, error) {
	var v any
	d := json.NewDecoder(strings.NewReader(string(raw)))
	d.UseNumber()
	if err := d.Decode(&v); err != nil {
		return "", refuse("bad_type", field, "must be text or a number")
	}
	switch x := v.(type) {
	case string:
		return "t" + x, nil
	case json.Number:
		return "t" + x.String(), nil
	default:
		return "", refuse("bad_type", field, "must be text or a number, not %s", strict.Brief(raw))
	}
}

type testIn struct {
	Lot    json.RawMessage `json:"lot" doc:"stock lot"`
	Face   float64         `json:"jig_face_radius_mm" doc:"jig the bar was bent on, mm"`
	Tip    float64         `json:"tip_to_tip_mm" doc:"off the jig, mm"`
	Crown  float64         `json:"crown_height_mm" doc:"off the jig, mm"`
	UTip   float64         `json:"u_tip_mm" doc:"standard uncertainty, mm"`
	UCrown float64         `json:"u_crown_mm" doc:"standard uncertainty, mm"`
}

type pullIn struct {
	Lot    json.RawMessage `json:"lot" doc:"stock lot"`
	Rib    json.RawMessage `json:"rib" doc:"rib"`
	Before float64         `json:"before_mm" doc:"tip-to-tip before the pull, mm"`
	Loaded float64         `json:"loaded_mm" doc:"under load, mm"`
	After  float64         `json:"after_mm" doc:"after release, mm"`
}

func testsOf(in []testIn) ([]bend.Test, error) {
	var out []bend.Test
	for i, t := range in {
		lot, err := textOf(t.Lot, fmt.Sprintf("tests[%d].lot", i))
		if err != nil {
			return nil, err
		}
		out = append(out, bend.Test{Lot: lot, Face: t.Face, Tip: t.Tip, Crown: t.Crown, UTip: t.UTip, UCrown: t.UCrown})
	}
	return out, nil
}

type adviseIn struct {
	bend.Order
	Lot json.RawMessage `json:"lot" doc:"stock lot of the next bar, text or number"`

	Tests []testIn `json:"tests" doc:"bars in order, if any: lot, jig_face_radius_mm, tip_to_tip_mm, crown_height_mm, u_tip_mm, u_crown_mm"`
}

func jigAdvise(in adviseIn) (bend.Advice, error) {
	lot, err := textOf(in.Lot, "lot")
	if err != nil {
		return bend.Advice{}, err
	}
	tests, err := testsOf(in.Tests)
	if err != nil {
		return bend.Advice{}, err
	}
	a, err := in.Advise(lot, tests)
	a.Warnings = append([]string{}, a.Warnings...)
	return a, err
}

type correctIn struct {
	bend.Order
	Lot        json.RawMessage `json:"lot" doc:"stock lot of this rib, text or number"`
	Rib        json.RawMessage `json:"rib" doc:"this rib, text or number"`
	Face       float64         `json:"jig_face_radius_mm" doc:"jig this rib was last wrapped on, mm"`
	TipLower   float64         `json:"tip_lower_mm" doc:"limit, mm"`
	TipUpper   float64         `json:"tip_upper_mm" doc:"limit, mm"`
	CrownLower *float64        `json:"crown_lower_mm" doc:"limit, mm; null for none"`
	CrownUpper *float64        `json:"crown_upper_mm" doc:"limit, mm; null for none"`
	Tip        float64         `json:"tip_to_tip_mm" doc:"measured now, mm"`
	Crown      float64         `json:"crown_height_mm" doc:"measured now, mm"`
	UTip       float64         `json:"u_tip_mm" doc:"standard uncertainty, mm"`
	UCrown     float64         `json:"u_crown_mm" doc:"standard uncertainty, mm"`
	Tests      []testIn        `json:"tests" doc:"bars bent so far in order, as in jig.advise"`
	Pulls      []pullIn        `json:"pulls" doc:"pulls so far in order: lot, rib, before_mm, loaded_mm, after_mm"`
}

type correctOut struct {
	Action   string   `json:"action" doc:"none remeasure open close rewrap kink refuse"`
	Loaded   *float64 `json:"tip_to_tip_loaded_mm,omitempty" doc:"open, close: spacing to reach before letting go, mm"`
	Face     *float64 `json:"jig_face_radius_mm,omitempty" doc:"rewrap: wrap the same bar again on this, mm"`
	Place    string   `json:"place,omitempty" doc:"kink: crown, quarter or shoulder, on both sides"`
	Kink     *float64 `json:"kink_deg,omitempty" doc:"kink: turn of each of the pair, degrees; positive closes"`
	Expected float64  `json:"expected_tip_to_tip_mm" doc:"after the action, mm"`
	UExp     float64  `json:"u_expected_mm" doc:"its standard uncertainty, mm"`
	Reason   string   `json:"reason" doc:"one sentence"`
}

func ribCorrect(in correctIn) (correctOut, error) {
	lot, err := textOf(in.Lot, "lot")
	if err != nil {
		return correctOut{}, err
	}
	rib, err := textOf(in.Rib, "rib")
	if err != nil {
		return correctOut{}, err
	}
	tests, err := testsOf(in.Tests)
	if err != nil {
		return correctOut{}, err
	}
	var pulls []bend.Pull
	for i, p := range in.Pulls {
		l, err := textOf(p.Lot, fmt.Sprintf("pulls[%d].lot", i))
		if err != nil {
			return correctOut{}, err
		}
		r, err := textOf(p.Rib, fmt.Sprintf("pulls[%d].rib", i))
		if err != nil {
			return correctOut{}, err
		}
		pulls = append(pulls, bend.Pull{Lot: l, Rib: r, Before: p.Before, Loaded: p.Loaded, After: p.After})
	}
	s := bend.State{
		Lot: lot, Rib: rib, Face: in.Face, TipLower: in.TipLower, TipUpper: in.TipUpper,
		CrownLower: given(in.CrownLower, math.Inf(-1)), CrownUpper: given(in.CrownUpper, math.Inf(1)),
		Tip: in.Tip, Crown: in.Crown, UTip: in.UTip, UCrown: in.UCrown,
	}
	c, err := in.Correct(s, tests, pulls)
	out := correctOut{Action: string(c.Action), Expected: c.Expected, UExp: c.UExp, Reason: c.Reason, Place: c.Place}
	switch c.Action {
	case bend.Open, bend.Close:
		out.Loaded = &c.TipLoaded
	case bend.Rewrap:
		out.Face = &c.Face
	case bend.Kink:
		out.Kink = &c.KinkDeg
	}
	return out, err
}
