package stats

import (
	"fmt"
	"math"
)

// OnePersonStudy analyses readings[part][repeat] of one operator by one-way analysis of variance with
// random parts (JCGM 100:2008, H.5): repeatability and the spread of the parts. What another person would
// read differently it cannot know, so SDGauge is the repeatability alone. At least two of each are needed.
func OnePersonStudy(readings [][]float64) (Study, error) {
	p := len(readings)
	if p < 2 {
		return Study{}, refuse(TooFewPoints, "readings", "holds %d parts; at least 2 are needed", p)
	}
	r := len(readings[0])
	parts := make([]float64, p)
	var all []float64
	var rep compensated
	for i, x := range readings {
		field := fmt.Sprintf("readings[%d]", i)
		if err := checkData(field, x, 2); err != nil {
			return Study{}, err
		}
		if len(x) != r {
			return Study{}, refuse(BadShape, field, "holds %d repeats, the first part %d", len(x), r)
		}
		parts[i] = mean(x)
		rep.add(sumSquares(x, parts[i]))
		all = append(all, x...)
	}
	s := Study{Parts: p, Operators: 1, Repeats: r, FInteraction: math.NaN(), PInteraction: math.NaN(), Pooled: true}
	s.SSPart = float64(r) * sumSquares(parts, mean(all))
	s.SSRepeat = rep.value()
	s.dropNoise(all)
	s.DofRepeat = p * (r - 1)
	msPart, msRepeat := s.SSPart/float64(p-1), s.SSRepeat/float64(s.DofRepeat)
	s.spread(msRepeat, 0, 0, max(0, msPart-msRepeat)/float64(r))
	return s, nil
}
