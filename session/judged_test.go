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
	"springline/session/book"
	"springline/session/command"
	"springline/session/derive"
	"springline/session/show"
)

// judging is a random history whose kept verdicts and view are held, after every record, against those worked
// out anew, and the verdicts of closed batches against what they were at closing.
type judging struct {
	*rapid.T
	b      *Bench
	c      *clock
	rng    *rand.Rand
	target qc.Target
	closed map[string][]qc.Verdict // by batch
	looks  int
}

func (h *judging) do(c command.Order) {
	_, err := h.b.Do(h.Context(), c)
	h.then(err)
}

// then lets refusals pass and looks at what was kept.
func (h *judging) then(err error) {
	var refusal *words.Refusal
	if err != nil && !errors.As(err, &refusal) {
		h.Fatal(err)
	}
	s, kept := h.b.state, h.b.derived().Ribs
	for i, r := range s.Batch.Ribs {
		fresh := derive.NewJudged(s, s.Batch, r)
		fresh.As = kept[i].As
		if d := cmp.Diff(fresh, kept[i], cmp.AllowUnexported(derive.Judged{}, derive.JudgedAs{}), cmpopts.EquateNaNs(),
			cmpopts.EquateErrors()); d != "" {
			h.Fatalf("record %d: rib %s as kept (-anew +kept):\n%s", s.Seq, r.ID, d)
		}
	}
	h.anew("the live state", s)
	if h.looks++; h.looks%10 == 0 {
		h.replayed()
	}
	for _, o := range s.Batches {
		if !o.Closed.IsZero() {
			if d := cmp.Diff(h.closed[o.Body.ID], h.verdicts(o)); d != "" {
				h.Fatalf("record %d: batch %s (-at closing +now):\n%s", s.Seq, o.Body.ID, d)
			}
		}
	}
}

// anew holds the view, for which much was kept from record to record, against one for which all is worked out.
func (h *judging) anew(of string, s *book.Book) {
	k := derive.LastAnswers{}
	in := show.ShowInput{State: s, Is: k.At(s), Kept: &show.LastShown{}, Live: h.b.live}
	if d := cmp.Diff(show.WithDerived(show.NewView(in), in.Is), h.b.View(), cmpopts.EquateNaNs()); d != "" {
		h.Fatalf("record %d: the view of %s (-anew +kept):\n%s", s.Seq, of, d)
	}
}

// replayed does the same for the state as the record gives it.
func (h *judging) replayed() {
	s, err := book.Replay(h.Context(), h.b.store, h.b.cfg.Bench, 0)
	if err != nil {
		h.Fatal(err)
	}
	h.anew("the record", s)
}

func (h *judging) verdicts(o *book.Batch) []qc.Verdict {
	list := make([]qc.Verdict, len(o.Ribs))
	for i, r := range o.Ribs {
		list[i], _ = h.b.state.Judge(o, r)
	}
	return list
}

// study finishes a study of a gauge that repeats somehow.
func (h *judging) study() {
	h.do(command.Order{Deed: smallStudy})
	scatter := rapid.SampledFrom([]int{1, 40}).Draw(h.T, "scatter")
	for st := h.b.View().Study; st != nil && st.State == show.StudyRuns; st = h.b.View().Study {
		h.do(command.Order{Deed: command.Type{Text: fmt.Sprint(3553 + h.rng.IntN(scatter))}})
		for _, held := range h.b.View().Held {
			h.do(command.Order{Deed: command.Take{Seq: held.Seq, Reason: "so it is"}})
		}
	}
	h.do(command.Order{Deed: command.FinishStudy{}})
}

// pair decides something about the pairs and confirms what is proposed then.
func (h *judging) pair() {
	two := rapid.SampledFrom([][2]string{{"01", "02"}, {"01", "03"}, {"02", "03"}}).Draw(h.T, "two")
	pairs, order := "", ""
	if v := h.b.View().Pairs; v != nil {
		if pairs = v.Token; v.Order != nil {
			order = v.Order.Token
		}
	}
	d := rapid.SampledFrom([]command.Deed{
		command.ChangePairRule{Metric: rapid.SampledFrom([]string{"max", "rms"}).Draw(h.T, "metric")}, command.ConfirmPairs{Token: pairs},
		command.ConfirmOrder{Token: order},
		command.LockPair{Rib: two[0], With: two[1]}, command.ReleasePair{Rib: two[0], With: two[1], Reason: "so"},
		command.ForbidPair{Rib: two[0], With: two[1], Reason: "so"}, command.AllowPair{Rib: two[0], With: two[1], Reason: "so"},
	}).Draw(h.T, "pair")
	h.do(command.Order{Sent: command.Sent{By: "Ines"}, Deed: d})
}

