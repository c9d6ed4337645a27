package derive

import (
	"springline/qc"
	"springline/qc/stats"
	"springline/session/book"
)

// grubbsAlpha is the significance of the test for one odd reading.
const grubbsAlpha = 0.05

// oddReading is a reading that stands out from its repeats.
type oddReading struct {
	qc.Measurement
	stats.Grubbs // its Index is the reading's place among those that count
}

// Odd points out the one of four or more readings that stands out by Grubbs' test; of three none can. It
// stays until a person withdraws it with a written cause.
func Odd(r *book.Rib, ch qc.Characteristic) (o oddReading, found bool) {
	ms := r.Counted(ch.ID)
	if len(ms) < 4 {
		return o, false
	}
	x := make([]float64, len(ms))
	for i, m := range ms {
		x[i] = (m.Value - ch.Nominal).MM()
	}
	g, err := stats.GrubbsTest(x, grubbsAlpha, "both")
	if err != nil || !g.Reject {
		return o, false
	}
	return oddReading{ms[g.Index], g}, true
}
