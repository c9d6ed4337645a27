package doubt

import (
	"math/big"
	"strings"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/log"
)

// Finer reports digits that the gauge cannot read: it has been switched to another unit and does not say
// so. It is asked of measures whose wanted value is zero and of values sent without their unit, since
// there a slipped unit gives another small value that nothing else tells from a right one.
func Finer(g qc.Gauge, ch qc.Characteristic, rd log.ReadingBody) (Question, bool) {
	if ch.Nominal != 0 || qc.Entry(rd.Entry) != qc.Sent || g.Resolution <= 0 {
		return Question{}, false
	}
	v := length.Length(rd.ValueNM)
	off := v % g.Resolution
	off = max(off, -off)
	off = min(off, g.Resolution-off)
	if 2*off <= lastPlace(rd) {
		return Question{}, false // a step of the gauge, rounded to the places sent, as a 64th of an inch is
	}
	q := Question{Why: words.TooFine{Value: v, Gauge: g.Name, Reads: g.Resolution}, Ask: words.LookAtDisplay{Unit: g.Unit}}
	switch g.Unit {
	case "mm":
		q.Suggest = v * 254 / 10
	case "in":
		q.Suggest = v * 10 / 254
	}
	if far(ch, q.Suggest) {
		q.Suggest = 0
	}
	return q, true
}

// lastPlace is one unit of the last decimal place sent; zero for a unit that is not known.
func lastPlace(rd log.ReadingBody) length.Length {
	unit, ok := length.UnitNamed(rd.Unit)
	if !ok {
		return 0
	}
	_, decimals, _ := strings.Cut(rd.Text, ".")
	ten := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(len(decimals))), nil)
	return length.Length(new(big.Int).Div(big.NewInt(int64(unit.Size())), ten).Int64())
}
