package session

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"
	"github.com/google/go-cmp/cmp/cmpopts"
	"pgregory.net/rapid"

	"springline/qc"
	"springline/qc/words"
)

// judging is a random history whose kept verdicts are held, after every record, against verdicts worked out
// anew, and those of closed batches against what they were at closing.
type judging struct {
	*rapid.T
	b      *Bench
	c      *clock
	rng    *rand.Rand
	target qc.Target
	closed map[string][]qc.Verdict // by batch
}

func (h *judging) do(c Command) {
	_, err := h.b.Do(h.Context(), c)
	h.then(err)
}

// then lets refusals pass and looks at what was kept.
func (h *judging) then(err error) {
	var refusal *words.Refusal
	if err != nil && !errors.As(err, &refusal) {
		h.Fatal(err)
	}
	s := h.b.state
	o, view, kept := s.batch, h.b.View(), h.b.derived().ribs
	for i, r := range o.ribs {
		fresh := newJudged(s, o, r)
		fresh.as = kept[i].as
		if d := cmp.Diff(fresh, kept[i], cmp.AllowUnexported(Judged{}, judgedAs{}), cmpopts.EquateNaNs(), cmpopts.EquateErrors()); d != "" {
			h.Fatalf("record %d: rib %s as kept (-anew +kept):\n%s", s.seq, r.ID, d)
		}
		line := ribView(o, r, fresh.Verdict)
		line.Pair = view.Ribs[i].Pair
		if d := cmp.Diff(line, view.Ribs[i]); d != "" {
			h.Fatalf("record %d: the line of rib %s (-anew +kept):\n%s", s.seq, r.ID, d)
		}
		if r != o.current {
			continue
		}
		steps := renderer{book: s, o: o}.steps(r, &ribLine{of: fresh})
		for k := range steps {
			steps[k].IsNow = view.Current.Steps[k].IsNow
		}
		if d := cmp.Diff(steps, view.Current.Steps); d != "" {
			h.Fatalf("record %d: the steps of rib %s (-anew +kept):\n%s", s.seq, r.ID, d)
		}
	}
	if d := cmp.Diff((renderer{book: s, o: o, kept: &lastShown{}}).study(), view.Study, cmpopts.EquateNaNs()); d != "" {
		h.Fatalf("record %d: the study (-anew +kept):\n%s", s.seq, d)
	}
	for _, o := range s.batches {
		if !o.closed.IsZero() {
			if d := cmp.Diff(h.closed[o.body.ID], h.verdicts(o)); d != "" {
				h.Fatalf("record %d: batch %s (-at closing +now):\n%s", s.seq, o.body.ID, d)
			}
		}
	}
}

func (h *judging) verdicts(o *batch) []qc.Verdict {
	list := make([]qc.Verdict, len(o.ribs))
	for i, r := range o.ribs {
		list[i], _ = h.b.state.judge(o, r)
	}
	return list
}

// study finishes a study of a gauge that repeats somehow.
func (h *judging) study() {
	h.do(smallStudy)
	scatter := rapid.SampledFrom([]int{1, 40}).Draw(h.T, "scatter")
	for st := h.b.View().Study; st != nil && st.State == StudyRuns; st = h.b.View().Study {
		h.do(Command{Op: OpType, Text: fmt.Sprint(3553 + h.rng.IntN(scatter))})
		for _, held := range h.b.View().Held {
			h.do(Command{Op: OpTake, Seq: held.Seq, Reason: "so it is"})
		}
	}
	h.do(Command{Op: OpStudyFinish})
}

// next closes the batch and opens another, with ribs of the same names.
func (h *judging) next() {
	id := h.b.View().Batch.ID
	for _, held := range h.b.View().Held {
		h.do(Command{Op: OpDiscard, Seq: held.Seq, Reason: "closing"})
	}
	verdicts := h.verdicts(h.b.state.batch)
	if err := h.b.CloseBatch(h.Context(), ""); err != nil {
		h.then(err) // a study is open
		return
	}
	h.closed[id] = verdicts
	h.then(nil)
	h.then(h.b.OpenBatch(h.Context(), BatchSetup{ID: fmt.Sprintf("B%d", len(h.closed)+1), Planned: 5, Target: h.target.ID, Revision: 1, Decision: qc.DefaultDecision, Jig: "J1", Lot: "L1"}))
	h.ribs(2)
}

// ribs measures ribs that fit and starts as many more.
func (h *judging) ribs(n int) {
	for range n {
		h.do(Command{Op: OpStart})
		for _, x := range []string{"3553.6", "3553.6", "2061.4", "1", "1"} {
			h.do(Command{Op: OpType, Text: x})
		}
	}
	for range n {
		h.do(Command{Op: OpStart})
	}
}

// TestKeptVerdictsAreThoseWorkedOutAnew looks after every record of random histories with studies, checks of
// gauges, gauges named anew and batches closed in them.
func TestKeptVerdictsAreThoseWorkedOutAnew(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := &judging{T: rt, c: newClock(), closed: map[string][]qc.Verdict{}, rng: rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "rng"), 0))}
		h.b = openTest(t, t.TempDir(), h.c)
		defer h.b.Close()
		h.target = setUp(t, h.b, 1)
		h.ribs(3)
		for range rapid.IntRange(1, 12).Draw(rt, "steps") {
			switch rapid.SampledFrom([]string{"command", "command", "command", "reading", "study", "check", "name", "warm", "next"}).Draw(rt, "what") {
			case "command":
				h.do(someCommand(rt, h.b))
			case "reading":
				_, err := h.b.Arrived(someReading(rt, h.b.View(), h.c.now()))
				h.then(err)
			case "study":
				h.study()
			case "check":
				h.do(Command{Op: OpGaugeCheck, Gauge: "tape", Reference: "1000", Text: rapid.SampledFrom([]string{"1000", "1003"}).Draw(rt, "read"), Due: "2027-05-04"})
			case "name":
				g := tape
				g.Name = rapid.SampledFrom([]string{"long tape", "blue tape"}).Draw(rt, "name")
				h.then(h.b.SetGauge(rt.Context(), g))
			case "warm":
				c := Command{Op: OpTemperature, Bar: "25", Tape: "31"}
				if temps := h.b.state.batch.temps; len(temps) > 0 {
					c.Seq, c.Bar = temps[len(temps)-1].Seq, "20"
				}
				h.do(c)
			case "next":
				h.next()
			}
		}
	})
}
