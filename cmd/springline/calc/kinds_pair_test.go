package calc

import (
	"encoding/json"
	"strings"
	"testing"
)

// fourRibs is a question with one best answer, easily seen: 0 with 2 turned, 1 with 3.
const fourRibs = `"metric":"rms","weights":{"tip":1,"crown":1,"stations":[1]},"limit_nm":null,"lot_penalty_nm":0,
"ribs":[{"id":"a","lot":"x","dev_um":[0,0,100,-300]},{"id":"b","lot":"x","dev_um":[900,0,0,0]},
{"id":"c","lot":"y","dev_um":[0,0,-300,100]},{"id":"d","lot":"y","dev_um":[902,0,0,0]}],
"forbidden":[],"locked":[],"objective":"sum"`

func pairLine(kind, input string) string {
	return `{"id":1,"kind":"` + kind + `","input":{` + strings.ReplaceAll(input, "\n", "") + `}}`
}

func TestPairMatchAnswer(t *testing.T) {
	as := ask(t, kindsPair(), pairLine("pair.match", fourRibs))
	if as[0].Error != nil {
		t.Fatal(as[0].Error)
	}
	// sqrt(2^2 / 4) mm/1000 = 1 micrometre for b and d; a and c are equal when c is turned.
	for field, want := range map[string]string{
		"count": "2", "sum_nm": "1000", "worst_nm": "1000", "unpaired": "[]",
		"certificate": `{"lower_bound_nm":1000,"optimal":true}`,
		"pairs": `[{"a":0,"b":2,"a_id":"a","b_id":"c","flip":true,"mismatch_nm":0,"locked":false},` +
			`{"a":1,"b":3,"a_id":"b","b_id":"d","flip":false,"mismatch_nm":1000,"locked":false}]`,
	} {
		if got := string(as[0].Output[field]); got != want {
			t.Errorf("%s is %s, want %s", field, got, want)
		}
	}
}

func TestPairOrderAnswer(t *testing.T) {
	as := ask(t, kindsPair(), pairLine("pair.order", `"metric":"max","weights":{"tip":1,"crown":1,"stations":[1]},
"ribs":[{"id":"a","lot":"","dev_um":[0,0,0,8]},{"id":"b","lot":"","dev_um":[0,0,0,8]},{"id":"c","lot":"","dev_um":[90,0,0,0]},
{"id":"d","lot":"","dev_um":[91,0,0,0]},{"id":"e","lot":"","dev_um":[1,0,9,0]},{"id":"f","lot":"","dev_um":[1,0,9,0]}],
"pairs":[[0,1],[2,3],[4,5]]`))
	if as[0].Error != nil {
		t.Fatal(as[0].Error)
	}
	// Means: tips 0, 90.5 and 1; the third stands turned to the first, a micrometre off both ways; 1 + 89.5.
	for field, want := range map[string]string{"order": "[0,2,1]", "flips": "[false,true,true]",
		"length_nm": "90500", "lower_bound_nm": "90500"} {
		if got := string(as[0].Output[field]); got != want {
			t.Errorf("%s is %s, want %s", field, got, want)
		}
	}
}

func TestOrderPathAnswer(t *testing.T) {
	as := ask(t, kindsPair(),
		pairLine("order.path", `"costs":[[0,9,2],[9,0,3],[2,3,0]],"seconds":1`)+"\n"+
			pairLine("order.path", `"costs":[[0,9,2],[9,0,3],[2,3,0]],"seconds":1,"end":2`))
	if as[0].Error != nil || as[1].Error != nil {
		t.Fatal(as[0].Error, as[1].Error)
	}
	if got := string(as[0].Output["order"]) + string(as[0].Output["length"]); got != "[0,2,1]5" {
		t.Errorf("free ends: %s", got)
	}
	if got := string(as[1].Output["length"]); got != "11" || string(as[1].Output["order"])[5] != '2' {
		t.Errorf("end fixed: %s %s", as[1].Output["order"], got)
	}
}

