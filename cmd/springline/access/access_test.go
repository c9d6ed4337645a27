package access_test

import (
	"context"
	"errors"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	"springline/cmd/springline/access"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session"
	"springline/session/command"
	"springline/session/log"
	"springline/session/show"
	"springline/session/store"
	"springline/session/web"
)

func config(dir string) session.Config { return session.Config{Dir: dir, Now: time.Now} }

// running serves a bench with a lot and a jig, as the bench command does, and gives its way out.
func running(t *testing.T, dir string) (stop func()) {
	t.Helper()
	b, err := session.Open(t.Context(), config(dir))
	if err != nil {
		t.Fatal(err)
	}
	l, err := web.Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	withdraw, err := access.Announce(dir, l.Addr())
	if err != nil {
		t.Fatal(err)
	}
	ctx, cancel := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- web.Serve(ctx, l, web.Config{Bench: b, Now: time.Now}) }()
	return func() {
		cancel()
		if err := errors.Join(<-done, withdraw(), b.Close()); err != nil {
			t.Error(err)
		}
	}
}

// A command through a running bench is on the record that the bench leaves, and what that
// bench refuses comes back as the very error that it gave.
func TestThroughARunningBench(t *testing.T) {
	dir := t.TempDir()
	stop := running(t, dir)
	d, err := access.Open(t.Context(), config(dir))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := d.Do(t.Context(), command.Order{Deed: command.Note{Text: "from beside"}}); err == nil {
		t.Error("a note without a batch was taken")
	} else {
		var ce *words.Refusal
		if !errors.As(err, &ce) || ce.Code != words.CodeNoBatch {
			t.Errorf("refused with %v, want code %q", err, words.CodeNoBatch)
		}
	}
	v, err := d.View(t.Context())
	if err != nil || v.Bench != "bench" || v.Seq == 0 {
		t.Errorf("view is of bench %q at %d: %v", v.Bench, v.Seq, err)
	}
	if err := d.Close(); err != nil {
		t.Error(err)
	}
	stop()
	if _, err := os.Stat(filepath.Join(dir, "page-address")); !os.IsNotExist(err) {
		t.Errorf("the page's address was left behind: %v", err)
	}
	alone, err := access.Open(t.Context(), config(dir))
	if err != nil {
		t.Fatalf("open the record after the bench ended: %v", err)
	}
	defer alone.Close()
	if v, err := alone.View(t.Context()); err != nil || v.Bench != "bench" {
		t.Errorf("view of the record alone: bench %q, %v", v.Bench, err)
	}
}

// Both doors do the same: the same commands leave the same state.
func TestBothDoorsDoTheSame(t *testing.T) {
	states := map[string]show.View{}
	for _, way := range []string{"alone", "beside"} {
		dir := t.TempDir()
		prepare(t, dir)
		stop := func() {}
		if way == "beside" {
			stop = running(t, dir)
		}
		d, err := access.Open(t.Context(), config(dir))
		if err != nil {
			t.Fatal(err)
		}
		for _, c := range []command.Order{
			{Sent: command.Sent{Key: "k1"}, Deed: command.Start{}}, {Sent: command.Sent{Key: "k2"}, Deed: command.Type{Text: "3550"}},
			{Sent: command.Sent{Key: "k2"}, Deed: command.Type{Text: "3550"}},
		} {
			if _, err := d.Do(t.Context(), c); err != nil {
				t.Fatalf("%s: %s: %v", way, c.Op(), err)
			}
		}
		v, err := d.View(t.Context())
		if err != nil {
			t.Fatal(err)
		}
		states[way] = v
		if err := d.Close(); err != nil {
			t.Error(err)
		}
		stop()
	}
	a, b := states["alone"], states["beside"]
	if a.Seq != b.Seq || a.Current == nil || b.Current == nil || a.Current.Action != b.Current.Action || a.Last == nil || b.Last == nil ||
		a.Last.Value != b.Last.Value {
		t.Errorf("alone %+v\nbeside %+v", a, b)
	}
}

// A record held by a program without a page, and an address that somebody else left, are refused.
func TestNoPageToAsk(t *testing.T) {
	for name, leave := range map[string]string{
		"nothing announced": "", "not this machine": "192.0.2.1:80", "no address": "hello", "nobody there": deadAddress(t),
	} {
		t.Run(name, func(t *testing.T) {
			dir := t.TempDir()
			b, err := session.Open(t.Context(), config(dir))
			if err != nil {
				t.Fatal(err)
			}
			defer b.Close()
			if leave != "" {
				if err := os.WriteFile(filepath.Join(dir, "page-address"), []byte(leave), 0o600); err != nil {
					t.Fatal(err)
				}
			}
			d, err := access.Open(t.Context(), config(dir))
			var open *store.OpenError
			if d != nil || !errors.As(err, &open) || open.Fault != store.FaultInUse {
				t.Errorf("opened %v with %v, want the folder in use", d, err)
			}
		})
	}
}

func deadAddress(t *testing.T) string {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// prepare puts a batch on record.
func prepare(t *testing.T, dir string) {
	t.Helper()
	b, err := session.Open(t.Context(), config(dir))
	if err != nil {
		t.Fatal(err)
	}
	defer b.Close()
	const mm = length.Millimetre
	target, err := qc.NewArch(qc.ArchSpec{
		ID: "shelter", Name: "shelter rib", Revision: 1, Bar: qc.Bar{Diameter: 12 * mm, Grade: "B500B", YieldMPa: 500},
		Leg: 900 * mm, Arc: 4200 * mm, Radius: 1600 * mm, Face: qc.Centre, TolTip: 12 * mm, TolCrown: 10 * mm, TipRepeats: 1,
	})
	if err != nil {
		t.Fatal(err)
	}
	gauge := qc.Gauge{ID: "tape", Name: "tape", Kind: qc.Tape, Class: "I", Unit: "mm", Resolution: mm / 2,
		Measures: []qc.Kind{qc.TipToTip, qc.CrownHeight}}
	ctx := t.Context()
	for _, err := range []error{
		b.Set(ctx, command.StateGauge(log.GaugeSetup{Gauge: gauge}.Stated())), b.Set(ctx, command.TargetDeed(target)),
		b.Set(ctx, command.LotDeed(qc.Lot{ID: "lot-1"})), b.Set(ctx, command.JigDeed(qc.Jig{ID: "jig-1", FaceRadius: 900 * length.Millimetre})),
		b.Set(ctx, command.BatchSetup{ID: "B1", Planned: 4, Target: "shelter", Revision: 1,
			Jig: "jig-1", Lot: "lot-1", Decision: qc.DefaultDecision}.Deed()),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
}
