package picture

import (
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/reports/draw"
)

// SignOf is the shape that goes with a verdict word.
func SignOf(w qc.Word) draw.Sign {
	switch w {
	case qc.Pass:
		return draw.DiscTick
	case qc.ReBend:
		return draw.StripedOct
	case qc.ReMeasure:
		return draw.DottedTri
	case qc.Reject:
		return draw.DiamondCross
	case qc.Open:
		return draw.HollowSquare
	}
	return draw.NoSign
}

// tenth is a tenth of a millimetre, what differences of ribs are shown to.
const tenth = 100 * length.Micrometre

// limitText is what stands at the line of a limit.
func limitText(l length.Length) string { return "limit " + words.Signed(l, qc.ExactStep(l)) }
