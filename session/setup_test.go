package session

import (
	"context"
	"errors"
	"path/filepath"
	"sync"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/log"
	"springline/session/store"
)

func TestOpenBatchRefusesWhatCannotBeProven(t *testing.T) {
	ctx := t.Context()
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	if err := b.Set(ctx, command.CloseBatch{}); err != nil {
		t.Fatal(err)
	}
	spec := testSpec(1)
	spec.Revision, spec.TolTip = 2, mm/2 // a class I tape with its friction cannot prove half a millimetre
	tight, err := qc.NewArch(spec)
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Set(ctx, command.TargetDeed(tight)); err != nil {
		t.Fatal(err)
	}
	setup := command.BatchSetup{ID: "B2", Target: tight.ID, Revision: 2, Decision: qc.DefaultDecision, Jig: "J1", Lot: "L1"}
	err = b.Set(ctx, setup.Deed())
	wantCode(t, err, words.CodeUnprovable)
	var cannot *qc.CannotProveError
	if !errors.As(err, &cannot) || cannot.Char != qc.Tip {
		t.Errorf("the cause is lost: %v", err)
	}
	setup.Decision.Rule = qc.Plain
	if err := b.Set(ctx, setup.Deed()); err != nil {
		t.Errorf("under the plain rule: %v", err)
	}
}

func TestSetupIsChecked(t *testing.T) {
	ctx := t.Context()
	b := openTest(t, t.TempDir(), newClock())
	target := setUp(t, b, 1)
	before := b.View().Seq
	crossing := target
	crossing.Revision, crossing.Arc, crossing.Leg = 2, 6*length.Metre, 9*length.Metre
	changed := target
	changed.Name = "another name"
	tiny := target
	tiny.Revision, tiny.Radius = 3, 10*mm
	nolimit := caliper
	nolimit.ID, nolimit.Limit = "c2", 0
	furlong := tape
	furlong.ID, furlong.Unit = "t2", "furlong"
	jig := qc.Jig{ID: "J1", FaceRadius: 1200 * mm, Blocks: 9}
	batch := command.BatchSetup{ID: "B1", Target: target.ID, Revision: 1, Decision: qc.DefaultDecision, Jig: "J1", Lot: "L1"}
	for _, c := range []struct {
		name, code string
		err        error
	}{
		{"legs cross", words.CodeBadValue, b.Set(ctx, command.TargetDeed(crossing))},
		{"bent too tight", words.CodeBadValue, b.Set(ctx, command.TargetDeed(tiny))},
		{"a revision edited", words.CodeExists, b.Set(ctx, command.TargetDeed(changed))},
		{"a gauge without a limit", words.CodeBadValue, b.Set(ctx, command.StateGauge(nolimit.Stated()))},
		{"no unit", words.CodeBadValue, b.Set(ctx, command.StateGauge(furlong.Stated()))},
		{"a jig edited", words.CodeExists, b.Set(ctx, command.JigDeed(jig))},
		{"a lot without a name", words.CodeMissing, b.Set(ctx, command.LotDeed(qc.Lot{}))},
		{"a second batch", words.CodeExists, b.Set(ctx, batch.Deed())},
	} {
		if c.err == nil {
			t.Errorf("%s: went through", c.name)
			continue
		}
		wantCode(t, c.err, c.code)
	}
	for _, err := range []error{b.Set(ctx, command.TargetDeed(target)), b.Set(ctx, command.StateGauge(tape.Stated())),
		b.Set(ctx, command.LotDeed(qc.Lot{ID: "L1", Grade: "B500B", BarLength: 6000 * mm}))} {
		if err != nil {
			t.Errorf("set again as it is: %v", err)
		}
	}
	if b.View().Seq != before {
		t.Error("something was recorded")
	}
}

func TestGaugeThatMeasuredKeepsItsLimits(t *testing.T) {
	b := start(t)
	better := caliper
	better.Limit = 10 * length.Micrometre
	if err := b.Set(t.Context(), command.StateGauge(better.Stated())); err != nil {
		t.Errorf("before it measured: %v", err)
	}
	do(t, b, command.Order{Deed: command.Type{Char: "A1", Text: "1"}})
	wantCode(t, b.Set(t.Context(), command.StateGauge(caliper.Stated())), words.CodeExists)
	better.Checked = time.Date(2026, 1, 2, 0, 0, 0, 0, time.UTC)
	better.Due = time.Date(2027, 1, 2, 0, 0, 0, 0, time.UTC)
	if err := b.Set(t.Context(), command.StateGauge(better.Stated())); err != nil {
		t.Errorf("a check: %v", err)
	}
	if g := b.View().Gauges[1]; g.Check != "in date until 2 January 2027" {
		t.Errorf("check %q", g.Check)
	}
}

