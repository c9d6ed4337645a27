package wiring

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"sync"
	"time"

	"github.com/rs/zerolog"

	"springline/cmd/springline/access"
	"springline/cmd/springline/job"
	"springline/device"
	"springline/device/port"
	"springline/device/wire"
	"springline/qc"
	"springline/reports"
	"springline/reports/typeset"
	"springline/session"
	"springline/session/command"
	"springline/session/web"
)

// Config is what a bench is put together from.
type Config struct {
	Dir      string   // data folder, made when it is not there
	Job      *job.Job // what to set up; nil takes the record as it is
	Software string
	Now      func() time.Time
	Start    time.Time // when the process began
	Log      zerolog.Logger
	Record   string // folder for recordings of every connected gauge; empty records nothing
}

// Wired is a bench with its gauges connected.
type Wired struct {
	Bench *session.Bench
	Hub   *device.Hub

	cfg       Config
	recorders []io.Closer
	pump      sync.WaitGroup
	following sync.WaitGroup
	unfollow  func() // ends it
	closing   sync.Once
	closed    error
}

// Open opens the record, sets the job up and connects the gauges. Gauges that cannot be reached yet are
// no error: they are looked for and the page says how each is doing.
func Open(ctx context.Context, c Config) (*Wired, error) {
	sc := session.Config{Dir: c.Dir, Software: c.Software, Now: c.Now, Log: c.Log}
	if c.Job != nil {
		sc.Bench = c.Job.Bench
	}
	b, err := session.Open(ctx, sc)
	if err != nil {
		return nil, err
	}
	w := &Wired{Bench: b, cfg: c}
	if err := w.connect(ctx); err != nil {
		return nil, errors.Join(err, w.Close())
	}
	return w, nil
}

// PortLocks is the folder of the lock files by which programs of ours keep off each other's ports.
func PortLocks() (string, error) {
	return port.LockFolder(os.TempDir(), os.Getenv("XDG_RUNTIME_DIR"), fmt.Sprintf("/run/user/%d", os.Geteuid()))
}

func (w *Wired) connect(ctx context.Context) error {
	locks, err := PortLocks()
	if err != nil {
		return err
	}
	hub, err := device.NewHub(device.Config{
		Clock:   device.Clock{Now: w.cfg.Now, Start: w.cfg.Start},
		LockDir: locks,
	})
	if err != nil {
		return err
	}
	w.Hub = hub
	w.pump.Go(func() {
		for u := range hub.Updates() {
			w.tell(u)
			if _, err := w.Bench.Arrived(u); err != nil {
				w.cfg.Log.Error().Err(err).Str("gauge", u.Gauge).Msg("a reading was not stored")
			}
		}
	})
	if w.cfg.Job != nil {
		if err := apply(ctx, w.Bench, *w.cfg.Job); err != nil {
			return err
		}
	}
	return w.follow()
}

// tell logs what a gauge suffers from, with what to do.
func (w *Wired) tell(u device.Update) {
	switch u.State {
	case device.StateGone, device.StateBusy, device.StateNoPermission, device.StateError:
		if u.Reading == nil {
			w.cfg.Log.Warn().Str("gauge", u.Gauge).Str("state", string(u.State)).Msg(u.Reason)
		}
	}
}

// Close disconnects the gauges, stores what they still sent and closes the record. Closing again does nothing
// and gives the same answer.
func (w *Wired) Close() error {
	w.closing.Do(func() { w.closed = w.close() })
	return w.closed
}

func (w *Wired) close() error {
	var errs []error
	if w.unfollow != nil {
		w.unfollow()
		w.following.Wait()
	}
	if w.Hub != nil {
		errs = append(errs, w.Hub.Stop())
		w.pump.Wait()
	}
	for _, c := range w.recorders {
		errs = append(errs, c.Close())
	}
	return errors.Join(append(errs, w.Bench.Close())...)
}

// Serve answers the bench page on l until ctx ends. While it does, other verbs find the bench by the data
// folder.
func (w *Wired) Serve(ctx context.Context, l net.Listener) error {
	withdraw, err := access.Announce(w.cfg.Dir, l.Addr())
	if err != nil {
		l.Close()
		return err
	}
	served := web.Serve(ctx, l, web.Config{
		Bench: w.Bench, Reports: w.report, Software: w.cfg.Software, Now: w.cfg.Now,
		Keyboards: func() []string { return w.gaugesOf(wire.Keyboard) }, Keys: w.Hub.Keys,
		Asked: func() []string { return w.gaugesOf(wire.Query) }, Acts: w.acts(),
		Warn: func(what string, cause any) { w.cfg.Log.Warn().Interface("cause", cause).Msg(what) },
	})
	return errors.Join(served, withdraw())
}

// report writes the report on a batch for the page.
func (w *Wired) report(form string, b qc.Batch, to io.Writer) error {
	return reports.WriteBatch(to, b, w.cfg.Software, form, typeset.A4)
}

// acts is what the page can have done to a gauge: ask it for a reading, find it by its send key among
// adapters that look alike, or settle that the port now read is its port.
func (w *Wired) acts() web.GaugeActs {
	return web.GaugeActs{"ask": w.Hub.Query, "find": w.Hub.Claim, "settle": w.Hub.Confirm}
}

// gaugesOf names the connected gauges of a frame family: keyboard, those that type into the page, and
// query, those that are asked.
func (w *Wired) gaugesOf(family string) []string {
	var ids []string
	for _, s := range w.Hub.Status() {
		if s.Gauge.Format.Family == family && (family != wire.Keyboard || s.Gauge.Kind == device.Keyboard) {
			ids = append(ids, s.Gauge.ID)
		}
	}
	return ids
}

// apply puts a job on record; what is there already records nothing.
func apply(ctx context.Context, b *session.Bench, j job.Job) error {
	for _, g := range j.Gauges {
		if err := b.Set(ctx, command.StateGauge(g.Stated())); err != nil {
			return err
		}
	}
	for _, l := range j.Lots {
		if err := b.Set(ctx, command.LotDeed(l)); err != nil {
			return err
		}
	}
	if err := b.Set(ctx, command.JigDeed(j.Jig)); err != nil {
		return err
	}
	if err := b.Set(ctx, command.TargetDeed(j.Target)); err != nil {
		return err
	}
	lot := j.Batch.Lot
	if lot == "" {
		lot = j.Lots[0].ID
	}
	err := b.Set(ctx, command.BatchSetup{
		ID: j.Batch.ID, Title: j.Batch.Title, Place: j.Batch.Place, Maker: j.Batch.Maker, Planned: j.Batch.Planned,
		Target: j.Target.ID, Revision: j.Target.Revision, Decision: j.Batch.Decision, Jig: j.Jig.ID, Lot: lot, CheckedOnly: j.Batch.CheckedOnly,
	}.Deed())
	if err == nil && j.Batch.Pairing != nil {
		err = b.Set(ctx, command.PairRuleDeed(*j.Batch.Pairing))
	}
	return err
}
