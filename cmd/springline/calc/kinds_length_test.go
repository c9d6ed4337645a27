package calc

import (
	"math"
	"strconv"
	"testing"
)

// Steel 11.5e-6 per K on both sides cancels when bar and tape are equally warm; 10 m of steel read
// with a cold tape: arithmetic by hand.
func TestLengthAt20(t *testing.T) {
	for line, want := range map[string]float64{
		`{"id":1,"kind":"length.at_20c","input":{"reading_mm":2000,"bar_c":35,"tape_c":35,` +
			`"alpha_bar_per_k":1.15e-5,"alpha_tape_per_k":1.15e-5}}`: 2000,
		`{"id":1,"kind":"length.at_20c","input":{"reading_mm":10000,"bar_c":20,"tape_c":10,` +
			`"alpha_bar_per_k":1.15e-5,"alpha_tape_per_k":1e-5}}`: 9999,
		`{"id":1,"kind":"length.at_20c","input":{"reading_mm":10001,"bar_c":30,"tape_c":20,` +
			`"alpha_bar_per_k":1e-5,"alpha_tape_per_k":1e-5}}`: 10000,
	} {
		as := ask(t, kindsLength(), line)
		if as[0].Error != nil {
			t.Errorf("%s: %v", line, as[0].Error)
			continue
		}
		got, err := strconv.ParseFloat(string(as[0].Output["length_mm"]), 64)
		if err != nil || math.Abs(got-want) > 1e-3*1e-3 {
			t.Errorf("%s: %v, want %v", line, got, want)
		}
	}
}

func TestLengthKindsRefuse(t *testing.T) {
	for _, c := range []struct{ kind, input, code, field string }{
		{"length.parse", `{"text":"1","default_unit":"km","decimal":"auto","signed":false}`, "bad_choice", "default_unit"},
		{"length.parse", `{"text":"1","default_unit":"","decimal":"auto","signed":false}`, "bad_choice", "default_unit"},
		{"length.parse", `{"text":"1","default_unit":"thou","decimal":"auto","signed":false}`, "bad_choice", "default_unit"},
		{"length.parse", `{"text":"1","default_unit":"mm","decimal":";","signed":false}`, "bad_choice", "decimal"},
		{"length.parse", `{"text":"1 850","default_unit":"mm","decimal":"auto","signed":false}`, "ambiguous_space", "text"},
		{"length.parse", `{"text":"1","default_unit":"mm","decimal":"auto"}`, "missing_field", "signed"},
		{"length.parse", `{"text":null,"default_unit":"mm","decimal":"auto","signed":false}`, "bad_type", "text"},
		{"length.round", `{"value":"1","step":"0","tie":"even"}`, "out_of_range", "step"},
		{"length.round", `{"value":"1,5","step":"1","tie":"even"}`, "bad_number", "value"},
		{"length.round", `{"value":"0","step":"0","tie":"even"}`, "out_of_range", "step"},
		{"length.round", `{"value":"x","step":"x","tie":"even"}`, "bad_number", "step"},
		{"length.round", `{"value":"1","step":"1","tie":"odd"}`, "bad_choice", "tie"},
		{"length.round", `{"value":1.5,"step":"1","tie":"even"}`, "bad_type", "value"},
		{"length.at_20c", `{"reading_mm":0,"bar_c":20,"tape_c":20,"alpha_bar_per_k":0,"alpha_tape_per_k":0}`, "out_of_range", "reading_mm"},
		{"length.at_20c", `{"reading_mm":-5,"bar_c":20,"tape_c":20,"alpha_bar_per_k":0,"alpha_tape_per_k":0}`, "out_of_range", "reading_mm"},
		{"length.at_20c", `{"reading_mm":1e300,"bar_c":20,"tape_c":20,"alpha_bar_per_k":0,"alpha_tape_per_k":0}`, "out_of_range", "reading_mm"},
		{"length.at_20c", `{"reading_mm":5,"bar_c":-300,"tape_c":20,"alpha_bar_per_k":0,"alpha_tape_per_k":0}`, "out_of_range", "bar_c"},
		{"length.at_20c", `{"reading_mm":5,"bar_c":20,"tape_c":1e6,"alpha_bar_per_k":0,"alpha_tape_per_k":0}`, "out_of_range", "tape_c"},
		{"length.at_20c", `{"reading_mm":5,"bar_c":20,"tape_c":20,"alpha_bar_per_k":11.7,"alpha_tape_per_k":0}`,
			"out_of_range", "alpha_bar_per_k"},
		{"length.at_20c", `{"reading_mm":5,"bar_c":20,"tape_c":20,"alpha_bar_per_k":0,"alpha_tape_per_k":-1e-6}`,
			"out_of_range", "alpha_tape_per_k"},
	} {
		as := ask(t, kindsLength(), `{"id":1,"kind":"`+c.kind+`","input":`+c.input+`}`)
		if e := as[0].Error; e == nil || e.Code != c.code || e.Field != c.field {
			t.Errorf("%s %s: %+v, want %s on %s", c.kind, c.input, as[0], c.code, c.field)
		}
	}
}