// TestClosedBatchStaysAsItWas changes a gauge, a lot and the bench after a batch was closed.
func TestClosedBatchStaysAsItWas(t *testing.T) {
	b := start(t)
	values(t, b, "3553.6", "3553.6", "2061.4", "0.5", "0.25")
	open, err := b.Batch("B1")
	if err != nil {
		t.Fatal(err)
	}
	at := b.View().Seq
	if err := b.Set(t.Context(), command.CloseBatch{}); err != nil {
		t.Fatal(err)
	}
	closed, _ := b.Batch("B1")
	checked := tape
	checked.Checked = time.Date(2026, 6, 1, 0, 0, 0, 0, time.UTC)
	if err := errors.Join(b.Set(t.Context(), command.StateGauge(checked.Stated())),
		b.Set(t.Context(), command.LotDeed(qc.Lot{ID: "L1", Heat: "4711"}))); err != nil {
		t.Fatal(err)
	}
	if later, _ := b.Batch("B1"); !cmp.Equal(closed, later) {
		t.Errorf("the closed batch changed:\n%s", cmp.Diff(closed, later))
	}
	then, err := b.BatchAt(t.Context(), "B1", at)
	if err != nil || !cmp.Equal(open, then) {
		t.Errorf("as of record %d: %v\n%s", at, err, cmp.Diff(open, then))
	}
	if _, err := b.BatchAt(t.Context(), "B1", 10_000); err == nil {
		t.Error("a record that is not there yet was read")
	}
	if err := b.VerifyHead(t.Context(), closed.Record.Epoch, closed.Record.Last, closed.Record.Head); err != nil {
		t.Errorf("the head on the report: %v", err)
	}
	fails(t, b, words.CodeNoBatch, command.Order{Deed: command.Type{Text: "1"}})
}

func TestCloseWaitsForAnswers(t *testing.T) {
	b := start(t)
	a := do(t, b, command.Order{Deed: command.Type{Text: "355.36"}})
	fails(t, b, words.CodeHeld, command.Order{Deed: command.CloseBatch{}})
	do(t, b, command.Order{Deed: command.Take{Seq: a.Seq, Suggested: true}})
	do(t, b, command.Order{Deed: command.CloseBatch{}})
}

// passing starts a rib and measures it with stations a and b out by this much.
func passing(t *testing.T, b *Bench, a, bb string) {
	t.Helper()
	do(t, b, command.Order{Deed: command.Start{}})
	values(t, b, "3553.6", "3553.6", "2061.4", a, bb)
	if v := b.View().Current; v.Verdict != "PASS" {
		t.Fatalf("%s: %s", v.Verdict, v.Reason)
	}
}

func TestListenAndSince(t *testing.T) {
	b := openTest(t, t.TempDir(), newClock())
	wake, stop := b.Listen()
	setUp(t, b, 1)
	<-wake
	select {
	case <-wake:
		t.Error("changes are not taken together")
	default:
	}
	do(t, b, command.Order{Deed: command.Start{}})
	<-wake
	stop()
	stop()
	v := b.View()
	all, err := b.Since(t.Context(), 0, 0, 100)
	if err != nil || int64(len(all)) != v.Seq || all[0].Kind != log.EpochStarted || all[len(all)-1].Kind != log.RibStarted {
		t.Fatalf("%d records, %v", len(all), err)
	}
	some, err := b.Since(t.Context(), 1, 3, 2)
	if err != nil || !cmp.Equal(some, all[3:5]) {
		t.Errorf("after 3: %+v %v", some, err)
	}
	if none, err := b.Since(t.Context(), v.Epoch, v.Seq, 5); err != nil || len(none) != 0 {
		t.Errorf("after the last: %v %v", none, err)
	}
	for _, p := range [][2]int64{{1, v.Seq + 1}, {2, 3}, {0, 3}, {1, -1}, {1, 0}} {
		if _, err := b.Since(t.Context(), p[0], p[1], 5); !errors.Is(err, ErrNoSuchPoint) {
			t.Errorf("%v: %v", p, err)
		}
	}
	wake, _ = b.Listen()
	b.Close()
	if _, open := <-wake; open {
		if _, open = <-wake; open {
			t.Error("the bench closed and its listener did not")
		}
	}
}

func TestEpochs(t *testing.T) {
	dir, clk := t.TempDir(), newClock()
	b := openTest(t, dir, clk)
	setUp(t, b, 1)
	do(t, b, command.Order{Deed: command.Start{}})
	if err := b.StartEpoch("restored from a backup"); err != nil {
		t.Fatal(err)
	}
	do(t, b, command.Order{Deed: command.Type{Text: "3553.6"}})
	v := b.View()
	if v.Epoch < 1_000_000 || v.Current == nil || v.Current.Next.Reading != 2 {
		t.Errorf("epoch %d, %+v", v.Epoch, v.Current)
	}
	heads, err := b.Verify(t.Context())
	if err != nil || len(heads) != 2 || heads[1].Seq != v.Seq {
		t.Errorf("%v %v", heads, err)
	}
	b.Close()
	again := openTest(t, dir, clk)
	if d := cmp.Diff(still(v), still(again.View())); d != "" {
		t.Error(d)
	}
	if _, err := OpenReadOnly(t.Context(), Config{Dir: dir, Bench: "bench-2"}); err == nil {
		t.Error("another bench's record was taken")
	}
}

