package stats

import "math"

// At20C corrects a tape reading in mm to the bar's length at 20 C (ISO 1): the tape has grown by its
// own expansion and the bar by the bar's. Temperatures in degrees C.
func At20C(readingMM, barC, tapeC, alphaBarPerK, alphaTapePerK float64) (float64, error) {
	if !(readingMM > 0 && readingMM <= 1e6) {
		return 0, refuse(OutOfRange, "reading_mm", "is %g; a tape reading is above 0 and at most 1000000 mm", readingMM)
	}
	if err := firstError(checkTemperature("bar_c", barC), checkTemperature("tape_c", tapeC),
		CheckExpansion("alpha_bar_per_k", alphaBarPerK), CheckExpansion("alpha_tape_per_k", alphaTapePerK)); err != nil {
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

// CheckExpansion bounds a thermal expansion: solids lie below 1e-3 per K, and a value given in parts
// per million by mistake is caught. The error is an *Error on the field.
func CheckExpansion(field string, perK float64) error {
	if !(perK >= 0 && perK <= 1e-3) {
		return refuse(OutOfRange, field, "is %g; thermal expansion lies between 0 and 0.001 per K (steel 1.15e-5)", perK)
	}
	return nil
}

// CosineExcess is what a tape reads too much over a length when its far end lies off the line by
// offset: sqrt(L^2 + h^2) - L, never negative. Same unit for all.
func CosineExcess(length, offset float64) float64 {
	return offset * offset / (math.Hypot(length, offset) + length)
}
