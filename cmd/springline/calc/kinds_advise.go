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
		return "", Refuse("bad_type", field, "must be text or a number")
	}
	switch x := v.(type) {
	case string:
		return "t" + x, nil
	case json.Number:
		return "t" + x.String(), nil
	default:
		return "", Refuse("bad_type", field, "must be text or a number, not %s", strict.Brief(raw))
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
	Diameter float64         `json:"diameter_mm" doc:"nominal bar diameter, mm"`
	Modulus  float64         `json:"modulus_mpa" doc:"Young's modulus, MPa"`
	Yield    float64         `json:"grade_yield_mpa" doc:"the grade's yield, MPa; only where learning starts from"`
	Leg      float64         `json:"leg_mm" doc:"straight leg, mm"`
	Arc      float64         `json:"arc_mm" doc:"arc along the centreline, mm"`
	Wanted   float64         `json:"wanted_radius_mm" doc:"centreline radius of the free rib, mm"`
	Lot      json.RawMessage `json:"lot" doc:"stock lot of the next bar, text or number"`

	Tests []testIn `json:"tests" doc:"bars in order, if any: lot, jig_face_radius_mm, tip_to_tip_mm, crown_height_mm, u_tip_mm, u_crown_mm"`
}

type adviseOut struct {
	Face      float64  `json:"jig_face_radius_mm" doc:"to build, mm"`
	UFace     float64  `json:"u_jig_mm" doc:"its standard uncertainty, mm"`
	Tip       float64  `json:"expected_tip_to_tip_mm" doc:"of the next rib, mm"`
	UTip      float64  `json:"u_tip_to_tip_mm" doc:"its standard uncertainty, mm"`
	Constant  float64  `json:"spring_constant_per_mm" doc:"fy/(E d) as it acts in this lot, 1/mm"`
	UConstant float64  `json:"u_spring_constant_per_mm" doc:"its standard uncertainty, 1/mm"`
	Retest    bool     `json:"retest" doc:"bend one bar and ask again before the batch"`
	Warnings  []string `json:"warnings" doc:"what to watch for"`
	Bias      float64  `json:"aimed_closed_mm" doc:"how far the expected tip-to-tip lies below the target, mm"`
	PerFace   float64  `json:"tip_per_jig_mm" doc:"change of tip-to-tip for 1 mm of jig radius, mm"`
	PerYield  float64  `json:"tip_per_percent_yield_mm" doc:"change of tip-to-tip for 1 % of yield, mm"`
	Scatter   float64  `json:"bar_scatter" doc:"standard deviation of the spring constant from bar to bar, relative"`
	Bars      int      `json:"bars_of_lot" doc:"bars of this lot that the advice rests on"`
}

func jigAdvise(in adviseIn) (adviseOut, error) {
	lot, err := textOf(in.Lot, "lot")
	if err != nil {
		return adviseOut{}, err
	}
	tests, err := testsOf(in.Tests)
	if err != nil {
		return adviseOut{}, err
	}
	a, err := bend.Order{Diameter: in.Diameter, Modulus: in.Modulus, GradeYield: in.Yield,
		Leg: in.Leg, Arc: in.Arc, Wanted: in.Wanted}.Advise(lot, tests)
	if err != nil {
		return adviseOut{}, bendError(err)
	}
	return adviseOut{
		Face: a.Face, UFace: a.UFace, Tip: a.Tip, UTip: a.UTip, Constant: a.SpringConstant, UConstant: a.USpringConstant,
		Retest: a.Retest, Warnings: append([]string{}, a.Warnings...), Bias: a.Bias, PerFace: a.TipPerFace, PerYield: a.TipPerYield,
		Scatter: a.BarScatter, Bars: a.Bars,
	}, nil
}

type correctIn struct {
	Diameter   float64         `json:"diameter_mm" doc:"nominal bar diameter, mm"`
	Modulus    float64         `json:"modulus_mpa" doc:"Young's modulus, MPa"`
	Yield      float64         `json:"grade_yield_mpa" doc:"the grade's yield, MPa; only where learning starts from"`
	Leg        float64         `json:"leg_mm" doc:"straight leg, mm"`
	Arc        float64         `json:"arc_mm" doc:"arc along the centreline, mm"`
	Wanted     float64         `json:"wanted_radius_mm" doc:"centreline radius of the free rib, mm"`
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
		Lot: lot, Rib: rib, Face: in.Face, TipLower: in.TipLower, TipUpper: in.TipUpper, CrownLower: math.Inf(-1), CrownUpper: math.Inf(1),
		Tip: in.Tip, Crown: in.Crown, UTip: in.UTip, UCrown: in.UCrown,
	}
	if in.CrownLower != nil {
		s.CrownLower = *in.CrownLower
	}
	if in.CrownUpper != nil {
		s.CrownUpper = *in.CrownUpper
	}
	c, err := bend.Order{Diameter: in.Diameter, Modulus: in.Modulus, GradeYield: in.Yield,
		Leg: in.Leg, Arc: in.Arc, Wanted: in.Wanted}.Correct(s, tests, pulls)
	if err != nil {
		return correctOut{}, bendError(err)
	}
	out := correctOut{Action: string(c.Action), Expected: c.Expected, UExp: c.UExp, Reason: c.Reason, Place: c.Place}
	switch c.Action {
	case bend.Open, bend.Close:
		out.Loaded = &c.TipLoaded
	case bend.Rewrap:
		out.Face = &c.Face
	case bend.Kink:
		out.Kink = &c.KinkDeg
	}
	return out, nil
}
