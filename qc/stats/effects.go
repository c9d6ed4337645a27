package stats

import "math"

// At20C corrects a tape reading in mm to the bar's length at 20 C (ISO 1): the tape has grown by its
// own expansion and the bar by the bar's. Temperatures in degrees C.
func At20C(readingMM, barC, tapeC, alphaBarPerK, alphaTapePerK float64) (float64, error) {
	if !(readingMM > 0 && readingMM <= 1e6) {
		return 0, refuse(OutOfRange, "reading_mm", "is %g; a tape reading is above 0 and at most 1000000 mm", readingMM)
	}
	if err := firstError(checkTemperature("bar_c", barC), checkTemperature("tape_c", tapeC),
		checkExpansion("alpha_bar_per_k", alphaBarPerK), checkExpansion("alpha_tape_per_k", alphaTapePerK)); err != nil {
		return 0, err
	}
	return readingMM * (1 + alphaTapePerK*(tapeC-20)) / (1 + alphaBarPerK*(barC-20)), nil
}

func checkTemperature(field string, c float64) error {
	if !(c >= -273.15 && c <= 2000) {
		return refuse(OutOfRange, field, "is %g; a temperature lies between -273.15 and 2000 degrees C", c)
	}
	return nil
}

// CosineExcess is what a tape reads too much over a length when its far end lies off the line by
// offset: sqrt(L^2 + h^2) - L, never negative. Same unit for all.
func CosineExcess(length, offset float64) float64 {
	return offset * offset / (math.Hypot(length, offset) + length)
}

// CosineSpread is the mean and standard deviation of that excess when the offset may be anything from
// 0 to most: the error is one-sided, so the mean is a correction and only the rest an uncertainty.
// With h uniform, h^2/(2 L) has mean most^2/(6 L) and standard deviation most^2/(2 L) sqrt(4/45).
func CosineSpread(length, most float64) (mean, sd float64) {
	q := most * most / (2 * length)
	return q / 3, q * math.Sqrt(4.0/45)
}

// SagExcess is what a tape of weight w per length reads too much when it hangs free over a length
// under a pull: w^2 L^3 / (24 F^2), the catenary to second order. N/m, m and N give m.
func SagExcess(weightPerLength, length, pull float64) float64 {
	return weightPerLength * weightPerLength * length * length * length / (24 * pull * pull)
}

// HalfBand is the friction half-band as seen by lifting and relaying: half the difference of the two
// readings, a limit either way.
func HalfBand(first, relaid float64) Part {
	return Rectangular("half-band", math.Abs(first-relaid)/2)
}
