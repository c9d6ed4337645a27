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
	"springline/cmd/springline/rig"
	"springline/qc"
	"springline/qc/arch"
	"springline/qc/bend"
	"springline/qc/length"
	"springline/session"
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
	Ready func(*rig.Rig)
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

// Run measures the whole batch and writes the reports. The rig is closed when close is called.
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
	r, err := rig.Open(ctx, rig.Config{
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
		options: o, rig: r, bench: r.Bench, gauges: gauges, job: j, begun: o.Now(),
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
	rig     *rig.Rig
	bench   *session.Bench
	gauges  *gauges
	job     job.Job
	plant   *plant
	begun   time.Time
	sum     Summary
	jigs    int
}

func (y *yard) say(format string, args ...any) {
	fmt.Fprintf(y.options.Out, format+"\n", args...)
}

func (y *yard) do(ctx context.Context, c session.Command) (session.Ack, error) {
	a, err := y.bench.Do(ctx, c)
	if err != nil {
		return a, fmt.Errorf("%s: %w", c.Op, err)
	}
	return a, nil
}

func (y *yard) bendAll(ctx context.Context) error {
	t := y.job.Target
	y.say("Boardwalk shelter (invented): %s, tips %s mm apart on the outside, %d bars from %d lots",
		t.Name, t.Round[0].Nominal, y.job.Batch.Planned, len(fromLot))
	number := 0
	for _, f := range fromLot {
		if _, err := y.do(ctx, session.Command{Op: session.OpLot, Lot: f.lot}); err != nil {
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
const maxRounds = 8

// oneRib bends a bar, measures it, and follows the verdict until the rib passes.
func (y *yard) oneRib(ctx context.Context, number int, lot string, first bool) error {
	if _, err := y.do(ctx, session.Command{Op: session.OpStart, Rib: fmt.Sprintf("%02d", number)}); err != nil {
		return err
	}
	bar, err := y.plant.wrap(lot)
	if err != nil {
		return err
	}
	t := y.job.Target
	pulled := false
	for round := 1; round <= maxRounds; round++ {
		if err := y.measure(ctx, number, round, bar); err != nil {
			return err
		}
		v := y.bench.View()
		cur := v.Current
		y.say("  rib %02d  %s  round %d  %-10s %s", number, lot, round, cur.Verdict, cur.Reason)
		tip, err := tipOf(y, cur)
		if err != nil {
			return err
		}
		off := tip - t0(t)
		switch qc.Word(cur.Verdict) {
		case qc.Pass:
			y.sum.Passed++
			if pulled {
				y.sum.ReBent++
			}
			return nil
		case qc.ReBend:
			if first && round == 1 && math.Abs(off) > 40 {
				if bar, err = y.rebuild(ctx, lot, tip, off); err != nil {
					return err
				}
				continue
			}
			pulled = true
			if math.Abs(off) < t.Round[0].Upper.MM() { // the tips fit, the curve does not
				bar = y.plant.even(bar)
				if _, err := y.do(ctx, session.Command{Op: session.OpRound, Reason: "evened by hand over a shoulder block"}); err != nil {
					return err
				}
				continue
			}
			if bar, err = y.correct(ctx, bar, tip); err != nil {
				return err
			}
		default:
			y.sum.ReMeasured++
			if round > 2 { // nothing proves it either way: bring it nearer
				pulled = true
				if bar, err = y.correct(ctx, bar, tip); err != nil {
					return err
				}
				continue
			}
			if _, err := y.do(ctx, session.Command{Op: session.OpRound, Reason: "lifted and laid again"}); err != nil {
				return err
			}
		}
	}
	return errors.New("does not pass after every correction; the invented yard is broken")
}

// t0 is the wanted tip-to-tip in mm.
func t0(t qc.Target) float64 { return t.Round[0].Nominal.MM() }

// tipOf is the mean tip-to-tip of the rib's present round in mm.
func tipOf(y *yard, cur *session.CurrentView) (float64, error) {
	b, err := y.bench.Batch(y.job.Batch.ID)
	if err != nil {
		return 0, err
	}
	r, _ := b.Rib(cur.Rib)
	d, ok := r.Deviation(b.Target.Round[0])
	if !ok {
		return 0, errors.New("has no tip-to-tip")
	}
	return d.Value.MM(), nil
}

// rebuild builds the jig anew to the radius that the test bend asks for, and wraps the same bar again.
func (y *yard) rebuild(ctx context.Context, lot string, tip, off float64) (shape, error) {
	t := y.job.Target
	d := t.Bar.Diameter.MM()
	centre := arch.TipFrom(t.Face.Arch(), tip, d, t.Rib().HalfAngle())
	released, err := arch.RadiusFromTip(centre, t.Leg.MM(), t.Arc.MM())
	if err != nil {
		return shape{}, err
	}
	test, err := bend.FromTest(d, modulusMPa, y.plant.face+d/2, released)
	if err != nil {
		return shape{}, err
	}
	bar := bend.Bar{Diameter: d, Modulus: modulusMPa, Yield: test.ApparentYield}
	next, err := bar.Jig(t.Radius.MM())
	if err != nil {
		return shape{}, err
	}
	face := math.Round((next.Loaded-d/2)*2) / 2 // shims come in half millimetres
	y.jigs++
	id := fmt.Sprintf("jig-%d", y.jigs+1)
	y.say("         tips %+.0f mm: the jig of %.1f mm is rebuilt at %.1f mm and the bar wrapped again", off, y.plant.face, face)
	y.plant.face, y.plant.bent = face, 0
	y.sum.JigRebuilds++
	radius, err := length.FromMM(face)
	if err != nil {
		return shape{}, err
	}
	if err := y.bench.SetJig(ctx, qc.Jig{ID: id, FaceRadius: radius, Blocks: y.job.Jig.Blocks, Note: "from the test bend of " + lot}); err != nil {
		return shape{}, err
	}
	if _, err := y.do(ctx, session.Command{Op: session.OpJig, Jig: id}); err != nil {
		return shape{}, err
	}
	if _, err := y.do(ctx, session.Command{Op: session.OpRound, Jig: id, Reason: "wrapped again on " + id}); err != nil {
		return shape{}, err
	}
	return y.plant.wrap(lot)
}

// correct pulls the rib by its tips and records the pull; where the legs would cross, the bar is
// wrapped again over shims instead.
func (y *yard) correct(ctx context.Context, bar shape, tip float64) (shape, error) {
	bar, loaded := y.plant.pull(bar, tip-t0(y.job.Target))
	if loaded < 0 {
		_, err := y.do(ctx, session.Command{Op: session.OpRound, Reason: "wrapped again over shims: the legs would cross before the tips give"})
		return bar, err
	}
	if _, err := y.do(ctx, session.Command{
		Op: session.OpPull, Before: fmt.Sprintf("%.0f", tip), Loaded: fmt.Sprintf("%.0f", loaded), By: maker,
	}); err != nil {
		return bar, err
	}
	_, err := y.do(ctx, session.Command{Op: session.OpRound, Reason: "pulled by the tips"})
	return bar, err
}

// finish confirms the pairs, closes the batch and writes the reports.
func (y *yard) finish(ctx context.Context) error {
	v := y.bench.View()
	if v.Pairs == nil {
		return errors.New("no pairs are proposed")
	}
	if _, err := y.do(ctx, session.Command{Op: session.OpConfirmPairs, Token: v.Pairs.Token, By: checker}); err != nil {
		return err
	}
	if o := y.bench.View().Pairs.Order; o != nil {
		if _, err := y.do(ctx, session.Command{Op: session.OpConfirmOrder, Token: o.Token, By: checker}); err != nil {
			return err
		}
	}
	if _, err := y.do(ctx, session.Command{Op: session.OpClose, By: maker}); err != nil {
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
		if err := errors.Join(rig.Reports(y.options.Software)(ext, b, f), f.Close()); err != nil {
			return fmt.Errorf("write the report %q: %w", path, err)
		}
		y.sum.Reports = append(y.sum.Reports, path)
	}
	y.sum.Took = y.options.Now().Sub(y.begun)
	return nil
}
