package words

import (
	"fmt"
	"slices"
	"strings"

	"springline/qc/length"
)

const hundredthMM = 10 * length.Micrometre

// englishHeld says why a value waits.
var englishHeld = []saying{
	say(func(f ValueCannotBe) string { return fmt.Sprintf("%s of %s cannot be", f.Char.Label(), MM(f.Value)) }),
	say(func(f UnitSlip) string {
		return fmt.Sprintf("%s is %s times off %s: a unit slip?", MM(f.Value), f.Factor, MM(f.Wanted))
	}),
	say(func(f ValueFar) string {
		return fmt.Sprintf("%s is far from %s for %s", MM(f.Value), MM(f.Wanted), f.Char.Label())
	}),
	say(func(f SentTwice) string {
		return fmt.Sprintf("the same value came twice within %d ms: sent twice?", f.WithinMS)
	}),
	say(func(f SentAgain) string { return "the value sent for the one before came again for " + f.Char.Label() }),
	say(func(f PairImpossible) string {
		return fmt.Sprintf("tip-to-tip %s with crown height %s cannot be on a bar of %s", MM(f.Tip), MM(f.Crown), MM(f.Bar))
	}),
	say(func(f TooFine) string {
		return fmt.Sprintf("%s is finer than %s reads (%s): switched to another unit?", MM(f.Value), f.Gauge, MM(f.Reads))
	}),
	say(repeatsApart),
	fixed[NoRibOn]("no rib is on the bench"),
	say(func(f RoundComplete) string { return fmt.Sprintf("the round of rib %s is complete", f.Rib) }),
	say(func(f NotBound) string {
		return fmt.Sprintf("%s is next and %s is not bound to it", f.Next.Label(), f.Gauge)
	}),
	say(func(f WhichGauge) string { return "it is not certain which gauge this is: " + f.Doubt() }),
	say(func(f OtherUnit) string {
		return fmt.Sprintf("sent in %s, and the gauge is bound in %s", f.Sent, f.Bound)
	}),
	say(func(f NotChecked) string {
		return fmt.Sprintf("%s: %s, and this batch takes checked gauges only", f.Gauge, f.State.Label())
	}),
	say(marked),
	say(func(f StudyOtherGauge) string {
		return fmt.Sprintf("gauge study %s runs with %s, not with %s", f.Study, f.Uses, f.Sent)
	}),
	say(func(f StudyFull) string { return fmt.Sprintf("gauge study %s has all its readings", f.Study) }),
}

func repeatsApart(f RepeatsApart) string {
	from, friction := "by the batch", ""
	if f.ByStudy {
		from = "by the gauge study"
	}
	if f.Friction > 0 {
		friction = ", and friction " + Fixed(f.Friction, tenthMM) + " mm"
	}
	return fmt.Sprintf("%d readings of %s lie %s mm apart; repeats agree within %s mm (%s x %s mm %s%s)",
		f.Readings, f.Char.Label(),
		Fixed(f.Apart, hundredthMM), Fixed(f.Limit, hundredthMM), Decimals(float64(f.FactorTenths)/10, 1), Fixed(f.SD, hundredthMM),
		from, friction)
}

// Label is the state in words.
func (s CheckState) Label() string {
	switch s {
	case "in-date":
		return "in date"
	case "due":
		return "check overdue"
	case "never":
		return "never checked"
	case "failed":
		return "check failed"
	}
	return strings.ReplaceAll(string(s), "-", " ")
}

// marks are those of a gauge's line that have words of their own, the most telling first.
var marks = []struct{ flag, text string }{
	{"hold", "the gauge is on hold: the value may be an old one"},
	{"duplicate_suspect", "the same value came twice at once: sent twice?"},
	{"unit_changed", "the gauge changed its unit"},
	{"stale_suspect", "it may answer an earlier question"},
	{"rest_suspect", "it may be the rest of a value that stopped half-way: look at the gauge"},
	{"which_gauge", "it is not certain which gauge this is"},
}

func marked(f Marked) string {
	for _, m := range marks {
		if slices.Contains(f.Flags, m.flag) {
			return m.text
		}
	}
	if len(f.Flags) > 0 {
		return "the gauge marks it: " + strings.ReplaceAll(strings.Join(f.Flags, ", "), "_", " ")
	}
	return "the gauge does not vouch for it"
}

// englishDecide says what a person decides.
var englishDecide = []saying{
	fixed[MeasureAgain]("Throw it out and measure again."),
	say(func(f MeantInstead) string {
		return fmt.Sprintf("Was %s meant? Take that, take it as sent, or throw it out.", MM(f.Meant))
	}),
	fixed[TakeOrAgain]("Is it right? Take it, or throw it out and measure again."),
	fixed[BouncedOrSecond]("Throw it out if the button bounced; take it if it is a second reading."),
	say(func(f WasMoved) string {
		return "Was the gauge moved to " + f.Char.Label() + "? Take it, or throw it out and measure."
	}),
	fixed[OneIsWrong]("One of the two is wrong: throw this out and measure again, or measure the other again."),
	say(func(f LookAtDisplay) string {
		return fmt.Sprintf("Look at its display: take the value if it stands there in %s, or set it back to %s, "+
			"throw this out and send again.",
			f.Unit, f.Unit)
	}),
	fixed[AllAgain]("Measure all again, or take it and write the cause."),
	fixed[StartRib]("Start a rib, then take the value, or throw it out."),
	fixed[NextRib]("Start the next rib, or measure one characteristic again; then take the value or throw it out."),
	fixed[TakeAsMeasured]("Take it for what it was measured on, or throw it out."),
	fixed[SayWhich]("Say which gauge it is; then take the value or throw it out."),
	say(func(f SetBack) string {
		return fmt.Sprintf("Is %s right? Take it, or set the gauge back to %s and throw it out.", MM(f.Value), f.Unit)
	}),
	fixed[CheckGauge]("Check the gauge against a known length; then take the value, or throw it out."),
	fixed[PauseStudy]("Throw it out; to measure a rib, pause the study first."),
	fixed[FinishStudy]("Throw it out; finish the study to measure ribs."),
}