// next closes the batch and opens another, with ribs of the same names.
func (h *judging) next() {
	id := h.b.View().Batch.ID
	for _, held := range h.b.View().Held {
		h.do(command.Order{Deed: command.Discard{Seq: held.Seq, Reason: "closing"}})
	}
	verdicts := h.verdicts(h.b.state.Batch)
	if err := h.b.Set(h.Context(), command.CloseBatch{}); err != nil {
		h.then(err) // a study is open
		return
	}
	h.closed[id] = verdicts
	h.then(nil)
	h.then(h.b.Set(h.Context(), command.BatchSetup{ID: fmt.Sprintf("B%d", len(h.closed)+1), Planned: 5, Target: h.target.ID, Revision: 1,
		Decision: qc.DefaultDecision, Jig: "J1", Lot: "L1"}.Deed()))
	h.ribs(2)
}

// ribs measures ribs that fit and starts as many more.
func (h *judging) ribs(n int) {
	for range n {
		h.do(command.Order{Deed: command.Start{}})
		for _, x := range []string{"3553.6", "3553.6", "2061.4", "1", "1"} {
			h.do(command.Order{Deed: command.Type{Text: x}})
		}
	}
	for range n {
		h.do(command.Order{Deed: command.Start{}})
	}
}

// TestKeptIsWhatIsWorkedOutAnew looks after every record of random histories with studies, checks of
// gauges, gauges named anew and batches closed in them.
func TestKeptIsWhatIsWorkedOutAnew(t *testing.T) {
	rapid.Check(t, func(rt *rapid.T) {
		h := &judging{T: rt, c: newClock(), closed: map[string][]qc.Verdict{}, rng: rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "rng"), 0))}
		h.b = openTest(t, t.TempDir(), h.c)
		defer h.b.Close()
		h.target = setUp(t, h.b, 1)
		h.ribs(3)
		for range rapid.IntRange(1, 12).Draw(rt, "steps") {
			switch rapid.SampledFrom([]string{"command", "command", "reading", "study", "check", "name", "warm", "next", "choose", "pair", "pair",
				"pair", "rib", "jig"}).Draw(rt, "what") {
			case "command":
				h.do(someCommand(rt, h.b))
			case "reading":
				_, err := h.b.Arrived(someReading(rt, h.b.View(), h.c.now()))
				h.then(err)
			case "study":
				h.study()
			case "check":
				h.do(command.Order{Deed: command.CheckGauge{Gauge: "tape", Reference: "1000", Due: "2027-05-04",
					Readings: []string{rapid.SampledFrom([]string{"1000", "1003"}).Draw(rt, "read")}}})
			case "name":
				g := tape
				g.Name = rapid.SampledFrom([]string{"long tape", "blue tape"}).Draw(rt, "name")
				h.then(h.b.Set(rt.Context(), command.StateGauge(g.Stated())))
			case "warm":
				c := command.ReadTemperature{Bar: "25", Tape: "31"}
				if temps := h.b.state.Batch.Temps; len(temps) > 0 {
					c.Seq, c.Bar = temps[len(temps)-1].Seq, "20"
				}
				h.do(command.Order{Deed: c})
			case "next":
				h.next()
			case "choose":
				h.do(command.Order{Deed: command.Choose{Rib: rapid.SampledFrom([]string{"01", "02", "03"}).Draw(rt, "rib")}})
			case "pair":
				h.pair()
			case "rib":
				h.ribs(1)
			case "jig":
				h.do(command.Order{Deed: command.JigBuilt{Text: fmt.Sprint(1280 + h.rng.IntN(20))}})
				h.do(command.Order{Deed: command.NextLot{Lot: rapid.SampledFrom([]string{"L1", "L2"}).Draw(rt, "lot")}})
			}
		}
		h.replayed()
	})
}
