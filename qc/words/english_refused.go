package words

import (
	"fmt"
	"strconv"

	"springline/qc/length"
)

// englishRefused says why what a gauge sent gave no value.
var englishRefused = []saying{
	say(lineFault),
	say(func(f GaugeUnknown) string { return fmt.Sprintf("gauge %q is not on record", f.Gauge) }),
	say(func(f SentOutOfUse) string { return fmt.Sprintf("it sent %s and is out of use: %s", f.Sent, f.Why) }),
	say(func(f SentToIdentify) string { return fmt.Sprintf("it sent %s to tell which gauge it is", f.Sent) }),
	say(func(f SentWithoutBatch) string { return fmt.Sprintf("it sent %s and no batch is open", f.Sent) }),
	say(func(f NoLength) string {
		_, err := length.Decimal(f.Text, f.Unit)
		if err == nil {
			return strconv.Quote(f.Text) + " in " + f.Unit + " could not be read then, and can be now"
		}
		return err.Error()
	}),
	say(func(f TooManyHeld) string {
		return fmt.Sprintf("it sent %s while %d values wait for an answer", f.Sent, f.Wait)
	}),
	say(func(f TooManyHeldBlind) string {
		return fmt.Sprintf("it sent a value while %d wait for an answer", f.Wait)
	}),
	sayWith(func(l Language, f AndMore) string {
		return fmt.Sprintf("%s (and %d more before it)", l.Say(f.What.Of), f.More)
	}),
}
