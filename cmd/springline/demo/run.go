package demo

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"os"
	"path/filepath"
	"time"

	"github.com/rs/zerolog"

	"springline/cmd/springline/job"
	"springline/cmd/springline/wiring"
	"springline/qc"
	"springline/qc/bend"
	"springline/qc/length"
	"springline/reports"
	"springline/reports/typeset"
	"springline/session"
	"springline/session/command"
)

// Options of a run.
type Options struct {
	Dir      string    // made anew: data and reports go here
	Out      io.Writer // progress for a person
	Software string
	Now      func() time.Time
	Start    time.Time
	Log      zerolog.Logger
	// Ready is called once the bench is up, before the first rib; may be nil.
	Ready func(*wiring.Wired)
}

// Summary is how a run ended.
type Summary struct {
	Passed, Spares, Pairs  int
	Ribs                   int
	ReBent, ReMeasured     int // ribs that were pulled once or more; rounds taken again
	JigRebuilds            int
	Held, Refused, Unplugs int
	Batch                  string
	Records                int64
	Took                   time.Duration
	Reports                []string
	SumMismatch            string
}

// Run measures the whole batch and writes the reports. The bench is closed when close is called.
func Run(ctx context.Context, o Options) (s Summary, close func() error, err error) {
	j, err := readJob()
	if err != nil {
		return s, nil, err
	}
	if err := prepare(o.Dir); err != nil {
		return s, nil, err
	}
	gauges, err := plugIn(&j, o.Dir)
	if err != nil {
		return s, nil, err
	}
	r, err := wiring.Open(ctx, wiring.Config{
		Dir: filepath.Join(o.Dir, "data"), Job: &j, Software: o.Software, Now: o.Now, Start: o.Start, Log: o.Log,
	})
	if err != nil {
		return s, nil, errors.Join(err, gauges.unplug())
	}
	close = func() error { return errors.Join(r.Close(), gauges.unplug()) }
	if o.Ready != nil {
		o.Ready(r)
	}
	y := &yard{
		options: o, wired: r, bench: r.Bench, gauges: gauges, job: j, begun: o.Now(), happened: map[mishapAt]bool{},
		plant: newPlant(seed, j.Target, lotIDs(j), firstFaceMM),
	}
	if err := gauges.wait(ctx); err != nil {
		return s, close, err
	}
	if err := y.bendAll(ctx); err != nil {
		return s, close, err
	}
	if err := y.finish(ctx); err != nil {
		return s, close, err
	}
	return y.sum, close, nil
}

func lotIDs(j job.Job) []string {
	var ids []string
	for _, l := range j.Lots {
		ids = append(ids, l.ID)
	}
	return ids
}

// yard is the maker at the jig: bends, lays, reads, and does what the bench says.
type yard struct {
	options Options
	wired   *wiring.Wired
	bench   *session.Bench
	gauges  *gauges
	job     job.Job
	plant   *plant
	begun   time.Time
	sum     Summary
	jigs    int

	happened map[mishapAt]bool
}

func (y *yard) say(format string, args ...any) {
	fmt.Fprintf(y.options.Out, format+"\n", args...)
}

func (y *yard) do(ctx context.Context, by string, deed command.Deed) (command.Ack, error) {
	o := command.Order{Sent: command.Sent{By: by}, Deed: deed}
	a, err := y.bench.Do(ctx, o)
	if err != nil {
		return a, fmt.Errorf("%s: %w", o.Op(), err)
	}
	return a, nil
}

func (y *yard) bendAll(ctx context.Context) error {
	t := y.job.Target
	y.say("Boardwalk shelter (invented): %s, tips %s mm apart on the outside, %d bars from %d lots",
		t.Name, t.Round[0].Nominal, y.job.Batch.Planned, len(fromLot))
	number := 0
	for _, f := range fromLot {
		if _, err := y.do(ctx, "", command.NextLot{Lot: f.lot}); err != nil {
			return err
		}
		for i := range f.bars {
			number++
			if err := y.oneRib(ctx, number, f.lot, i == 0); err != nil {
				return fmt.Errorf("rib %02d: %w", number, err)
			}
		}
	}
	return nil
}

// maxRounds bounds the corrections of one rib.
const maxRounds = 10

// oneRib bends a bar, measures it, and follows the bench's advice until the rib passes.
func (y *yard) oneRib(ctx context.Context, number int, lot string, first bool) error {
	if !first { // the first bar of a lot is its test bend, on the jig as it stands
		if err := y.followJig(ctx, lot); err != nil {
			return err
		}
	}
	if _, err := y.do(ctx, "", command.Start{Rib: fmt.Sprintf("%02d", number)}); err != nil {
		return err
	}
	b, err := y.plant.wrap(lot)
	if err != nil {
		return err
	}
	pulled := false
	for round := 1; round <= maxRounds; round++ {
		if err := y.measure(ctx, number, round, b.shape); err != nil {
			return err
		}
		cur := y.bench.View().Current
		y.say("  rib %02d  %s  round %d  %-10s %s", number, lot, round, cur.Verdict, cur.Reason)
		word := qc.Word(cur.Verdict)
		if word == qc.Pass {
			y.sum.Passed++
			if pulled {
				y.sum.ReBent++
			}
			return nil
		}
		if word != qc.ReBend {
			y.sum.ReMeasured++
			if round <= 2 {
				if _, err := y.do(ctx, "", command.Round{Reason: "lifted and laid again"}); err != nil {
					return err
				}
				continue
			}
		}
		pulled = true
		if b, err = y.correct(ctx, b, lot); err != nil {
			return err
		}
	}
	return errors.New("does not pass after every correction; the invented yard is broken")
}

