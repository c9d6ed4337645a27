package calc

import (
	"bufio"
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"strings"
	"testing"
)

// bendKinds are the kinds that testdata/checks/bending.jsonl checks and this file owns.
func bendKinds() map[string]Kind {
	m := map[string]Kind{}
	for _, k := range append(kindsBend(), kindsJig()...) {
		m[k.Name] = k
	}
	return m
}

type bendCase struct {
	ID     string          `json:"id"`
	Kind   string          `json:"kind"`
	Input  json.RawMessage `json:"input"`
	Output map[string]any  `json:"output"`
	Error  string          `json:"error"`
	Rel    float64         `json:"rel_tol"`
	Abs    float64         `json:"abs_tol"`
}

func bendCases(t testing.TB) []bendCase {
	t.Helper()
	raw, err := os.ReadFile("../../../testdata/checks/bending.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	var cs []bendCase
	for _, line := range bytes.Split(bytes.TrimSpace(raw), []byte("\n")) {
		var c bendCase
		if err := json.Unmarshal(line, &c); err != nil {
			t.Fatal(err)
		}
		cs = append(cs, c)
	}
	if len(cs) == 0 {
		t.Fatal("no cases in bending.jsonl")
	}
	return cs
}

// The cases were computed outside this project by numerical section integration and large-displacement
// integration; each states its own tolerance.
func TestBendingChecks(t *testing.T) {
	kinds := bendKinds()
	ran := 0
	for _, c := range bendCases(t) {
		k, ours := kinds[c.Kind]
		if !ours {
			continue
		}
		ran++
		got, err := k.run(c.Input)
		if c.Error != "" {
			if err == nil || asError(err).Code != c.Error {
				t.Errorf("%s: error %v, want code %s", c.ID, err, c.Error)
			}
			continue
		}
		if err != nil {
			t.Errorf("%s %s: %v", c.ID, c.Kind, err)
			continue
		}
		raw, err := json.Marshal(got)
		if err != nil {
			t.Errorf("%s: %v", c.ID, err)
			continue
		}
		var m map[string]any
		if err := json.Unmarshal(raw, &m); err != nil {
			t.Fatal(err)
		}
		for name, want := range c.Output {
			if err := near(m[name], want, c.Rel, c.Abs); err != nil {
				t.Errorf("%s %s %s: %v", c.ID, c.Kind, name, err)
			}
		}
	}
	if ran < 28 {
		t.Errorf("only %d cases ran; the file holds 28 or more of these kinds", ran)
	}
}

func near(got, want any, rel, abs float64) error {
	switch w := want.(type) {
	case float64:
		g, ok := got.(float64)
		if !ok || !(math.Abs(g-w) <= rel*math.Abs(w)+abs) {
			return fmt.Errorf("got %v, want %v", got, w)
		}
	case []any:
		g, ok := got.([]any)
		if !ok || len(g) != len(w) {
			return fmt.Errorf("got %v, want %v", got, w)
		}
		for i := range w {
			if err := near(g[i], w[i], rel, abs); err != nil {
				return err
			}
		}
	default:
		return fmt.Errorf("a case wants a %T", want)
	}
	return nil
}

// Each row is a line that cannot be; the field at fault is named.
func TestBendingRefusals(t *testing.T) {
	base := map[string]string{}
	for _, c := range bendCases(t) {
		if _, ok := base[c.Kind]; !ok {
			base[c.Kind] = string(c.Input)
		}
	}
	for _, c := range []struct{ kind, field, value, code string }{
		{"bar.moment", "diameter_mm", "0", "out_of_range"},
		{"bar.moment", "modulus_mpa", "-1", "out_of_range"},
		{"bar.moment", "yield_mpa", "0", "out_of_range"},
		{"bar.moment", "hardening_mpa", "-5", "out_of_range"},
		{"bar.moment", "hardening_mpa", "200000", "out_of_range"},
		{"bar.moment", "loaded_radius_mm", "5", "out_of_range"},
		{"bar.springback", "jig_face_radius_mm", "0", "out_of_range"},
		{"bar.springback", "jig_face_radius_mm", "1e308", "out_of_range"},
		{"bar.springback", "jig_face_radius_mm", "2500", "springs_straight"},
		{"bar.jig_radius", "wanted_radius_mm", "-1340", "out_of_range"},
		{"bar.jig_radius", "wanted_radius_mm", "5", "out_of_range"},
		{"bar.test_bend", "tip_to_tip_mm", "6001", "out_of_range"},
		{"bar.test_bend", "tip_to_tip_mm", "-1700", "out_of_range"},
		{"bar.test_bend", "leg_mm", "-1", "out_of_range"},
		{"bar.effort", "lever_mm", "0", "out_of_range"},
		{"rib.geometry", "radius_mm", "0", "out_of_range"},
		{"rib.geometry", "arc_mm", "8500", "out_of_range"},
		{"rib.geometry", "leg_mm", "-0.1", "out_of_range"},
		{"rib.fit_radius", "crown_height_mm", "3100", "out_of_range"},
		{"rib.fit_radius", "crown_height_mm", "2900", "out_of_range"},
		{"rib.fit_radius", "u_tip_mm", "0", "out_of_range"},
		{"rib.fit_radius", "tip_to_tip_mm", "6000", "out_of_range"},
		{"rib.two_radius", "crown_fraction", "1", "out_of_range"},
		{"rib.two_radius", "crown_fraction", "0", "out_of_range"},
		{"rib.half_chords", "chord_a_mm", "3001", "out_of_range"},
		{"rib.half_chords", "chord_b_mm", "0", "out_of_range"},
		{"rib.half_chords", "u_chord_mm", "-1", "out_of_range"},
		{"rib.set_onset", "jig_centre_radius_mm", "2500", "springs_straight"},
		{"rib.set_onset", "jig_centre_radius_mm", "5", "out_of_range"},
		{"rib.set", "set_mm", "20000", "out_of_range"},
		{"rib.set", "set_mm", "-20000", "out_of_range"},
		{"jig.layout", "blocks", "1", "out_of_range"},
		{"jig.layout", "face_radius_mm", "600", "out_of_range"},
	} {
		var m map[string]json.RawMessage
		if err := json.Unmarshal([]byte(base[c.kind]), &m); err != nil {
			t.Fatalf("%s: %v", c.kind, err)
		}
		m[c.field] = json.RawMessage(c.value)
		raw, err := json.Marshal(m)
		if err != nil {
			t.Fatal(err)
		}
		_, err = bendKinds()[c.kind].run(raw)
		if err == nil {
			t.Errorf("%s with %s = %s was answered", c.kind, c.field, c.value)
			continue
		}
		e := asError(err)
		field := c.field
		if c.kind == "jig.layout" && c.field == "face_radius_mm" {
			field = "arc_mm"
		}
		if e.Code != c.code || e.Field != field {
			t.Errorf("%s with %s = %s: %s on %q (%s), want %s on %q", c.kind, c.field, c.value, e.Code, e.Field, e.Message, c.code, field)
		}
	}
}

// FuzzBendingKinds feeds every kind with arbitrary numbers: an answer is either an error that names a
// field or one whose every number is finite.
func FuzzBendingKinds(f *testing.F) {
	for _, v := range []float64{0, 1, -1, 1e-9, 1e9, 0.5, 12, 700, 6000, 3.14159, -2000} {
		f.Add(v, 12.0, 700.0, 0.4, 900.0, 4200.0, uint8(1))
	}
	kinds := append(kindsBend(), kindsJig()...)
	inputs := map[string]map[string]json.RawMessage{}
	for _, c := range bendCases(f) {
		var m map[string]json.RawMessage
		if err := json.Unmarshal(c.Input, &m); err != nil {
			f.Fatal(err)
		}
		inputs[c.Kind] = m
	}
	f.Fuzz(func(t *testing.T, a, b, c, d, e, g float64, mask uint8) {
		vals := []float64{a, b, c, d, e, g}
		for _, k := range kinds {
			base, ok := inputs[k.Name]
			if !ok {
				continue
			}
			m := map[string]json.RawMessage{}
			for i, fl := range k.In {
				v, given := base[fl.Name]
				if !given {
					continue
				}
				m[fl.Name] = v
				x := vals[i%len(vals)]
				if mask>>(i%8)&1 == 1 && !math.IsNaN(x) && !math.IsInf(x, 0) && fl.Name != "blocks" {
					raw, err := json.Marshal(x)
					if err != nil {
						t.Fatal(err)
					}
					m[fl.Name] = raw
				}
			}
			raw, err := json.Marshal(m)
			if err != nil {
				t.Fatal(err)
			}
			var line bytes.Buffer
			fmt.Fprintf(&line, `{"id":1,"kind":%q,"input":%s}`+"\n", k.Name, raw)
			var out bytes.Buffer
			if err := Run(bufio.NewReader(&line), &out, []Kind{k}); err != nil {
				t.Fatal(err)
			}
			var ans struct {
				Error *Error `json:"error"`
			}
			if err := json.Unmarshal(out.Bytes(), &ans); err != nil {
				t.Fatal(err)
			}
			if ans.Error != nil && (ans.Error.Code == "internal" || ans.Error.Code == "not_finite" || ans.Error.Field == "") {
				t.Errorf("%s %s: %s", k.Name, raw, out.Bytes())
			}
			if strings.Contains(out.String(), "NaN") {
				t.Errorf("%s %s: %s", k.Name, raw, out.Bytes())
			}
		}
	})
}
