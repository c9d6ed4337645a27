package arch

import (
	"fmt"
	"math"
)

// Place is a part of the rib, in the words of the bench.
type Place string

const (
	AtCrown    Place = "crown"
	AtShoulder Place = "shoulder"
	AtLegA     Place = "leg A"
	AtLegB     Place = "leg B"
	Everywhere Place = "whole arc"
	Nowhere    Place = ""
)

// Diagnosis is one sentence on a rib's shape with the place to work on.
type Diagnosis struct {
	Place    Place
	Sentence string
	CanTell  bool // false: the readings' uncertainty covers every difference
}

// Diagnose puts a shape into one sentence. The largest term in units of its effect on the tips is
// named; a term is named only beyond twice its uncertainty.
func (p Placed) Diagnose(s Curvature, arc float64) Diagnosis {
	if !s.Seen(0) && !s.Seen(1) && !s.Seen(2) {
		return Diagnosis{Sentence: "the readings cannot tell this shape from the target"}
	}
	var size [3]float64
	all := p.influences(arc, nil)
	for i, inf := range all {
		if s.Seen(i) {
			size[i] = math.Abs(s.K[i]) * math.Max(math.Abs(inf.tip), math.Max(math.Abs(inf.crown), math.Abs(inf.chordA)))
		}
	}
	worst := 0
	for i := range size {
		if size[i] > size[worst] {
			worst = i
		}
	}
	if size[worst] == 0 {
		return Diagnosis{Sentence: "the readings cannot tell this shape from the target"}
	}
	tip := all[0].tip * s.K[0]
	switch worst {
	case 1:
		if s.K[1] > 0 {
			return Diagnosis{AtCrown, fmt.Sprintf("the crown is bent %.2g %% tighter than the shoulders: peaked at the crown",
				200*s.K[1]*arcRadius(p, arc)), true}
		}
		return Diagnosis{AtShoulder, fmt.Sprintf("the shoulders are bent %.2g %% tighter than the crown: flat at the crown",
			-200*s.K[1]*arcRadius(p, arc)), true}
	case 2:
		if s.K[2] > 0 {
			return Diagnosis{AtLegA,
				"the half of leg B is bent tighter than the half of leg A: the bar slipped towards leg A or side A was pulled less", true}
		}
		return Diagnosis{AtLegB, "the half of leg A is bent tighter than the half of leg " +
			"B: the bar slipped towards leg B or side B was pulled less", true}
	default:
		if s.K[0] < 0 {
			return Diagnosis{Everywhere, fmt.Sprintf("the whole arc is too open: the tips stand about %.0f mm too wide", tip), true}
		}
		return Diagnosis{Everywhere, fmt.Sprintf("the whole arc is too tight: the tips stand about %.0f mm too close", -tip), true}
	}
}

func arcRadius(p Placed, arc float64) float64 {
	turn := math.Abs(p.At(p.Length()).Heading - p.At(0).Heading)
	if turn == 0 {
		return 0
	}
	return arc / turn
}
