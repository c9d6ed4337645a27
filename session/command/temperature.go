package command

import (
	"cmp"
	"fmt"
	"math"
	"strconv"
	"strings"

	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// defaultDoubt is what a small thermometer held against a bar may be off, in kelvin (common practice, no
// source).
const defaultDoubt = "1"

// ReadTemperature enters the temperatures of bar and tape.
type ReadTemperature struct {
	Bar   string `json:"bar" most:"120" doc:"of the bar, degrees C"`
	Tape  string `json:"tape" most:"120" doc:"of the tape, degrees C"`
	Doubt string `json:"doubt" need:"no" most:"120" doc:"how far either may be off, in kelvin; 1 when left out"`
	Seq   int64  `json:"seq" need:"no" least:"0" doc:"record of an earlier reading that was wrong"`
}

func (ReadTemperature) op() Op { return "temperature" }

func readTemperature(d *Desk, o *book.Batch, s Sent, c ReadTemperature) (any, error) {
	body := log.TemperatureBody{Batch: o.Body.ID, Replaces: c.Seq, Keyed: s.keyed(), By: s.By}
	for _, x := range []struct {
		field, text string
		to          *int64
	}{{"bar", c.Bar, &body.BarMC}, {"tape", c.Tape, &body.TapeMC}, {"doubt", cmp.Or(c.Doubt, defaultDoubt), &body.DoubtMK}} {
		v, err := degrees(x.text)
		if err != nil {
			return nil, words.Problem(words.CodeBadValue, x.field, "give degrees C, such as 27.5",
				"read the temperature of the %s: %v", x.field, err)
		}
		*x.to = v
	}
	t := body.Temperatures(1)
	if err := t.Validate(); err != nil {
		return nil, words.Problem(words.CodeBadValue, "bar", "read them again, in degrees C", "%v", err)
	}
	if c.Seq != 0 && !o.TemperatureCounts(c.Seq) {
		return nil, words.Problem(words.CodeUnknown, "seq", "name a reading that still counts",
			"batch %q has no temperatures %d that count", o.Body.ID, c.Seq)
	}
	return body, nil
}

// degrees reads degrees or kelvin in thousandths; a comma may stand for the point.
func degrees(text string) (int64, error) {
	s := strings.TrimSpace(strings.Replace(text, ",", ".", 1))
	for _, unit := range []string{"°C", "C", "K"} {
		s = strings.TrimSpace(strings.TrimSuffix(s, unit))
	}
	v, err := strconv.ParseFloat(s, 64)
	if err != nil || math.IsNaN(v) || math.Abs(v) > 1000 || strings.ContainsAny(s, "eExXpP_") {
		return 0, fmt.Errorf("%q is no temperature", text)
	}
	return int64(math.Round(v * 1000)), nil
}
