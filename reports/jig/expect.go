package jig

import (
	"fmt"
	"math"

	"springline/qc/words"
	"springline/reports/typeset"
)

// expect is what a bar does when it is let go, and how sure that is.
func (s Sheet) expect(y typeset.Yard) typeset.Section {
	sec := typeset.Section{Key: "expect", Title: "What to expect when the bar is let go"}
	add := func(text ...string) { sec.Blocks = append(sec.Blocks, y.Say(text...)...) }
	if s.Origin != "" {
		add(s.Origin)
	}
	if s.Expected == nil {
		add("Nothing is known of the bar's yield: bend one test bar, measure its tips and ask again before the blocks are fixed for good.")
	} else {
		x := s.Expected
		add(fmt.Sprintf("Wanted: tips %s apart. Expected of the next bar: %s ± %.0f mm (95 %% band, %s, without the reading's own doubt). %s",
			s.Length(s.FaceTip(s.Order.Target()), 0), s.Length(s.FaceTip(x.Tip), 0), math.Ceil(2*x.U), s.OnFace(), s.onJig()))
		add(fmt.Sprintf("1 mm of error in the face radius moves the tips by %.1f mm; 1 %% of yield moves them by %.1f mm. So build to "+
			"the millimetre, and bend a test bar at each new heat or bundle.",
			math.Abs(x.TipPerFace), math.Abs(x.TipPerYield)))
		if s.UFace > 0 {
			add(fmt.Sprintf("The face radius itself is known to ± %.1f mm.", 2*s.UFace))
		}
		if s.Retest {
			add("RE-TEST: bend one bar on this jig and measure it before the batch goes on.")
		}
	}
	add(Checks(s.Plan, s.Order, s.Expected)...)
	for _, r := range s.Rules {
		add(fmt.Sprintf("Not by the shortcut \"%s\": its face radius of %.0f mm would leave the tips %s.", r.Name, r.Face, Missed(r.Miss)))
	}
	for _, n := range s.Notes {
		add(words.Sentence(words.Minus(n)))
	}
	return sec
}

// Missed says where a bar bent by a shortcut leaves the tips.
func Missed(mm float64) string {
	if math.Abs(mm) < 0.5 {
		return "where they are wanted, this time"
	}
	word := "too wide"
	if mm < 0 {
		word = "too close"
	}
	return fmt.Sprintf("%.0f mm %s", math.Abs(mm), word)
}

func (s Sheet) onJig() string {
	tip := s.Plan.TipOnJig
	if s.Plan.Half {
		return "One half is bent after the other."
	}
	if tip < 0 {
		return fmt.Sprintf("On the jig they stand past each other by %.0f mm.", -tip)
	}
	return fmt.Sprintf("On the jig they stand %.0f mm apart at the centreline.", tip)
}
