package calc

import (
	"encoding/json"
	"fmt"
	"math"
	"slices"
	"strings"
	"testing"
)

// statsInputs is one good input for every kind of statistics; the tests spoil it field by field.
var statsInputs = map[string]string{
	"budget.tape": `{"length_mm":2000,"class":"II","division_mm":1,"repeat_sd_mm":0.8,"repeat_dof":9,` +
		`"readings":2,"alpha_tape_per_k":1.15e-5,"alpha_bar_per_k":5e-6,"temperature_halfwidth_k":5}`,
	"gauge.tape_limit":        `{"class":"I","length_mm":1500,"from_end_face":true}`,
	"decide":                  `{"value":1,"u":0.5,"lower":-3,"upper":3,"confidence":0.95}`,
	"decide.risk":             `{"process_mean":0,"process_sd":1,"lower":-2,"upper":2,"u":0.3,"guard":0.1}`,
	"stat.summary":            `{"x":[1,2,4,3]}`,
	"stat.line":               `{"x":[1,2,3,4],"y":[2,4,5,9],"at":2.5}`,
	"chart.individuals":       `{"x":[1,2,4,3]}`,
	"chart.ewma":              `{"x":[1,2,4,3],"weight":0.2,"start":0,"sigma":1,"width":3}`,
	"chart.cusum":             `{"x":[1,2,4,3],"target":0,"slack":0.5,"decision":5}`,
	"chart.rules":             `{"z":[1,2,-1,3.5]}`,
	"spread.capability":       `{"lower":-3,"upper":3,"mean":0.5,"sd":0.7,"target":0,"n":30,"confidence":0.95}`,
	"spread.normality":        `{"x":[1,2,4,3,5,2.5,3.5,3.2]}`,
	"spread.tolerance_factor": `{"n":20,"coverage":0.95,"confidence":0.95}`,
	"trend.kendall":           `{"x":[1,2,4,3]}`,
	"trend.change":            `{"x":[1,2,4,3]}`,
	"fit.circle":              `{"points":[[0,0],[1,1],[2,0],[1,-1.1]],"method":"geometric"}`,
}

// optionalStats are the fields that may be left out or null.
var optionalStats = map[string][]string{"budget.tape": {"from_end_face"},
	"decide": {"lower", "upper", "confidence", "dof"}, "stat.line": {"at"}}

// spoiled gives the input of a kind with one field replaced by raw JSON, or left out where raw is empty.
func spoiled(t *testing.T, kind, field, raw string) string {
	t.Helper()
	var in map[string]json.RawMessage
	if err := json.Unmarshal([]byte(statsInputs[kind]), &in); err != nil {
		t.Fatal(err)
	}
	var parts []string
	for name, v := range in {
		if name == field {
			if v = json.RawMessage(raw); raw == "" {
				continue
			}
		}
		parts = append(parts, fmt.Sprintf("%q:%s", name, v))
	}
	if _, there := in[field]; !there {
		parts = append(parts, fmt.Sprintf("%q:%s", field, raw))
	}
	slices.Sort(parts)
	return "{" + strings.Join(parts, ",") + "}"
}

func TestStatsKindsAnswerAndEveryFieldIsAsked(t *testing.T) {
	for kind, input := range statsInputs {
		if _, err := askLine(t, kind, input); err != nil {
			t.Errorf("%s %s: %v", kind, input, err)
		}
		if _, err := askLine(t, kind, spoiled(t, kind, "nonsense", "1")); err == nil || err.Code != "unknown_field" || err.Field != "nonsense" {
			t.Errorf("%s with an unknown field: %+v", kind, err)
		}
		for field := range fieldNames(t, kind) {
			optional := slices.Contains(optionalStats[kind], field)
			if _, err := askLine(t, kind, spoiled(t, kind, field, "")); !optional &&
				(err == nil || err.Code != "missing_field" || err.Field != field) {
				t.Errorf("%s without %s: %+v", kind, field, err)
			}
			for raw, code := range map[string]string{`NaN`: "not_finite", `Infinity`: "not_finite", `-Infinity`: "not_finite",
				`{}`: "bad_type", `"NaN"`: "", `[[[]]]`: "bad_type", `null`: "bad_type"} {
				if raw == "null" && optional {
					continue
				}
				_, err := askLine(t, kind, spoiled(t, kind, field, raw))
				if err == nil || code != "" && err.Code != code || err.Field != field && !strings.HasPrefix(err.Field, field+"[") {
					t.Errorf("%s with %s %s: %+v, want %s", kind, field, raw, err, code)
				}
			}
		}
	}
}

