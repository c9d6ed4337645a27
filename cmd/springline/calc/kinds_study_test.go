package calc

import (
	"fmt"
	"math"
	"strings"
	"testing"
)

// Every field of the gauge study and of the outlier test is refused by name: absent, of another type, not
// finite, beyond what can be, of the wrong shape.
func TestStudyKindsRefuse(t *testing.T) {
	const good = `[[[1,2],[2,3]],[[4,5],[6,8]]]`
	for _, c := range []struct{ kind, input, code, field string }{
		{"study.crossed", `{}`, "missing_field", "readings"},
		{"study.crossed", `{"readings":` + good + `,"parts":2}`, "unknown_field", "parts"},
		{"study.crossed", `{"readings":null}`, "bad_type", "readings"},
		{"study.crossed", `{"readings":"1"}`, "bad_type", "readings"},
		{"study.crossed", `{"readings":[[["1",2],[2,3]],[[4,5],[6,8]]]}`, "bad_type", "readings[0][0][0]"},
		{"study.crossed", `{"readings":[[[null,2],[2,3]],[[4,5],[6,8]]]}`, "bad_type", "readings[0][0][0]"},
		{"study.crossed", `{"readings":[[[1,2],[NaN,3]],[[4,5],[6,8]]]}`, "not_finite", "readings[0][1][0]"},
		{"study.crossed", `{"readings":[[[1,2],[2,3]],[[4,-Infinity],[6,8]]]}`, "not_finite", "readings[1][0][1]"},
		{"study.crossed", `{"readings":[[[1,2],[2,3]],[[4,5],[6,1e400]]]}`, "out_of_range", "readings[1][1][1]"},
		{"study.crossed", `{"readings":[[[1,2],[2,3]],[[4,5],[6,1e200]]]}`, "out_of_range", "readings[1][1][1]"},
		{"study.crossed", `{"readings":[]}`, "too_few_points", "readings"},
		{"study.crossed", `{"readings":[[[1,2],[2,3]]]}`, "too_few_points", "readings"},
		{"study.crossed", `{"readings":[[[1,2]],[[4,5]]]}`, "too_few_points", "readings[0]"},
		{"study.crossed", `{"readings":[[],[]]}`, "too_few_points", "readings[0]"},
		{"study.crossed", `{"readings":[[[1],[2]],[[4],[6]]]}`, "too_few_points", "readings[0][0]"},
		{"study.crossed", `{"readings":[[[1,2],[2,3]],[[4,5]]]}`, "bad_shape", "readings[1]"},
		{"study.crossed", `{"readings":[[[1,2],[2,3]],[[4,5],[6,8,9]]]}`, "bad_shape", "readings[1][1]"},
		{"outlier.grubbs", `{"alpha":0.05,"side":"max"}`, "missing_field", "x"},
		{"outlier.grubbs", `{"x":[1,2,3],"side":"max"}`, "missing_field", "alpha"},
		{"outlier.grubbs", `{"x":[1,2,3],"alpha":0.05}`, "missing_field", "side"},
		{"outlier.grubbs", `{"x":[1,2],"alpha":0.05,"side":"max"}`, "too_few_points", "x"},
		{"outlier.grubbs", `{"x":[1,NaN,3],"alpha":0.05,"side":"max"}`, "not_finite", "x[1]"},
		{"outlier.grubbs", `{"x":[1,2,1e101],"alpha":0.05,"side":"max"}`, "out_of_range", "x[2]"},
		{"outlier.grubbs", `{"x":[1,1,1],"alpha":0.05,"side":"max"}`, "no_spread", "x"},
		{"outlier.grubbs", `{"x":[1,2,3],"alpha":0,"side":"max"}`, "out_of_range", "alpha"},
		{"outlier.grubbs", `{"x":[1,2,3],"alpha":1,"side":"max"}`, "out_of_range", "alpha"},
		{"outlier.grubbs", `{"x":[1,2,3],"alpha":-0.1,"side":"max"}`, "out_of_range", "alpha"},
		{"outlier.grubbs", `{"x":[1,2,3],"alpha":Infinity,"side":"max"}`, "not_finite", "alpha"},
		{"outlier.grubbs", `{"x":[1,2,3],"alpha":0.05,"side":"MAX"}`, "bad_choice", "side"},
		{"outlier.grubbs", `{"x":[1,2,3],"alpha":0.05,"side":1}`, "bad_type", "side"},
	} {
		out, err := askLine(t, c.kind, c.input)
		if out != nil || err == nil || err.Code != c.code || err.Field != c.field {
			t.Errorf("%s %s: %v %+v, want %s on %s", c.kind, c.input, out, err, c.code, c.field)
		}
	}
}