func TestReadOnlyTakesNothing(t *testing.T) {
	dir, clk := t.TempDir(), newClock()
	b := openTest(t, dir, clk)
	setUp(t, b, 1)
	r, err := OpenReadOnly(t.Context(), testConfig(dir, clk))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if _, err := r.Do(t.Context(), command.Order{Deed: command.Start{}}); !errors.Is(err, ErrReadOnly) {
		t.Errorf("got %v", err)
	}
	do(t, b, command.Order{Deed: command.Start{}})
	if err := r.Refresh(t.Context()); err != nil || r.View().Seq != b.View().Seq {
		t.Errorf("refreshed to %d, %v", r.View().Seq, err)
	}
}

// TestNotSavedIsSaid closes the file under the bench: nothing more is acknowledged or shown.
func TestNotSavedIsSaid(t *testing.T) {
	b := start(t)
	before := b.View()
	b.store.Close()
	_, err := b.Do(t.Context(), command.Order{Deed: command.Type{Text: "3553.6"}})
	if !errors.Is(err, store.ErrNotSaved) {
		t.Errorf("got %v", err)
	}
	_, err = b.Arrived(update("tape", sample("3553.6"), time.Time{}))
	if !errors.Is(err, store.ErrNotSaved) {
		t.Errorf("a reading: %v", err)
	}
	if v := b.View(); v.Saved || v.Fault == "" || v.Seq != before.Seq || v.Current.Next.Reading != 1 || v.Gauges[0].LastText != "3553.6 mm" {
		t.Errorf("saved %v %q seq %d", v.Saved, v.Fault, v.Seq)
	}
}

// TestFailedCommitIsNotShown lets the transaction of a reading fail half way: the state goes back to what
// is stored.
func TestFailedCommitIsNotShown(t *testing.T) {
	dir := t.TempDir()
	b := openTest(t, dir, newClock())
	setUp(t, b, 1)
	do(t, b, command.Order{Deed: command.Start{}})
	before := b.View()
	db, err := sqlx.Open("sqlite", "file:"+filepath.Join(dir, "record.db"))
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	if _, err := db.Exec("CREATE TRIGGER half AFTER INSERT ON record BEGIN SELECT RAISE(ABORT, 'no room'); END"); err != nil {
		t.Fatal(err)
	}
	for range 2 {
		if _, err := b.Do(t.Context(), command.Order{Deed: command.Type{Text: "3553.6"}}); !errors.Is(err, store.ErrNotSaved) {
			t.Fatalf("got %v", err)
		}
		v := b.View()
		if v.Saved || v.Seq != before.Seq || v.Last != nil || v.Current.Next.Reading != 1 {
			t.Errorf("shown and not stored: %+v", v)
		}
		if batch, _ := b.Batch("B1"); len(batch.Ribs[0].Measurements) != 0 {
			t.Error("the batch has what is not stored")
		}
	}
	if _, err := db.Exec("DROP TRIGGER half"); err != nil {
		t.Fatal(err)
	}
	if err := b.Reopen(t.Context()); err != nil {
		t.Fatal(err)
	}
	do(t, b, command.Order{Deed: command.Type{Text: "3553.6"}})
	if v := b.View(); !v.Saved || v.Seq != before.Seq+1 {
		t.Errorf("opened again: %+v", v)
	}
}

// TestManyAtOnce is for the race detector: writers, readers and listeners together.
func TestManyAtOnce(t *testing.T) {
	b := start(t)
	var wg sync.WaitGroup
	for i := range 4 {
		wg.Go(func() {
			wake, stop := b.Listen()
			defer stop()
			for n := range 20 {
				switch i {
				case 0:
					_, _ = b.Do(context.Background(), command.Order{Deed: command.Type{Text: "3553.6"}})
					_, _ = b.Do(context.Background(), command.Order{Deed: command.Undo{}})
				case 1:
					_, _ = b.Arrived(update("caliper", sample([]string{"0.5", "0.25"}[n%2]), time.Time{}))
				default:
					v := b.View()
					for _, r := range v.Ribs {
						_ = r.Cells
					}
					if _, err := b.Batch("B1"); err != nil {
						t.Error(err)
					}
					select {
					case <-wake:
					default:
					}
				}
			}
		})
	}
	wg.Wait()
	if _, err := b.Verify(t.Context()); err != nil {
		t.Error(err)
	}
}
