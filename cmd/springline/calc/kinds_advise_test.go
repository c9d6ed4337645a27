package calc

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"strings"
	"testing"
)

const adviseBase = `"diameter_mm":12,"modulus_mpa":200000,"grade_yield_mpa":500,` +
	`"leg_mm":900,"arc_mm":4200,"wanted_radius_mm":1337,"lot":"a"`

func askLine(t testing.TB, kind, input string) (map[string]any, *Error) {
	t.Helper()
	var out bytes.Buffer
	line := fmt.Sprintf(`{"id":1,"kind":%q,"input":%s}`+"\n", kind, input)
	if err := Run(bufio.NewReader(strings.NewReader(line)), &out, Kinds()); err != nil {
		t.Fatal(err)
	}
	var a struct {
		Output map[string]any `json:"output"`
		Error  *Error         `json:"error"`
	}
	if err := json.Unmarshal(out.Bytes(), &a); err != nil {
		t.Fatalf("%v in %s", err, out.Bytes())
	}
	return a.Output, a.Error
}

// Without a bar the advice rests on the grade and asks for a test; one bar of a perfectly plastic yield
// of 580.46 MPa (case bend-12, computed outside this project) brings the jig near that case's answer.
func TestAdviseFollowsTheBars(t *testing.T) {
	out, err := askLine(t, "jig.advise", "{"+adviseBase+`,"tests":[]}`)
	if err != nil {
		t.Fatal(err)
	}
	if out["retest"] != true {
		t.Errorf("no bar of the lot was bent, but no test is asked for: %v", out)
	}
	test := `{"lot":"a","jig_face_radius_mm":690,"tip_to_tip_mm":3300,"crown_height_mm":2100,"u_tip_mm":2,"u_crown_mm":2}`
	out, err = askLine(t, "jig.advise", "{"+adviseBase+`,"tests":[`+test+`,`+test+`,`+test+`]}`)
	if err != nil {
		t.Fatal(err)
	}
	if out["retest"] != false {
		t.Errorf("three bars agree, but another test is asked for: %v", out)
	}
	if f := out["jig_face_radius_mm"].(float64); math.Abs(f-648.2) > 8 {
		t.Errorf("jig face radius %v, want near 648 (654.18 at the centreline)", f)
	}
	if c := out["spring_constant_per_mm"].(float64); math.Abs(c/(580.456987/(200e3*12))-1) > 0.05 {
		t.Errorf("spring constant %v, want near %v", c, 580.456987/(200e3*12))
	}
}

func correctLine(tip, crown, u float64, pulls string) string {
	return fmt.Sprintf("{"+adviseBase+
		`,"rib":1,"jig_face_radius_mm":690,"tip_lower_mm":2654,"tip_upper_mm":2694,"crown_lower_mm":2180,"crown_upper_mm":null,`+
		`"tip_to_tip_mm":%g,"crown_height_mm":%g,"u_tip_mm":%g,"u_crown_mm":2,"tests":[],"pulls":[%s]}`, tip, crown, u, pulls)
}