func TestPairKindsRefuse(t *testing.T) {
	swap := func(from, to string) string {
		s := strings.ReplaceAll(fourRibs, "\n", "")
		if !strings.Contains(s, from) {
			t.Fatalf("the question has no %s", from)
		}
		return strings.Replace(s, from, to, 1)
	}
	for _, c := range []struct{ kind, input, code, field string }{
		{"pair.match", swap(`"rms"`, `"mean"`), "bad_choice", "metric"},
		{"pair.match", swap(`"sum"`, `"best"`), "bad_choice", "objective"},
		{"pair.match", swap(`[900,0,0,0]`, `[900,0,0]`), "wrong_count", "ribs[1].dev_um"},
		{"pair.match", swap(`[900,0,0,0]`, `[900,0,0,null]`), "bad_type", "ribs[1].dev_um[3]"},
		{"pair.match", swap(`[900,0,0,0]`, `[900,0,0,3000000]`), "out_of_range", "ribs[1].dev_um[3]"},
		{"pair.match", swap(`[900,0,0,0]`, `[900,0,0,3000000000]`), "bad_type", "ribs[1].dev_um[3]"},
		{"pair.match", swap(`"id":"b"`, `"id":"a"`), "repeated_id", "ribs[1].id"},
		{"pair.match", swap(`"id":"b"`, `"id":""`), "missing_id", "ribs[1].id"},
		{"pair.match", swap(`"stations":[1]`, `"stations":[1,1]`), "wrong_count", "ribs[0].dev_um"},
		{"pair.match", swap(`"tip":1`, `"tip":-1`), "out_of_range", "weights.tip"},
		{"pair.match", swap(`"tip":1,"crown":1,"stations":[1]`, `"tip":0,"crown":0,"stations":[0]`), "out_of_range", "weights"},
		{"pair.match", swap(`"limit_nm":null`, `"limit_nm":-1`), "out_of_range", "limit_nm"},
		{"pair.match", swap(`"lot_penalty_nm":0`, `"lot_penalty_nm":-1`), "out_of_range", "lot_penalty_nm"},
		{"pair.match", swap(`"forbidden":[]`, `"forbidden":[[0,4]]`), "unknown_rib", "forbidden[0][1]"},
		{"pair.match", swap(`"forbidden":[]`, `"forbidden":[[1,1]]`), "same_rib", "forbidden[0]"},
		{"pair.match", swap(`"forbidden":[]`, `"forbidden":[[1]]`), "bad_type", "forbidden[0]"},
		{"pair.match", swap(`"locked":[]`, `"locked":[[0,1],[1,2]]`), "contradiction", "locked[1][0]"},
		{"pair.match", swap(`"forbidden":[],"locked":[]`, `"forbidden":[[2,0]],"locked":[[0,2]]`), "contradiction", "locked[0]"},
		{"pair.match", swap(`"locked":[]`, `"locked":[[-1,2]]`), "unknown_rib", "locked[0][0]"},
		{"pair.order", `"metric":"rms","weights":{"tip":1,"crown":1,"stations":[]},"ribs":[{"id":"a",` +
			`"lot":"","dev_um":[1,2]}],"pairs":[[0,1]]`, "unknown_rib", "pairs[0][1]"},
		{"pair.order", `"metric":"rms","weights":{"tip":1,"crown":1,"stations":[]},"ribs":[{"id":"a",` +
			`"lot":"","dev_um":[1,2]}],"pairs":[[0,0]]`, "contradiction", "pairs[0][1]"},
		{"order.path", `"costs":[[0,1],[2,0]],"seconds":1`, "not_symmetric", "costs[1][0]"},
		{"order.path", `"costs":[[0,1],[1]],"seconds":1`, "wrong_count", "costs[1]"},
		{"order.path", `"costs":[[0,-1],[-1,0]],"seconds":1`, "out_of_range", "costs[0][1]"},
		{"order.path", `"costs":[[0,1],[1,0]],"seconds":-1`, "out_of_range", "seconds"},
		{"order.path", `"costs":[[0,1],[1,0]],"seconds":1,"start":2`, "unknown_node", "start"},
		{"order.path", `"costs":[[0,1],[1,0]],"seconds":1,"start":1,"end":1`, "contradiction", "end"},
	} {
		as := ask(t, kindsPair(), pairLine(c.kind, c.input))
		if e := as[0].Error; e == nil || e.Code != c.code || e.Field != c.field {
			b, _ := json.Marshal(as[0])
			t.Errorf("%s %s: %s, want %s on %s", c.kind, c.input, b, c.code, c.field)
		}
	}
}