func fieldNames(t *testing.T, kind string) map[string]json.RawMessage {
	t.Helper()
	var in map[string]json.RawMessage
	if err := json.Unmarshal([]byte(statsInputs[kind]), &in); err != nil {
		t.Fatal(err)
	}
	return in
}

// What cannot be is refused with the field named.
func TestStatsKindsRefuseWhatCannotBe(t *testing.T) {
	for _, c := range []struct {
		kind, field string
		raws        []string
	}{
		{"budget.tape", "length_mm", []string{"0", "-1", "1e308", "2e6"}}, {"budget.tape", "class", []string{`"IV"`, `""`, `"i"`}},
		{"budget.tape", "division_mm", []string{"0", "-1", "1e308"}}, {"budget.tape", "repeat_sd_mm", []string{"-0.1", "1e308"}},
		{"budget.tape", "repeat_dof", []string{"0", "0.5", "-3"}}, {"budget.tape", "readings", []string{"0", "-1", "1.5", "1e30"}},
		{"budget.tape", "alpha_tape_per_k", []string{"-1e-5", "11.5", "1e308"}}, {"budget.tape", "alpha_bar_per_k", []string{"-1e-5", "0.01"}},
		{"budget.tape", "temperature_halfwidth_k", []string{"-1", "1e308"}},
		{"gauge.tape_limit", "class", []string{`"0"`}}, {"gauge.tape_limit", "length_mm", []string{"0", "-5", "1e308"}},
		{"decide", "u", []string{"0", "-1", "1e308"}}, {"decide", "dof", []string{"0", "0.5", "-1"}},
		{"decide", "confidence", []string{"0.5", "0.2", "0", "1", "1.5", "-1"}},
		{"decide", "lower", []string{"3", "4", "1e308"}}, {"decide", "value", []string{"1e308", "-1e308"}},
		{"decide.risk", "process_sd", []string{"0", "-1", "1e308"}}, {"decide.risk", "lower", []string{"2", "5"}},
		{"decide.risk", "u", []string{"-1", "1e308"}}, {"decide.risk", "process_mean", []string{"1e308"}},
		{"decide.risk", "guard", []string{"1e308"}},
		{"stat.summary", "x", []string{"[]", "[1]", "[1,1e308]"}}, {"stat.line", "x", []string{"[]", "[1,1,1,1]", "[1,2,3,1e308]"}},
		{"stat.line", "y", []string{"[]", "[1,2]", "[1,2,3,1e308]"}}, {"stat.line", "at", []string{"1e308"}},
		{"chart.individuals", "x", []string{"[]", "[1]", "[1,-1e308]"}},
		{"chart.ewma", "x", []string{"[]", "[1e308]"}}, {"chart.ewma", "weight", []string{"0", "-0.1", "1.0001", "1e308"}},
		{"chart.ewma", "start", []string{"1e308"}},
		{"chart.ewma", "sigma", []string{"0", "-1", "1e308"}}, {"chart.ewma", "width", []string{"0", "-1", "1e308"}},
		{"chart.cusum", "x", []string{"[]", "[1e308]"}}, {"chart.cusum", "target", []string{"1e308"}},
		{"chart.cusum", "slack", []string{"-0.1", "1e308"}},
		{"chart.cusum", "decision", []string{"0", "-1", "1e308"}}, {"chart.rules", "z", []string{"[]"}},
		{"spread.capability", "lower", []string{"3", "4", "1e308", "-1e308"}},
		{"spread.capability", "upper", []string{"1e308"}}, {"spread.capability", "mean", []string{"1e308"}},
		{"spread.capability", "sd", []string{"0", "-1", "1e308"}}, {"spread.capability", "target", []string{"1e308"}},
		{"spread.capability", "n", []string{"1", "0", "-4", "2.5"}},
		{"spread.capability", "confidence", []string{"0", "1", "-1", "2"}},
		{"spread.normality", "x", []string{"[]", "[1]", "[2,2,2,2,2,2,2,2]", "[1,2,3,4,5,6,7,1e308]"}},
		{"spread.tolerance_factor", "n", []string{"1", "0", "-3", "2000000", "2.5"}},
		{"spread.tolerance_factor", "coverage", []string{"0", "1", "-1", "7"}},
		{"spread.tolerance_factor", "confidence", []string{"0", "1", "-1", "7"}},
		{"trend.kendall", "x", []string{"[]", "[1]", "[1,2]", "[1,2,1e308]"}},
		{"trend.change", "x", []string{"[]", "[1,2]", "[3,3,3,3]", "[1,2,1e308]"}},
		{"fit.circle", "points", []string{"[]", "[[0,0]]", "[[0,0],[1,1]]", "[[0,0],[1,1],[2]]", "[[0,0],[1,1],[2,1e308]]"}},
		{"fit.circle", "method", []string{`"kasa"`, `""`}},
	} {
		for _, raw := range c.raws {
			out, err := askLine(t, c.kind, spoiled(t, c.kind, c.field, raw))
			if out != nil || err == nil || err.Code == "internal" || err.Field != c.field && !strings.HasPrefix(err.Field, c.field+"[") &&
				!(c.field == "lower" && err.Field == "upper" || c.field == "upper" && err.Field == "lower") {
				t.Errorf("%s with %s %s: %v %+v", c.kind, c.field, raw, out, err)
			}
		}
	}
}

