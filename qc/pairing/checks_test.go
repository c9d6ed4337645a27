package pairing

import (
	"bufio"
	"encoding/json"
	"os"
	"strconv"
	"testing"
)

// checkCase is one line of testdata/checks/pairs.jsonl: optima on which LEMON, networkx and brute
// force agreed.
type checkCase struct {
	ID    string
	Kind  string
	Input struct {
		Metric  string
		Weights struct {
			Tip, Crown int64
			Stations   []int64
		}
		Limit      *int64 `json:"limit_nm"`
		LotPenalty int64  `json:"lot_penalty_nm"`
		Ribs       []struct {
			ID, Lot string
			Dev     []int32 `json:"dev_um"`
		}
		Forbidden, Locked [][2]int
		Objective         string
	}
	Output struct {
		Count int
		Sum   int64  `json:"sum_nm"`
		Worst *int64 `json:"worst_nm"`
	}
}

func loadChecks(t testing.TB) []checkCase {
	t.Helper()
	f, err := os.Open("../../testdata/checks/pairs.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	var all []checkCase
	s := bufio.NewScanner(f)
	s.Buffer(nil, 16<<20)
	for s.Scan() {
		var c checkCase
		if err := json.Unmarshal(s.Bytes(), &c); err != nil {
			t.Fatalf("line %d: %v", len(all)+1, err)
		}
		all = append(all, c)
	}
	if err := s.Err(); err != nil {
		t.Fatal(err)
	}
	if len(all) == 0 {
		t.Fatal("no check case was found")
	}
	return all
}

func (c checkCase) problem() Problem {
	p := Problem{
		Metric: RMS, Objective: Sum, Limit: c.Input.Limit, LotPenalty: c.Input.LotPenalty,
		Weights:   Weights{Tip: c.Input.Weights.Tip, Crown: c.Input.Weights.Crown, Stations: c.Input.Weights.Stations},
		Forbidden: c.Input.Forbidden, Locked: c.Input.Locked,
	}
	if c.Input.Metric == "max" {
		p.Metric = Max
	}
	if c.Input.Objective == "worst_then_sum" {
		p.Objective = WorstThenSum
	}
	for _, r := range c.Input.Ribs {
		p.Ribs = append(p.Ribs, Rib{ID: r.ID, Lot: r.Lot, Dev: r.Dev})
	}
	return p
}

func TestCheckCases(t *testing.T) {
	for i, c := range loadChecks(t) {
		t.Run(strconv.Itoa(i)+"-"+c.ID, func(t *testing.T) {
			r, err := Solve(c.problem())
			if err != nil {
				t.Fatal(err)
			}
			if r.Count != c.Output.Count || r.Sum != c.Output.Sum {
				t.Errorf("count %d sum %d, want %d and %d", r.Count, r.Sum, c.Output.Count, c.Output.Sum)
			}
			if c.Output.Worst != nil && r.Worst != *c.Output.Worst {
				t.Errorf("worst %d, want %d", r.Worst, *c.Output.Worst)
			}
			if !r.Optimal || r.LowerBound != r.Sum {
				t.Errorf("not proven: bound %d, sum %d, optimal %v", r.LowerBound, r.Sum, r.Optimal)
			}
		})
	}
}