// batch is the record of the batch, with the current rib.
func (y *yard) batch() (qc.Batch, qc.Rib, error) {
	b, err := y.bench.Batch(y.job.Batch.ID)
	if err != nil {
		return b, qc.Rib{}, err
	}
	r, _ := b.Rib(y.bench.View().Current.Rib)
	return b, r, nil
}

// correct does what the bench advises for the rib: pull to a spacing, wrap again on another jig, or,
// where tips and crown are right and the curve is not, even it by hand.
func (y *yard) correct(ctx context.Context, b bar, lot string) (bar, error) {
	rec, rib, err := y.batch()
	if err != nil {
		return b, err
	}
	c, ok := rec.Correct(rib)
	if !ok {
		return b, errors.New("the bench has no advice")
	}
	round := func(reason string) error {
		_, err := y.do(ctx, "", command.Round{Reason: reason})
		return err
	}
	t := y.job.Target
	if c.Action == bend.Close && c.TipLoaded < 0 {
		// Legs would have to cross: a maker sets the jig as advised for the lot and wraps the bar again.
		a, err := rec.AdviseJig(lot)
		if err != nil {
			return b, fmt.Errorf("advise the jig: %w", err)
		}
		c.Action, c.Face = bend.Rewrap, a.Face
	}
	switch c.Action {
	case bend.Open, bend.Close:
		tip, _ := rib.Deviation(t.Round[0])
		if b, err = y.plant.pull(b, c.TipLoaded); err != nil {
			return b, err
		}
		if _, err := y.do(ctx, maker, command.Pull{Before: fmt.Sprintf("%.0f", tip.Value.MM()), Loaded: fmt.Sprintf("%.0f",
			t.FaceTip(c.TipLoaded))}); err != nil {
			return b, err
		}
		return b, round("pulled by the tips")
	case bend.Rewrap:
		if err := y.rebuild(ctx, c.Face, "for this bar"); err != nil {
			return b, err
		}
		if _, err := y.do(ctx, "", command.Round{Jig: y.jigID(), Reason: "wrapped again on " + y.jigID()}); err != nil {
			return b, err
		}
		return y.plant.rewrap(b)
	case bend.Refuse:
		if c.Place == "" && math.Abs(c.Expected-rec.Target.BendOrder().Target()) > t.Round[0].Upper.MM() {
			return b, fmt.Errorf("the bench gives the bar up: %s", c.Reason)
		}
	}
	return y.plant.even(b), round("evened by hand over a shoulder block")
}

// followJig asks which jig the next bar of the lot wants, and builds it where the present one would miss
// by more than a few millimetres.
func (y *yard) followJig(ctx context.Context, lot string) error {
	rec, err := y.bench.Batch(y.job.Batch.ID)
	if err != nil {
		return err
	}
	a, err := rec.AdviseJig(lot)
	if err != nil {
		return fmt.Errorf("advise the jig: %w", err)
	}
	if math.Abs((a.Face-y.plant.face)*a.TipPerFace) < rebuildMM {
		return nil
	}
	return y.rebuild(ctx, a.Face, fmt.Sprintf("after %d bars of %s", a.Bars, lot))
}

func (y *yard) jigID() string { return fmt.Sprintf("jig-%d", y.jigs+1) }

// rebuild sets the blocks to another radius and says so to the bench.
func (y *yard) rebuild(ctx context.Context, face float64, why string) error {
	face = math.Round(face*5) / 5 // shims come in fifths of a millimetre
	y.say("         the jig of %.1f mm is set to %.1f mm, %s", y.plant.face, face, why)
	y.jigs++
	y.sum.JigRebuilds++
	y.plant.face, y.plant.bent = face, 0
	radius, err := length.FromMM(face)
	if err != nil {
		return err
	}
	if err := y.bench.Set(ctx, command.JigDeed(qc.Jig{ID: y.jigID(), FaceRadius: radius, Blocks: y.job.Jig.Blocks, Note: why})); err != nil {
		return err
	}
	_, err = y.do(ctx, "", command.NextJig{Jig: y.jigID()})
	return err
}

// finish confirms the pairs, closes the batch and writes the reports.
func (y *yard) finish(ctx context.Context) error {
	v := y.bench.View()
	if v.Pairs == nil {
		return errors.New("no pairs are proposed")
	}
	if _, err := y.do(ctx, checker, command.ConfirmPairs{Token: v.Pairs.Token}); err != nil {
		return err
	}
	if o := y.bench.View().Pairs.Order; o != nil {
		if _, err := y.do(ctx, checker, command.ConfirmOrder{Token: o.Token}); err != nil {
			return err
		}
	}
	if _, err := y.do(ctx, maker, command.CloseBatch{}); err != nil {
		return err
	}
	v = y.bench.View()
	y.sum.Batch, y.sum.Records, y.sum.Ribs = y.job.Batch.ID, v.Seq, len(v.Ribs)
	y.sum.Pairs, y.sum.Spares = len(v.Pairs.Pairs), len(v.Pairs.Spares)
	y.sum.SumMismatch = v.Pairs.Sum
	b, err := y.bench.Batch(y.job.Batch.ID)
	if err != nil {
		return err
	}
	y.sum.Held, y.sum.Refused = b.Counts.Held, b.Counts.Refused
	for _, ext := range []string{"pdf", "html", "csv", "json", "txt"} {
		path := filepath.Join(y.options.Dir, "report."+ext)
		f, err := os.Create(path)
		if err != nil {
			return fmt.Errorf("write the report: %w", err)
		}
		if err := errors.Join(reports.WriteBatch(f, b, y.options.Software, ext, typeset.A4), f.Close()); err != nil {
			return fmt.Errorf("write the report %q: %w", path, err)
		}
		y.sum.Reports = append(y.sum.Reports, path)
	}
	y.sum.Took = y.options.Now().Sub(y.begun)
	return nil
}