// Data without spread is answered where an answer exists, by hand.
func TestConstantData(t *testing.T) {
	for _, c := range []struct{ kind, input, field, want string }{
		{"stat.summary", `{"x":[5,5,5]}`, "sd", "0"}, {"stat.summary", `{"x":[5,5,5]}`, "lag1", "<nil>"},
		{"chart.individuals", `{"x":[5,5,5]}`, "upper", "5"}, {"trend.kendall", `{"x":[5,5,5]}`, "z", "0"},
		{"stat.line", `{"x":[1,2,3],"y":[4,4,4]}`, "slope", "0"},
		{"chart.ewma", `{"x":[0,0],"weight":1,"start":0,"sigma":1,"width":3}`, "upper", "3"},
		{"chart.cusum", `{"x":[7],"target":0,"slack":1,"decision":5}`, "signals", "[1]"},
		{"chart.cusum", `{"x":[6],"target":0,"slack":1,"decision":5}`, "signals", "[]"}, // at the interval is not beyond it
		{"chart.ewma", `{"x":[3],"weight":1,"start":0,"sigma":1,"width":3}`, "signals", "[]"},
		{"decide", `{"value":-1e3,"u":1,"upper":0}`, "verdict", "pass"}, {"decide", `{"value":0.5,"u":1,"lower":0}`, "verdict", "unsure"},
		{"decide", `{"value":-9,"u":1,"lower":0}`, "verdict", "fail"},
		{"decide", `{"value":1e3,"u":1,"lower":null,"upper":0}`, "verdict", "fail"},
	} {
		out, err := askLine(t, c.kind, c.input)
		if err != nil || fmt.Sprint(out[c.field]) != c.want {
			t.Errorf("%s %s: %s is %v (%v), want %s", c.kind, c.input, c.field, out[c.field], err, c.want)
		}
	}
}

