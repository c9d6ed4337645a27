package device

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"
	"sync"
	"sync/atomic"
	"time"

	"springline/device/port"
	"springline/device/wire"
	"springline/qc/words"
)

// source keeps one gauge connected. Its loop is the only one to touch the decoder.
type source struct {
	hub      *Hub
	gauge    Gauge // Identity is read through the binder: a claim may change it
	recorder *Recorder
	query    chan struct{}
	reopen   chan struct{} // the binding may have changed: look again
	tape     *tape         // of a replay, kept from opening to opening
	cancel   context.CancelFunc
	done     chan struct{}

	opens, wakes atomic.Uint64
	lost         atomic.Uint64 // readings nobody took at the stop

	mu     sync.Mutex
	state  State
	reason string
	unsure words.WhichGauge
	drops  []time.Duration
	keys   *keyFeed

	others  []Gauge // more gauges on the same line, told apart by their channels
	channel string  // the first channel seen, where the gauge's own was not said
}

// run connects, reads and reconnects until the context ends or a replay is over.
func (s *source) run(ctx context.Context) {
	defer close(s.done)
	defer func() {
		if ctx.Err() != nil {
			s.setState(ctx, StateEnded, "disconnected")
		}
	}()
	s.setState(ctx, StateConnecting, "")
	for attempt := 0; ctx.Err() == nil; attempt++ {
		before := s.hub.binder.fingerprint(s.gauge)
		c, err := s.open(ctx)
		if err != nil {
			s.setState(ctx, stateOf(err), err.Error())
			if s.pause(ctx, attempt, err, before) {
				attempt = -1
			}
			continue
		}
		s.setState(ctx, StateReading, strings.Join(c.Notes(), "; "))
		err = s.read(ctx, c)
		closeErr := c.Close()
		s.recorder.gone(c.Now())
		switch {
		case ctx.Err() != nil:
			return
		case errors.Is(err, errReplayEnd):
			s.setState(ctx, StateEnded, "the recording came to its end")
			return
		case errors.Is(err, errRebound):
			attempt = -1
			s.setState(ctx, StateConnecting, err.Error())
			continue
		}
		s.countDrop()
		s.setState(ctx, StateGone, errors.Join(err, closeErr).Error()+s.shieldHint())
		attempt = 0
		if s.pause(ctx, 0, err, s.hub.binder.fingerprint(s.gauge)) {
			attempt = -1
		}
	}
}

// stateOf maps the error of an opening to what is shown.
func stateOf(err error) State {
	switch port.CodeOf(err) {
	case port.Busy:
		return StateBusy
	case port.NoPermission:
		return StateNoPermission
	case port.Missing, port.Unreachable, port.Gone:
		return StateGone
	}
	return StateError
}

func (s *source) open(ctx context.Context) (connection, error) {
	now := s.hub.cfg.Clock.Now
	if s.gauge.Kind == Keyboard {
		k := newKeyFeed(now)
		s.mu.Lock()
		s.keys = k
		s.mu.Unlock()
		s.opens.Add(1)
		return k, nil
	}
	addr, unsure, err := s.hub.binder.locate(s.gauge)
	s.mu.Lock()
	s.unsure = unsure
	s.mu.Unlock()
	if err != nil {
		return nil, err
	}
	o := port.Options{Mode: s.gauge.Mode, LockDir: s.hub.cfg.LockDir, Now: now, Generation: s.opens.Load() + 1}
	var p *port.Port
	if addr.Kind == port.Replay {
		p, err = s.openReplay(addr, o)
	} else {
		p, err = port.Open(ctx, addr, o)
	}
	if err != nil {
		return nil, err
	}
	s.opens.Add(1)
	s.hub.binder.opened(s.gauge.ID, addr)
	return p, nil
}

// errRebound ends a connection that is sound but no longer the right one.
var errRebound = errors.New("the port is no longer that of this gauge")

const (
	checkEvery = 2 * time.Second
	// maxStill checks without a turn of the reader: 3 times 2 s is past the 5 s allowed, and a serial
	// reader turns several times a second.
	maxStill = 3
)

// read decodes one connection until it is gone. Each connection has a fresh decoder, so the rule for
// the first bytes after opening holds each time.
func (s *source) read(ctx context.Context, c connection) error {
	dec, err := wire.NewDecoder(s.gauge.Format)
	if err != nil {
		return err
	}
	if u := s.boundUnit(); u != "" {
		dec.BindUnit(u)
	}
	s.recorder.open(c.Opened())
	r := &reader{source: s, conn: c, dec: dec, number: s.opens.Load()}
	check := time.NewTicker(checkEvery)
	defer check.Stop()
	tick := time.NewTimer(time.Hour)
	defer tick.Stop()
	pulse := pulse{beats: c.Beats()}
	for {
		r.arm(tick)
		select {
		case <-ctx.Done():
			r.drain()
			return ctx.Err()
		case chunk, ok := <-c.Chunks():
			if !ok {
				r.finish()
				return c.Err()
			}
			s.wakes.Add(1)
			r.feed(ctx, chunk)
		case <-tick.C:
			s.wakes.Add(1)
			r.tick(ctx)
		case <-s.query:
			if err := r.ask(ctx); err != nil {
				return err
			}
		case <-s.reopen:
			if !s.hub.binder.still(s.gauge) {
				return errRebound
			}
			s.settled(ctx)
		case <-check.C:
			s.wakes.Add(1)
			if !s.hub.binder.still(s.gauge) {
				return errRebound
			}
			if pulse.hangs(c.Beats()) && s.serialLine() {
				return &port.Error{Code: port.Gone, Addr: s.gauge.Address, Cause: "the port's driver hangs", Do: "unplug the gauge"}
			}
		}
	}
}

