package jig

import (
	"fmt"
	"math"

	"springline/qc/bend"
)

// Checks hold a jig against the bar: minimum bend, set at all, gaps, crossing. What is expected of the bar is nil
// where nothing is known of it. What begins with a word in capitals stands on the first page.
func Checks(p bend.Plan, o bend.Order, x *bend.Expected) []string {
	least := bend.LeastBend(p.Diameter)
	out := []string{}
	if least == 0 {
		out = append(out, fmt.Sprintf("No rule on the minimum bend diameter of a bar of %g mm is held here: look it up.", p.Diameter))
	} else if 2*p.Face >= least {
		out = append(out, fmt.Sprintf("Minimum bend: this bend is %.0f mm in diameter inside, the strictest of ACI 318, EN 1992-1-1 "+
			"and BS 8666 asks for %.0f mm: kept. A local kink over one block must keep it too: round its edge to a radius of %.0f "+
			"mm.", 2*p.Face, least, math.Ceil(least/2)))
	} else {
		out = append(out, fmt.Sprintf("BELOW THE MINIMUM BEND: %.0f mm in diameter inside, less than the %.0f mm that ACI 318, EN "+
			"1992-1-1 and BS 8666 ask for. Do not bend this bar on this jig.", 2*p.Face, least))
	}
	if x != nil && x.Yield > 0 {
		b := bend.Bar{Diameter: p.Diameter, Modulus: o.Modulus, Yield: x.Yield}
		switch most := b.LargestFace(); {
		case p.Face >= most:
			out = append(out, fmt.Sprintf("TOO SPRINGY: on a face radius above %.0f mm this bar springs back straight and takes no set.", most))
		case p.Face > 0.8*most:
			out = append(out, fmt.Sprintf("Springy: above a face radius of %.0f mm this bar takes no set; so near to it the set scatters. "+
				"A thicker or softer bar would hold its shape better.", most))
		}
	}
	if p.Half {
		turn := p.Arc / p.CentreRadius * 180 / math.Pi
		why := "as asked for"
		if turn > 330 {
			why = fmt.Sprintf("the whole arc wraps %.0f degrees of this jig and leaves the legs no way out", turn)
		}
		out = append(out, fmt.Sprintf("ONE HALF AT A TIME: %s. The jig holds one half of the arc: clamp the middle of the bar at block "+
			"1, lay one half on, let go, turn the bar over and lay the other half on.", why))
	}
	if p.Crossing != nil {
		out = append(out, fmt.Sprintf("THE LEGS CROSS on this jig, at X %.0f, Y %.0f mm: bend one half at a time, or set the second "+
			"leg on a packing above the first; mind hands where they pass.", p.Crossing[0], p.Crossing[1]))
	}
	if p.Sagitta > p.Diameter/2 {
		out = append(out, fmt.Sprintf("TOO FEW BLOCKS: the arc bulges %.1f mm over one gap, more than half the bar (a rule of ours), "+
			"so the bar kinks at the blocks; %d blocks would do.",
			p.Sagitta, bend.BlocksFor(p.Face, p.Angle*p.Face, p.Diameter/2)))
	}
	return out
}