// Rounding of negative, large and fine decimals by both rules (ISO 80000-1, Annex B), by hand.
func TestRoundingByDecimalText(t *testing.T) {
	nines := strings.Repeat("9", 60)
	for _, c := range []struct{ value, step, even, away string }{
		{"-2.5", "1", "-2", "-3"}, {"-3.5", "1", "-4", "-4"}, {"-0.5", "1", "0", "-1"}, {"-0.4", "1", "0", "0"}, {"-0.05", "0.1", "0.0", "-0.1"},
		{"0.15", "0.1", "0.2", "0.2"}, {"0.25", "0.1", "0.2", "0.3"}, {"-1235.0", "10", "-1240", "-1240"}, {"-1225", "10", "-1220", "-1230"},
		{"2.675", "0.01", "2.68", "2.68"}, {"2.665", "0.01", "2.66", "2.67"}, {"9007199254740993.5", "1", "9007199254740994", "9007199254740994"},
		{"9007199254740992.5", "1", "9007199254740992", "9007199254740993"},
		{nines + ".5", "1", "1" + strings.Repeat("0", 60), "1" + strings.Repeat("0", 60)},
		{"0.125", "0.25", "0.00", "0.25"}, {"0.375", "0.25", "0.50", "0.50"},
		{"7.5", "5", "10", "10"}, {"2.5", "5", "0", "5"}, {"-12.5", "25", "0", "-25"},
		{"+1.005", "0.010", "1.000", "1.010"}, {"1.0049999999999999999999999", "0.01", "1.00", "1.00"},
		{"1.0050000000000000000000001", "0.01", "1.01", "1.01"},
		{".5", "1", "0", "1"}, {"5.", "1", "5", "5"}, {" 1.5 ", "1", "2", "2"}, {"-0", "1", "0", "0"},
	} {
		for tie, want := range map[string]string{"even": c.even, "away": c.away} {
			out, err := askLine(t, "length.round", fmt.Sprintf(`{"value":%q,"step":%q,"tie":%q}`, c.value, c.step, tie))
			if err != nil || out["text"] != want {
				t.Errorf("%s to %s, %s: %v %v, want %s", c.value, c.step, tie, out["text"], err, want)
			}
		}
	}
}

// FuzzStudyKinds: whatever the readings, the answer is finite or an error that names a field.
func FuzzStudyKinds(f *testing.F) {
	f.Add(1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 0.05)
	f.Add(0.1, 0.1, 0.1, 0.1, 0.3, 0.3, 0.3, 0.3, 0.5)
	f.Add(1e100, -1e100, 1e-300, 0.0, 5e-324, 1.0, 1e99, 1e100, 1e-300)
	f.Add(1e-200, 2e-200, 1e100, 1e100, 1.0, 1.0, 1.0, 1.0, 0.999999)
	f.Add(1e100, 1e100, 1e100, 1e100, 0.0, 0.0, 5e-324, 0.0, 1-1e-16)
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g, h, i, alpha float64) {
		x := []float64{a, b, c, d, e, g, h, i, alpha}
		for _, v := range x {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return
			}
		}
		_, err := askLine(t, "study.crossed", fmt.Sprintf(`{"readings":[[[%g,%g],[%g,%g]],[[%g,%g],[%g,%g]]]}`, a, b, c, d, e, g, h, i))
		errs := []*Error{err}
		for _, side := range []string{"max", "min", "both"} {
			_, err := askLine(t, "outlier.grubbs", fmt.Sprintf(`{"x":[%g,%g,%g,%g,%g],"alpha":%g,"side":%q}`, a, b, c, d, e, alpha, side))
			errs = append(errs, err)
		}
		_, err = askLine(t, "length.at_20c",
			fmt.Sprintf(`{"reading_mm":%g,"bar_c":%g,"tape_c":%g,"alpha_bar_per_k":%g,"alpha_tape_per_k":%g}`, a, b, c, d, e))
		errs = append(errs, err)
		for _, e := range errs {
			if e != nil && (e.Code == "internal" || e.Code == "not_finite" || e.Field == "") {
				t.Errorf("%v: %+v", x, e)
			}
		}
	})
}