func TestCorrectChooses(t *testing.T) {
	for _, c := range []struct {
		name, action        string
		tip, crown, u       float64
		pulls               string
		loadedLow, loadedUp float64
	}{
		{"in the middle", "none", 2674, 2237, 3, "", 0, 0},
		{"too closed", "open", 2600, 2247, 3, "", 2601, 5800},
		{"too open", "close", 2720, 2230, 3, "", -1800, 2719},
		{"much too open", "rewrap", 3600, 2070, 3, "", 0, 0},
		{"reading too coarse", "remeasure", 2600, 2247, 30, "", 0, 0},
		{"a second pull goes farther than the first", "open", 2640, 2243, 3,
			`{"lot":"a","rib":1,"before_mm":2600,"loaded_mm":3400,"after_mm":2640}`, 3401, 5800},
	} {
		out, err := askLine(t, "rib.correct", correctLine(c.tip, c.crown, c.u, c.pulls))
		if err != nil {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if out["action"] != c.action {
			t.Errorf("%s: %v, want %s", c.name, out, c.action)
			continue
		}
		if l, ok := out["tip_to_tip_loaded_mm"].(float64); c.loadedUp != 0 && (!ok || l < c.loadedLow || l > c.loadedUp) {
			t.Errorf("%s: loaded %v, want %v to %v", c.name, out["tip_to_tip_loaded_mm"], c.loadedLow, c.loadedUp)
		}
	}
}

func TestAdviceRefusals(t *testing.T) {
	for _, c := range []struct{ kind, input, field string }{
		{"jig.advise", "{" + adviseBase + `,"tests":[{"lot":"a","jig_face_radius_mm":-690,"tip_to_tip_mm":3300,` +
			`"crown_height_mm":2100,"u_tip_mm":2,"u_crown_mm":2}]}`, "tests[0].jig_face_radius_mm"},
		{"jig.advise", "{" + adviseBase + `,"tests":[{"lot":"a","jig_face_radius_mm":690,"tip_to_tip_mm":6300,` +
			`"crown_height_mm":2100,"u_tip_mm":2,"u_crown_mm":2}]}`, "tests[0].tip_to_tip_mm"},
		{"jig.advise", "{" + adviseBase + `,"tests":[{"lot":null,"jig_face_radius_mm":690,"tip_to_tip_mm":3300,` +
			`"crown_height_mm":2100,"u_tip_mm":2,"u_crown_mm":2}]}`, "tests[0].lot"},
		{"jig.advise", strings.Replace("{"+adviseBase+`,"tests":[]}`, `"arc_mm":4200`, `"arc_mm":9000`, 1), "arc_mm"},
		{"jig.advise", strings.Replace("{"+adviseBase+`,"tests":[]}`, `"grade_yield_mpa":500`, `"grade_yield_mpa":0`, 1), "grade_yield_mpa"},
		{"rib.correct", correctLine(6500, 2237, 3, ""), "tip_to_tip_mm"},
		{"rib.correct", correctLine(2674, 5000, 3, ""), "crown_height_mm"},
		{"rib.correct", strings.Replace(correctLine(2674, 2237, 3, ""), `"tip_upper_mm":2694`, `"tip_upper_mm":2600`, 1), "tip_upper_mm"},
		{"rib.correct", correctLine(2674, 2237, 3, `{"lot":"a","rib":1,"before_mm":2600,"loaded_mm":9400,"after_mm":2640}`),
			"pulls[0].loaded_mm"},
	} {
		if out, err := askLine(t, c.kind, c.input); err == nil || err.Field != c.field {
			t.Errorf("%s %s: %v %v, want %q refused", c.kind, c.input, out, err, c.field)
		}
	}
}

// FuzzAdvice: whatever is sent, the answer is finite or an error that names a field.
func FuzzAdvice(f *testing.F) {
	f.Add(12.0, 500.0, 900.0, 4200.0, 1337.0, 690.0, 2600.0, 2240.0, 3.0, 3400.0)
	f.Add(8.0, 300.0, 0.0, 900.0, 2000.0, 400.0, 100.0, 10.0, 0.0, -50.0)
	f.Add(32.0, 700.0, 5.0, 12000.0, 2000.0, 20.0, -3.0, 1.0, 1e-9, 1e6)
	f.Add(1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0, 1.0)
	f.Fuzz(func(t *testing.T, d, fy, leg, arc, wanted, face, tip, crown, u, loaded float64) {
		for _, x := range []float64{d, fy, leg, arc, wanted, face, tip, crown, u, loaded} {
			if math.IsNaN(x) || math.IsInf(x, 0) {
				return
			}
		}
		base := fmt.Sprintf(`"diameter_mm":%g,"modulus_mpa":200000,"grade_yield_mpa":%g,"leg_mm":%g,`+
			`"arc_mm":%g,"wanted_radius_mm":%g,"lot":1`, d, fy, leg, arc, wanted)
		test := fmt.Sprintf(`{"lot":1,"jig_face_radius_mm":%g,"tip_to_tip_mm":%g,"crown_height_mm":%g,"u_tip_mm":%g,"u_crown_mm":2}`,
			face, tip, crown, u)
		_, err := askLine(t, "jig.advise", "{"+base+`,"tests":[`+test+`]}`)
		_, err2 := askLine(t, "rib.correct", "{"+base+fmt.Sprintf(`,"rib":2,"jig_face_radius_mm":%g,"tip_lower_mm":%g,"tip_upper_mm":%g,`+
			`"crown_lower_mm":%g,"crown_upper_mm":null,"tip_to_tip_mm":%g,"crown_height_mm":%g,"u_tip_mm":%g,"u_crown_mm":1,`+
			`"tests":[%s],"pulls":[{"lot":1,"rib":2,"before_mm":%g,"loaded_mm":%g,"after_mm":%g}]}`,
			face, tip+10, tip+50, crown-1, tip, crown, u, test, tip-5, loaded, tip))
		for _, e := range []*Error{err, err2} {
			if e != nil && (e.Code == "internal" || e.Code == "not_finite" || e.Field == "") {
				t.Errorf("%s %v: %+v", base, []float64{face, tip, crown, u, loaded}, e)
			}
		}
	})
}
