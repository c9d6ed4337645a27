package calc

import (
	"math"

	"springline/qc/bend"
)

const srcPull = "large-displacement integration of a bar under a tip force; virgin " +
	"curve again past the jig's moment, Masing's rule in reverse"

func kindsJig() []Kind {
	return []Kind{
		row("jig.layout", "where the bar touches the blocks of a jig, from a datum edge",
			"c = 2 R sin(A/(2(n-1))); X, Y = centre + R (sin t, cos t)", jigLayout),
		row("jig.advise", "the jig radius for the next bar of a lot, learned from the bars so far", srcLearn, jigAdvise),
		row("rib.correct", "what to do next with a rib that came off the jig", srcLearn, ribCorrect),
		row("rib.set_onset", "where pulling the tips of a rib begins to set it, closing and opening", srcPull, ribOnset),
		row("rib.set", "the pull at the tips that leaves a wanted set", srcPull, ribSet),
	}
}

type layoutIn struct {
	Face     float64  `json:"face_radius_mm" doc:"radius where the bar touches the blocks, mm"`
	Arc      float64  `json:"arc_mm" doc:"length of the arc on the face, mm"`
	Blocks   int      `json:"blocks" doc:"number of blocks, first and last at the ends of the arc"`
	CentreX  float64  `json:"centre_x_mm" doc:"centre of the arc from the datum, mm"`
	CentreY  float64  `json:"centre_y_mm" doc:"centre of the arc from the datum, mm; the crown is at larger y"`
	Leg      *float64 `json:"leg_mm" need:"no" doc:"straight leg, mm: for the warning that the legs cross"`
	Diameter *float64 `json:"diameter_mm" need:"no" doc:"bar diameter, mm: for the warning that the blocks are too far apart"`
}

type layoutOut struct {
	Chord     float64      `json:"chord_mm" doc:"between neighbouring contacts, mm"`
	Sagitta   float64      `json:"sagitta_mm" doc:"of the arc over one gap, mm"`
	First     [2]float64   `json:"first_contact_mm" doc:"x, y, mm"`
	Second    [2]float64   `json:"second_contact_mm" doc:"x, y, mm"`
	Contacts  [][2]float64 `json:"contacts_mm" doc:"x, y of every contact, mm"`
	EndChord  float64      `json:"end_chord_mm" doc:"check diagonal, first to last contact, mm"`
	CrownDiag []float64    `json:"crown_chords_mm" doc:"check diagonals from the top of the arc to each contact, mm"`
	Angle     float64      `json:"arc_angle_deg" doc:"degrees"`
	Warnings  []string     `json:"warnings" doc:"what to watch for on this jig"`
}

func jigLayout(in layoutIn) (layoutOut, error) {
	l, err := bend.LayOut(in.Face, in.Arc, in.Blocks, in.CentreX, in.CentreY, given(in.Leg, 0), given(in.Diameter, 0))
	if err != nil {
		return layoutOut{}, err
	}
	return layoutOut{
		Chord: l.Chord, Sagitta: l.Sagitta, First: l.Contacts[0], Second: l.Contacts[1], Contacts: l.Contacts,
		EndChord: l.EndChord, CrownDiag: l.CrownChord, Angle: l.Angle * 180 / math.Pi, Warnings: append([]string{}, l.Warnings...),
	}, nil
}

type onsetOut struct {
	Tip         float64 `json:"tip_to_tip_mm" doc:"of the free rib, mm"`
	Crown       float64 `json:"crown_height_mm" doc:"of the free rib, mm"`
	CloseTravel float64 `json:"close_travel_mm" doc:"tips towards each other until closing sets, mm"`
	CloseForce  float64 `json:"close_force_n" doc:"N along the tip line"`
	OpenTravel  float64 `json:"open_travel_mm" doc:"tips apart until opening sets, mm"`
	OpenForce   float64 `json:"open_force_n" doc:"N along the tip line"`
}

func ribOnset(in bend.Job) (onsetOut, error) {
	o, err := in.Onset()
	return onsetOut{o.Free.TipToTip(), o.Free.CrownHeight(), o.CloseTravel, o.CloseForce, o.OpenTravel, o.OpenForce}, err
}

type setIn struct {
	bend.Job
	Set float64 `json:"set_mm" doc:"permanent change wanted, mm: positive closes, negative opens"`
}

type setOut struct {
	Tip         float64 `json:"tip_to_tip_mm" doc:"of the free rib before, mm"`
	Travel      float64 `json:"travel_mm" doc:"of the tips under load, mm; positive closes"`
	TipLoaded   float64 `json:"tip_to_tip_loaded_mm" doc:"spacing to reach before letting go, mm; negative once the legs cross"`
	CrownLoaded float64 `json:"crown_height_loaded_mm" doc:"mm"`
	Force       float64 `json:"force_n" doc:"N along the tip line; positive closes"`
	TipAfter    float64 `json:"tip_to_tip_after_mm" doc:"after release, mm"`
	CrownAfter  float64 `json:"crown_height_after_mm" doc:"after release, mm"`
	LegsCross   bool    `json:"legs_cross" doc:"the legs pass each other under load"`
	LegsYield   bool    `json:"legs_yield" doc:"the leg roots yield under load"`
}

func ribSet(in setIn) (setOut, error) {
	s, err := in.Pull(in.Set)
	return setOut{
		Tip: s.Free.TipToTip(), Travel: s.Travel, TipLoaded: s.TipLoaded, CrownLoaded: s.CrownLoaded, Force: s.Force,
		TipAfter: s.TipAfter, CrownAfter: s.CrownAfter, LegsCross: s.LegsCrossed, LegsYield: s.LegsYield,
	}, err
}