// FuzzStatsKinds: whatever the numbers, the answer is finite or an error that names a field of the input. The
// frame turns what is not finite into an error without a field, which fails here.
func FuzzStatsKinds(f *testing.F) {
	f.Add(1.0, 2.0, 4.0, 3.0, 0.95, 20)
	f.Add(1e100, -1e100, 1e-300, 0.0, 0.5, 2)
	f.Add(1e100, 1e100, 1e100, 1e100, 1-1e-16, 3)
	f.Add(5e-324, 1e-320, -5e-324, 0.0, 1e-300, 1000000)
	f.Add(1e308, -1e308, 1e99, 1e-99, 0.999999999, 100)
	f.Add(1e-160, 2e-160, 1e-165, -3e-160, 0.05, 7)
	f.Fuzz(func(t *testing.T, a, b, c, d, p float64, n int) {
		for _, v := range []float64{a, b, c, d, p} {
			if math.IsNaN(v) || math.IsInf(v, 0) {
				return
			}
		}
		if n > 20_000 {
			n %= 20_000 // the exact factors of a million take their time
		}
		x := fmt.Sprintf("[%g,%g,%g,%g,%g,%g,%g,%g]", a, b, c, d, a-b, c+d, b, a)
		if strings.Contains(x, "Inf") {
			return
		}
		for kind, input := range map[string]string{
			"budget.tape": fmt.Sprintf(`{"length_mm":%g,"class":"II","division_mm":%g,"repeat_sd_mm":%g,"repeat_dof":%g,`+
				`"readings":%d,"alpha_tape_per_k":%g,"alpha_bar_per_k":0,"temperature_halfwidth_k":%g}`, a, b, c, d, n, p, a),
			"gauge.tape_limit":  fmt.Sprintf(`{"class":"III","length_mm":%g,"from_end_face":false}`, a),
			"decide":            fmt.Sprintf(`{"value":%g,"u":%g,"lower":%g,"upper":%g,"confidence":%g}`, a, b, c, d, p),
			"decide.risk":       fmt.Sprintf(`{"process_mean":%g,"process_sd":%g,"lower":%g,"upper":%g,"u":%g,"guard":%g}`, a, b, c, d, p, a),
			"stat.summary":      `{"x":` + x + `}`,
			"stat.line":         fmt.Sprintf(`{"x":%s,"y":[%g,%g,%g,%g,%g,%g,%g,%g],"at":%g}`, x, d, c, b, a, p, p, a, b, c),
			"chart.individuals": `{"x":` + x + `}`,
			"chart.ewma":        fmt.Sprintf(`{"x":%s,"weight":%g,"start":%g,"sigma":%g,"width":%g}`, x, p, a, b, c),
			"chart.cusum":       fmt.Sprintf(`{"x":%s,"target":%g,"slack":%g,"decision":%g}`, x, a, b, c),
			"chart.rules":       `{"z":` + x + `}`,
			"spread.capability": fmt.Sprintf(`{"lower":%g,"upper":%g,"mean":%g,"sd":%g,"target":%g,"n":%d,"confidence":%g}`,
				a, b, c, d, a, n, p),
			"spread.normality":        `{"x":` + x + `}`,
			"spread.tolerance_factor": fmt.Sprintf(`{"n":%d,"coverage":%g,"confidence":%g}`, n, p, 0.95),
			"trend.kendall":           `{"x":` + x + `}`,
			"trend.change":            `{"x":` + x + `}`,
			"fit.circle":              fmt.Sprintf(`{"points":[[%g,%g],[%g,%g],[%g,%g],[%g,%g]],"method":"geometric"}`, a, b, c, d, b, c, d, p),
		} {
			if _, err := askLine(t, kind, input); err != nil && (err.Code == "internal" || err.Code == "not_finite" || err.Field == "") {
				t.Errorf("%s %s: %+v", kind, input, err)
			}
		}
	})
}
