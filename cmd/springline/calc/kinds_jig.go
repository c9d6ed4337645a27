package calc

import (
	"math"

	"springline/qc/bend"
)

func kindsJig() []Kind {
	return []Kind{
		New("jig.layout", "where the bar touches the blocks of a jig, from a datum edge", "c = 2 R sin(A/(2(n-1))); X, Y = centre + R (sin t, cos t)", jigLayout),
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
	var leg, d float64
	if in.Leg != nil {
		leg = *in.Leg
	}
	if in.Diameter != nil {
		d = *in.Diameter
	}
	l, err := bend.LayOut(in.Face, in.Arc, in.Blocks, in.CentreX, in.CentreY, leg, d)
	if err != nil {
		return layoutOut{}, bendError(err)
	}
	return layoutOut{
		Chord: l.Chord, Sagitta: l.Sagitta, First: l.Contacts[0], Second: l.Contacts[1], Contacts: l.Contacts,
		EndChord: l.EndChord, CrownDiag: l.CrownChord, Angle: l.Angle * 180 / math.Pi, Warnings: append([]string{}, l.Warnings...),
	}, nil
}
