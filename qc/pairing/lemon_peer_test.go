//go:build full

package pairing

import (
	"bufio"
	"bytes"
	"fmt"
	"math/rand/v2"
	"os/exec"
	"path/filepath"
	"runtime"
	"strings"
	"syscall"
	"testing"
	"time"
)

// lemonPeer compiles the comparison program. Its absence fails the test: Debian's g++ and
// liblemon-dev are part of what the tests need.
func lemonPeer(t testing.TB) string {
	t.Helper()
	bin := filepath.Join(t.TempDir(), "lemon_peer")
	out, err := exec.Command("g++", "-std=c++14", "-O2", "-o", bin, "testdata/lemon_peer.cc").CombinedOutput()
	if err != nil {
		t.Fatalf("compile the LEMON peer (needs g++ and liblemon-dev): %v\n%s", err, out)
	}
	return bin
}

type lemonAnswer struct {
	value
	seconds float64
}

func lemonQuestion(w *bytes.Buffer, p *Problem, mode string) {
	n := len(p.Ribs)
	busy := make([]bool, n)
	for _, q := range p.Locked {
		busy[q[0]], busy[q[1]] = true, true
	}
	banned := map[[2]int]bool{}
	for _, q := range p.Forbidden {
		banned[pairKey(q[0], q[1])] = true
	}
	fmt.Fprintln(w, mode, n)
	for i := range n {
		for j := i + 1; j < n; j++ {
			m := plainMismatch(p, i, j)
			if busy[i] || busy[j] || banned[[2]int{i, j}] || p.Limit != nil && m > *p.Limit {
				w.WriteString("-1 -1\n")
				continue
			}
			c := m
			if p.Ribs[i].Lot != p.Ribs[j].Lot {
				c += p.LotPenalty
			}
			fmt.Fprintln(w, m, c)
		}
	}
}

func askLemon(t testing.TB, bin string, questions *bytes.Buffer, want int) []lemonAnswer {
	t.Helper()
	cmd := exec.Command(bin)
	cmd.Stdin = questions
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("run the LEMON peer: %v", err)
	}
	var all []lemonAnswer
	for s := bufio.NewScanner(bytes.NewReader(out)); s.Scan(); {
		var a lemonAnswer
		if _, err := fmt.Fscan(strings.NewReader(s.Text()), &a.count, &a.worst, &a.sum, &a.seconds); err != nil {
			t.Fatalf("LEMON peer answered %q: %v", s.Text(), err)
		}
		all = append(all, a)
	}
	if len(all) != want {
		t.Fatalf("LEMON peer answered %d of %d questions", len(all), want)
	}
	return all
}

// TestAgainstLemon compares fresh random instances, new on every run, with LEMON 1.3.1: ties, lots,
// limits, forbidden and locked pairs, both metrics and objectives. A failure prints the seed.
func TestAgainstLemon(t *testing.T) {
	bin := lemonPeer(t)
	seed := uint64(time.Now().UnixNano())
	rng := rand.New(rand.NewPCG(seed, 9))
	var questions bytes.Buffer
	var problems []Problem
	ask := func(p Problem) {
		p.Prefer = nil
		mode := "sum"
		if p.Objective == WorstThenSum {
			mode = "worst"
		}
		problems = append(problems, p)
		lemonQuestion(&questions, &p, mode)
	}
	for range 120 {
		ask(randomProblem(rng, 2+rng.IntN(120)))
	}
	for i, n := range []int{150, 151, 240, 241} {
		p := batch(n, seed+uint64(i))
		p.Objective = Sum + Objective(i/2)
		p.LotPenalty = int64(i%2) * 150_000
		if i > 1 {
			limit := int64(420_000)
			p.Limit = &limit
		}
		ask(p)
	}
	left := 0
	for i, want := range askLemon(t, bin, &questions, len(problems)) {
		p := problems[i]
		r, err := Solve(p)
		if err != nil {
			t.Fatalf("seed %d, instance %d: %v", seed, i, err)
		}
		if r.Count != want.count || r.Sum != want.sum || p.Objective == WorstThenSum && r.Worst != want.worst {
			t.Errorf("seed %d, instance %d of %d ribs: %d pairs, worst %d, sum %d; LEMON %+v", seed, i, len(p.Ribs), r.Count, r.Worst, r.Sum, want)
		}
		if !r.Optimal {
			t.Errorf("seed %d, instance %d: not proven", seed, i)
		}
		if len(r.Unpaired) > 1 {
			left++
		}
	}
	if left == 0 {
		t.Errorf("seed %d: no instance had leftovers", seed)
	}
}

func cpuSeconds() float64 {
	var r syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &r); err != nil {
		panic(err)
	}
	return float64(r.Utime.Nano()+r.Stime.Nano()) / 1e9
}

// BenchmarkAgainstLemon times both on the same batch and prints the processor times and their ratio.
// Ours includes the costs of the pairs, the proof and its check; LEMON's is the matching alone, on
// costs made beforehand.
func BenchmarkAgainstLemon(b *testing.B) {
	bin := lemonPeer(b)
	for _, n := range []int{100, 500, 1000, 2000} {
		b.Run(fmt.Sprint(n), func(b *testing.B) {
			var ours, theirs float64
			seed := uint64(0)
			for b.Loop() {
				seed++
				p := batch(n, seed)
				var q bytes.Buffer
				lemonQuestion(&q, &p, "full")
				a := askLemon(b, bin, &q, 1)[0]
				theirs += a.seconds
				runtime.GC() // the text of the question is not ours to clear away
				at := cpuSeconds()
				r, err := Solve(p)
				if err != nil {
					b.Fatal(err)
				}
				ours += cpuSeconds() - at
				if r.Sum != a.sum {
					b.Fatalf("seed %d: sum %d, LEMON %d", seed, r.Sum, a.sum)
				}
			}
			b.ReportMetric(ours/float64(seed)*1e3, "ms")
			b.ReportMetric(theirs/float64(seed)*1e3, "lemon-ms")
			b.ReportMetric(theirs/ours, "ratio")
		})
	}
}
