package words

import (
	"fmt"
	"strings"

	"springline/qc/length"
)

// englishNotices says what happened.
var englishNotices = []saying{
	sayWith(func(l Language, f ValueWaits) string {
		return fmt.Sprintf("%s sent %s: %s", f.Gauge, f.Sent, l.Say(f.Why.Of))
	}),
	say(func(f StudyValueWaits) string {
		return fmt.Sprintf("%s: a value for step %d of gauge study %s waits for an answer", f.Gauge, f.Step, f.Study)
	}),
	sayWith(func(l Language, f GaveNoValue) string {
		return fmt.Sprintf("%s: refused, %s", f.Gauge, l.Say(f.What.Of))
	}),
	say(func(f GaugeChecked) string {
		return fmt.Sprintf("%s checked at %s: %s", f.Gauge, MM(f.Reference), checkText(f.Check))
	}),
	say(func(f CheckNote) string {
		text := fmt.Sprintf("at %s %s", MM(f.Reference), checkText(f.Check))
		if f.Against != "" {
			text += ", against " + f.Against
		}
		return text
	}),
	say(func(f GaugeOutOfUse) string { return fmt.Sprintf("%s is out of use: %s", f.Gauge, f.Why) }),
	say(gaugeMoved),
	say(func(f StudyCounts) string {
		return fmt.Sprintf("gauge study %s: the repeatability of %s, %s mm, counts in every uncertainty from now on",
			f.Study, f.Gauge, Fixed(f.SD, length.Micrometre))
	}),
	say(studyChanged),
	say(temperatures),
	say(func(f TemperaturesRead) string { return "temperatures: " + temperatures(f.Temperatures) }),
}

// checkText says how a check came out.
func checkText(c Check) string {
	text := "off by " + ExactSigned(c.Offset.Round(length.Micrometre, length.TieEven)) + ", "
	if c.Repeated {
		text += "spread " + Exact(c.Spread) + ", "
	}
	word := "within"
	if !c.OK {
		word = "NOT within"
	}
	text += fmt.Sprintf("%s the %s allowed", word, Exact(c.Allowed))
	if c.Doubt > 0 {
		text += " with the reference within " + Exact(c.Doubt)
	}
	return text
}

func gaugeMoved(f GaugeMoved) string {
	text := f.Gauge + " is in another socket now:"
	if f.Vendor != "" || f.Product != "" {
		text += " " + f.Vendor + ":" + f.Product
	}
	for _, x := range []struct{ what, is string }{{"serial", f.Serial}, {"at", f.Path}, {"port", f.Port}} {
		if x.is != "" {
			text += " " + x.what + " " + x.is
		}
	}
	return text
}

func studyChanged(f StudyChanged) string {
	const named = 6
	var list []string
	for _, r := range f.Ribs[:min(len(f.Ribs), named)] {
		list = append(list, fmt.Sprintf("rib %s from %s to %s", r.Rib, r.From, r.To))
	}
	text := fmt.Sprintf("gauge study %s changed verdicts: %s", f.Study, strings.Join(list, ", "))
	if n := len(f.Ribs) - named; n > 0 {
		text += fmt.Sprintf(" and %d more", n)
	}
	return text
}

func temperatures(f Temperatures) string {
	d := func(thousandths int64) string { return Shortest(float64(thousandths) / 1000) }
	return fmt.Sprintf("bar %s °C, tape %s °C, each within %s K, read at %s", d(f.BarMC), d(f.TapeMC), d(f.DoubtMK), f.At)
}