// FuzzPairKinds: whatever is asked, each line gets one answer, no fault of ours shows, and what is
// answered holds: ribs stand in one pair at most, bounds are below what was found, the path visits every
// node once.
func FuzzPairKinds(f *testing.F) {
	strip := func(s string) string { return strings.ReplaceAll(s, "\n", "") }
	f.Add("pair.match", strip(fourRibs))
	f.Add("pair.match", strip(strings.Replace(fourRibs, `"limit_nm":null`, `"limit_nm":1000`, 1)))
	f.Add("pair.match", strip(strings.Replace(fourRibs, `"locked":[],"objective":"sum"`, `"locked":[[3,0]],"objective":"worst_then_sum"`, 1)))
	f.Add("pair.match", strip(strings.Replace(fourRibs, `"forbidden":[]`, `"forbidden":[[0,1],[0,2],[0,3]]`, 1)))
	f.Add("pair.match", `"metric":"max","weights":{"tip":2147483647,"crown":0,"stations":[]},"limit_nm":9223372036854775807,`+
		`"lot_penalty_nm":35184372088832,"ribs":[{"id":"a","lot":"","dev_um":[1000000,-1000000]},{"id":"b","lot":"q","dev_um":[-1000000,`+
		`1000000]},{"id":"c","lot":"","dev_um":[0,0]}],"forbidden":[],"locked":[],"objective":"sum"`)
	f.Add("pair.order", `"metric":"rms","weights":{"tip":1,"crown":1,"stations":[]},"ribs":[{"id":"a",`+
		`"lot":"","dev_um":[1,2]},{"id":"b","lot":"","dev_um":[3,4]}],"pairs":[[0,1]]`)
	f.Add("order.path", `"costs":[[0,9,2],[9,0,3],[2,3,0]],"seconds":0.01,"end":2`)
	f.Add("order.path", `"costs":[[0,1099511627776],[1099511627776,0]],"seconds":null`)
	f.Add("order.path", `"costs":[],"seconds":0`)
	f.Fuzz(func(t *testing.T, kind, input string) {
		line := pairLine(kind, input)
		var quick struct{ Seconds *float64 }
		_ = json.Unmarshal([]byte("{"+input+"}"), &quick) // what cannot be read is asked too
		slow := quick.Seconds == nil && len(line) > 1200 && kind != "pair.match" || quick.Seconds != nil && *quick.Seconds > 0.1
		if slow || len(line) > 4000 || strings.ContainsAny(line, "\r\n") {
			return // too slow for a fuzz run, and no claim of ours
		}
		var out strings.Builder
		if err := Run(strings.NewReader(line+"\n"), &out, kindsPair()); err != nil {
			t.Fatal(err)
		}
		lines := strings.Split(strings.TrimSpace(out.String()), "\n")
		if len(lines) != 1 {
			t.Fatalf("%d answers to %q", len(lines), line)
		}
		var a struct {
			Output *struct {
				Pairs    []pairOut
				Unpaired []int
				Count    int
				Sum      int64 `json:"sum_nm"`
				Worst    int64 `json:"worst_nm"`
				Proof    *struct {
					Bound   int64 `json:"lower_bound_nm"`
					Optimal bool
				} `json:"certificate"`
				Order    []int
				Length   int64
				LengthNM int64 `json:"length_nm"`
				Bound    int64 `json:"lower_bound"`
				BoundNM  int64 `json:"lower_bound_nm"`
			}
			Error *Error
		}
		if err := json.Unmarshal([]byte(lines[0]), &a); err != nil || (a.Output == nil) == (a.Error == nil) {
			t.Fatalf("%q: %s (%v)", line, lines[0], err)
		}
		if a.Error != nil {
			if a.Error.Code == "internal" || a.Error.Code == "refused" || a.Error.Code == "not_finite" {
				t.Fatalf("%q: %s", line, lines[0])
			}
			return
		}
		o := a.Output
		if kind == "pair.match" {
			seen, worst, free := map[int]bool{}, int64(0), 0
			for _, p := range o.Pairs {
				if seen[p.A] || seen[p.B] || p.A >= p.B {
					t.Fatalf("%q: a rib stands twice: %s", line, lines[0])
				}
				seen[p.A], seen[p.B] = true, true
				if !p.Locked {
					worst = max(worst, p.Mismatch)
					free++
				}
			}
			for _, r := range o.Unpaired {
				if seen[r] {
					t.Fatalf("%q: rib %d is paired and left over: %s", line, r, lines[0])
				}
			}
			if free != o.Count || worst != o.Worst || !o.Proof.Optimal || o.Proof.Bound != o.Sum {
				t.Fatalf("%q: not proven or not as said: %s", line, lines[0])
			}
			return
		}
		if o.Bound > o.Length || o.BoundNM > o.LengthNM {
			t.Fatalf("%q: below its bound: %s", line, lines[0])
		}
		seen := map[int]bool{}
		for _, v := range o.Order {
			if seen[v] || v < 0 || v >= len(o.Order) {
				t.Fatalf("%q: %s", line, lines[0])
			}
			seen[v] = true
		}
	})
}
