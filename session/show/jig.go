package show

import (
	"fmt"
	"math"

	"springline/qc/words"
	"springline/session/derive"
)

// JigView is the jig to build for the next bar, as learned from the ribs so far.
type JigView struct {
	Lot      string   `json:"lot"`   // of the next bar
	Jig      string   `json:"jig"`   // set-up that it is bent on now
	Built    string   `json:"built"` // its face radius
	Advised  string   `json:"advised"`
	Band     string   `json:"band"`   // of the advised radius, twice its standard uncertainty
	Expect   string   `json:"expect"` // tip-to-tip of the next rib on the advised jig, on the target's face
	Now      string   `json:"now"`    // how far the jig as built is from the advised one, and what to do
	Costs    string   `json:"costs"`  // what an error of the jig or of the yield does
	Rests    string   `json:"rests"`  // what the advice rests on
	Retest   string   `json:"retest"` // why to re-test the jig, empty where there is no need
	Warnings []string `json:"warnings"`
	Chart    int      `json:"chart"` // ribs in the chart of the spring constant; below 3 there is none
	Fault    string   `json:"fault"` // why nothing can be advised
}

// shownJig says what is learned of the jig, nil without an open batch.
func shownJig(a derive.JigAdvice) *JigView {
	if a.Batch == "" {
		return nil
	}
	v := &JigView{Lot: a.Lot, Jig: a.Jig, Built: words.Decimals(a.Built.MM(), 1) + " mm", Warnings: []string{}, Chart: len(a.Bends)}
	if a.Err != nil {
		v.Fault = "no jig can be advised: " + a.Err.Error()
		return v
	}
	v.Advised, v.Band = words.Decimals(a.Face, 1)+" mm", "±"+words.Decimals(2*a.UFace, 1)+" mm"
	v.Expect = fmt.Sprintf("%.0f ±%.0f mm tip-to-tip (%s)", a.Target.FaceTip(a.Tip), math.Ceil(2*a.UTip), a.Target.Face)
	v.Costs = fmt.Sprintf("1 mm of jig radius moves the tips by %.0f mm, 1 %% of yield by %.0f mm",
		math.Abs(a.TipPerFace), math.Abs(a.TipPerYield))
	switch a.Bars {
	case 0:
		v.Rests = "no bar of this lot has been bent yet: bend one, measure it as it comes off the jig, and look here again"
	case 1:
		v.Rests = "learned from 1 bar of this lot"
	default:
		v.Rests = fmt.Sprintf("learned from %d bars of this lot; they scatter by %.1f %% of the spring constant", a.Bars, 100*a.BarScatter)
	}
	switch {
	case a.Since != "":
		way := "further"
		if a.By < 1 {
			way = "less far"
		}
		v.Retest = fmt.Sprintf("Since rib %s bars spring back %s (spring constant %+.1f %%): check the blocks and re-test the jig.",
			a.Since, way, 100*(a.By-1))
	case a.Retest && a.Bars > 0:
		v.Retest = "The last bars sprang back otherwise than those before: check the blocks and re-test the jig."
	}
	stands := "the jig stands at " + v.Built
	switch off, miss := a.Off(), a.Miss(); {
	case a.Bars == 0:
		v.Now = fmt.Sprintf("%s; with this radius to begin with the first bar may miss by %.0f mm", stands, math.Ceil(2*a.UTip))
	case a.Fits():
		v.Now = stands + ": leave it"
	case off > 0:
		v.Now = fmt.Sprintf("%s, %s mm too wide: as it is the tips come out about %.0f mm wider", stands, words.Decimals(off, 1), miss)
	default:
		v.Now = fmt.Sprintf("%s, %s mm too tight: as it is the tips come out about %.0f mm closer", stands, words.Decimals(-off, 1), miss)
	}
	v.Warnings = append(v.Warnings, a.Warnings...)
	return v
}