// pulse watches the turns of a port's reader.
type pulse struct {
	beats uint64
	still int
}

// hangs reports, asked every checkEvery, that the reader has not turned for too long, be it from the start.
func (p *pulse) hangs(beats uint64) bool {
	if beats != p.beats {
		p.still, p.beats = 0, beats
		return false
	}
	p.still++
	return p.still >= maxStill
}

// boundUnit is the unit in which samples count by themselves, where the format leaves it open.
func (s *source) boundUnit() string {
	if strings.Contains(s.gauge.Format.Unit, ":") {
		return ""
	}
	return s.gauge.Unit
}

// serialLine: only the reader of a serial line turns while nothing comes.
func (s *source) serialLine() bool {
	a, err := port.ParseAddress(s.gauge.Address)
	return !s.gauge.Identity.IsZero() || err == nil && a.Kind == port.TTY
}

// pause waits before the next attempt. It ends early, and tells so, when the device's node changed or a
// port was plugged in somewhere; before is the node as it was when the attempt began.
func (s *source) pause(ctx context.Context, attempt int, cause error, before string) (news bool) {
	r := s.hub.cfg.Retry
	most := r.Max
	switch port.CodeOf(cause) {
	case port.Busy:
		most = r.BusyMax
	case port.Unreachable:
		most = r.NetworkMax
	}
	plug, end := s.hub.watcher.Subscribe()
	defer end()
	timer := time.NewTimer(r.wait(attempt, most, s.hub.cfg.Random()))
	defer timer.Stop()
	look := time.NewTicker(r.Look)
	defer look.Stop()
	for {
		select {
		case <-ctx.Done():
			return false
		case <-timer.C:
			s.wakes.Add(1)
			return false
		case <-s.reopen:
			return true
		case <-plug:
			s.wakes.Add(1)
			// The node or its permissions may follow the event a little later: the caller starts over
			// with short waits.
			if !sleep(ctx, 20*time.Millisecond) {
				return false
			}
			return true
		case <-look.C:
			s.wakes.Add(1)
			if s.hub.binder.fingerprint(s.gauge) != before {
				return true
			}
		}
	}
}

func sleep(ctx context.Context, d time.Duration) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-ctx.Done():
		return false
	}
}

// setState tells a change once.
func (s *source) setState(ctx context.Context, st State, reason string) {
	s.mu.Lock()
	same := s.state == st && s.reason == reason
	s.state, s.reason = st, reason
	unsure := s.unsure
	s.mu.Unlock()
	if !same {
		s.tell(ctx, Update{State: st, Reason: reason, Unsure: unsure})
	}
}

// ask makes the loop ask its gauge; asking again before the question went out is one question.
func (s *source) ask() {
	select {
	case s.query <- struct{}{}:
	default:
	}
}

// refresh makes the loop look at its binding again.
func (s *source) refresh() {
	select {
	case s.reopen <- struct{}{}:
	default:
	}
}

// settled tells that the gauge of this port is certain now, or no longer.
func (s *source) settled(ctx context.Context) {
	unsure := s.hub.binder.unsure(s.gauge.ID)
	s.mu.Lock()
	same := s.unsure == unsure
	s.unsure = unsure
	u := Update{State: s.state, Reason: s.reason, Unsure: unsure}
	s.mu.Unlock()
	if !same {
		s.tell(ctx, u)
	}
}

// tell tells the same of all gauges on the line.
func (s *source) tell(ctx context.Context, u Update) {
	for _, id := range s.ids() {
		u.Gauge = id
		s.hub.deliver(ctx, s, u)
	}
}

// Three losses within ten minutes hint at noise on the cable.
const (
	noiseWindow = 10 * time.Minute
	noiseDrops  = 3
)

func (s *source) countDrop() {
	at, _ := s.hub.cfg.Clock.stamp(s.hub.cfg.Clock.Now())
	s.mu.Lock()
	defer s.mu.Unlock()
	s.drops = slices.DeleteFunc(append(s.drops, at), func(t time.Duration) bool { return at-t > noiseWindow })
}

func (s *source) shieldHint() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	n := len(s.drops)
	if n < noiseDrops {
		return ""
	}
	return fmt.Sprintf("; lost %d times in 10 minutes: try a shielded or shorter cable, or a ferrite, away from welding and motors", n)
}
