package device

import (
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"sync"
	"time"

	"springline/device/port"
	"springline/device/wire"
	"springline/qc/words"
)

// Config of a Hub. Clock is required.
type Config struct {
	Clock   Clock
	Sysfs   port.Sysfs     // zero: the running system
	LockDir string         // folder of the lock files; "" locks nothing
	Queue   int            // updates held for the reader of Updates; 0 means 256
	Retry   Retry          // zero: 0.25 s to 5 s
	Random  func() float64 // 0..1, spreads the retries; nil means math/rand/v2
}

// Hub keeps several gauges connected and delivers their updates on one channel.
type Hub struct {
	cfg     Config
	updates chan Update
	watcher *port.Watcher
	binder  *binder
	stop    chan struct{} // closed by Stop; from then delivery is bounded
	running sync.WaitGroup

	mu      sync.Mutex
	sources map[string]*source
	stopped bool
}

// NewHub starts looking for ports; gauges are given to Add.
func NewHub(c Config) (*Hub, error) {
	if c.Clock.Now == nil {
		return nil, errors.New("device hub: no clock was given")
	}
	if c.Queue <= 0 {
		c.Queue = 256
	}
	if c.Random == nil {
		c.Random = rand.Float64
	}
	c.Retry = c.Retry.withDefaults()
	return &Hub{cfg: c, updates: make(chan Update, c.Queue), watcher: port.Watch(c.Sysfs, 0),
		binder: newBinder(c.Sysfs), stop: make(chan struct{}), sources: map[string]*source{}}, nil
}

// Updates delivers what happens to the gauges. It must be read until it is closed, which Stop does: a
// full channel makes the gauges wait, it never drops a reading.
func (h *Hub) Updates() <-chan Update { return h.updates }

// Add starts a gauge. The recorder may be nil.
func (h *Hub) Add(g Gauge, rec *Recorder) error {
	if err := g.Validate(); err != nil {
		return err
	}
	if g.Kind == TypedIn {
		return nil // nothing to connect
	}
	if _, err := wire.NewDecoder(g.Format); err != nil {
		return fmt.Errorf("gauge %q: %w", g.ID, err)
	}
	shared, err := h.enter(g, rec)
	if err != nil || shared == nil {
		return err
	}
	shared.mu.Lock()
	u := Update{Gauge: g.ID, State: shared.state, Reason: shared.reason, Unsure: shared.unsure}
	shared.mu.Unlock()
	h.deliver(context.Background(), shared, u)
	return nil
}

// enter starts a source for a gauge, or gives the one whose line it shares.
func (h *Hub) enter(g Gauge, rec *Recorder) (*source, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	switch _, there := h.sources[g.ID]; {
	case h.stopped:
		return nil, fmt.Errorf("gauge %q: the devices are stopped", g.ID)
	case there:
		return nil, fmt.Errorf("gauge %q is connected already: remove it first", g.ID)
	}
	shared, err := h.sharing(g)
	if err != nil {
		return nil, err
	}
	if shared != nil {
		shared.mu.Lock()
		shared.others = append(shared.others, g)
		shared.mu.Unlock()
		h.sources[g.ID] = shared
		return shared, nil
	}
	ctx, cancel := context.WithCancel(context.Background())
	s := &source{hub: h, gauge: g, recorder: rec, cancel: cancel, done: make(chan struct{}),
		query: make(chan struct{}, 1), reopen: make(chan struct{}, 1)}
	h.sources[g.ID] = s
	h.binder.add(g)
	h.running.Go(func() { s.run(ctx) })
	return nil, nil
}

// Remove disconnects a gauge and waits for it, at most two seconds. Gauges that share its line are
// connected anew.
func (h *Hub) Remove(id string) error {
	h.mu.Lock()
	s, ok := h.sources[id]
	if !ok {
		h.mu.Unlock()
		return unknown(id)
	}
	stay := slices.DeleteFunc(s.members(), func(m Gauge) bool { return m.ID == id })
	delete(h.sources, id)
	for _, m := range stay {
		delete(h.sources, m.ID)
	}
	h.mu.Unlock()
	h.binder.remove(s.gauge.ID)
	s.cancel()
	if !within(stopBound, s.done) {
		return fmt.Errorf("gauge %q: its port did not let go within %v", id, stopBound)
	}
	for _, m := range stay {
		if err := h.Add(m, s.recorder); err != nil {
			return err
		}
	}
	return nil
}

const (
	stopBound  = 2 * time.Second
	flushBound = 500 * time.Millisecond // for readings not yet taken at the stop
)

// Stop disconnects all gauges and closes Updates, within two seconds even if a port hangs. The error
// tells how many readings nobody took, or which gauge did not let go.
func (h *Hub) Stop() error {
	h.mu.Lock()
	if h.stopped {
		h.mu.Unlock()
		return nil
	}
	h.stopped = true
	sources := h.sorted()
	h.mu.Unlock()
	for _, s := range sources {
		s.cancel()
	}
	flush := time.AfterFunc(flushBound, func() { close(h.stop) })
	all := make(chan struct{})
	go func() {
		h.running.Wait()
		close(all)
	}()
	var errs []error
	if within(stopBound-100*time.Millisecond, all) {
		flush.Stop()
		close(h.updates)
	} else {
		for _, s := range sources {
			if !within(0, s.done) {
				errs = append(errs, fmt.Errorf("gauge %q: its port did not let go", s.gauge.ID))
			}
		}
	}
	for _, s := range sources {
		if n := s.lost.Load(); n > 0 {
			errs = append(errs, fmt.Errorf("gauge %q: %d readings were not taken before the stop", s.gauge.ID, n))
		}
	}
	h.watcher.Close()
	return errors.Join(errs...)
}

func within(d time.Duration, done <-chan struct{}) bool {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-done:
		return true
	case <-t.C:
		select {
		case <-done:
			return true
		default:
			return false
		}
	}
}

// deliver waits until the update is taken. A change of state is given up when the gauge is stopped; a
// reading is tried until the flush bound of Stop has passed, and then counted as lost.
func (h *Hub) deliver(ctx context.Context, s *source, u Update) {
	select {
	case h.updates <- u:
		return
	default:
	}
	if u.Reading == nil {
		select {
		case h.updates <- u:
		case <-ctx.Done():
		case <-h.stop:
		}
		return
	}
	select {
	case h.updates <- u:
	case <-h.stop:
		s.lost.Add(1)
	}
}

// Status is a gauge's present state with its counters.
type Status struct {
	Gauge  Gauge
	State  State
	Reason string
	Unsure words.WhichGauge
	Opens  uint64 // openings of the port so far
	Wakes  uint64 // times the gauge's loop had something to do
}

// Status lists the gauges by id.
func (h *Hub) Status() []Status {
	h.mu.Lock()
	sources := h.sorted()
	h.mu.Unlock()
	out := make([]Status, 0, len(sources))
	for _, s := range sources {
		members := s.members()
		s.mu.Lock()
		st := Status{State: s.state, Reason: s.reason, Unsure: s.unsure, Opens: s.opens.Load(), Wakes: s.wakes.Load()}
		s.mu.Unlock()
		for _, st.Gauge = range members {
			if id, ok := h.binder.identity(s.gauge.ID); ok {
				st.Gauge.Identity = id
			}
			out = append(out, st)
		}
	}
	slices.SortFunc(out, func(a, b Status) int { return strings.Compare(a.Gauge.ID, b.Gauge.ID) })
	return out
}

// sorted gives the sources by the id of their first gauge, each once. The caller holds mu.
func (h *Hub) sorted() []*source {
	var all []*source
	for _, s := range h.sources {
		if !slices.Contains(all, s) {
			all = append(all, s)
		}
	}
	slices.SortFunc(all, func(a, b *source) int { return strings.Compare(a.gauge.ID, b.gauge.ID) })
	return all
}

// Query asks a gauge of the query family for a reading. Asking again before it went out is one query.
func (h *Hub) Query(id string) error {
	s, err := h.source(id)
	if err != nil {
		return err
	}
	s.ask()
	return nil
}

// Key is one key of a keyboard gauge: the character it types (Enter is '\r') and when it was pressed,
// counted from any fixed moment.
type Key struct {
	Char byte
	At   time.Duration
}

// Keys hands over keys that a keyboard gauge typed. The last one counts as pressed now, the others as
// long before it as their times say.
func (h *Hub) Keys(ctx context.Context, id string, keys []Key) error {
	s, err := h.source(id)
	if err != nil {
		return err
	}
	s.mu.Lock()
	feed := s.keys
	s.mu.Unlock()
	if feed == nil {
		return fmt.Errorf("gauge %q is no keyboard gauge", id)
	}
	if len(keys) == 0 {
		return nil
	}
	now, last := h.cfg.Clock.Now(), keys[len(keys)-1].At
	for _, k := range keys {
		if err := feed.push(ctx, port.Chunk{At: now.Add(min(0, k.At-last)), Data: []byte{k.Char}}); err != nil {
			return err
		}
	}
	return nil
}

// Confirm says that the port now read is the gauge's: a person has seen it. Its readings count again,
// and those of its twin if that is the last one left over.
func (h *Hub) Confirm(id string) error {
	settled, err := h.binder.confirm(id)
	if err != nil {
		return err
	}
	h.refresh(settled)
	return nil
}

// refresh makes the gauges look at their binding again.
func (h *Hub) refresh(ids []string) {
	for _, id := range ids {
		if s, err := h.source(id); err == nil { // else removed meanwhile
			s.refresh()
		}
	}
}

// Claim asks for the send key of a gauge to be pressed: the next sample from it or one of its twins
// tells which socket it is in. The sample itself does not count. If the twins were exchanged their
// sockets are exchanged here too; updates with Identity say so.
func (h *Hub) Claim(id string) error {
	if _, err := h.source(id); err != nil {
		return err
	}
	return h.binder.claim(id)
}

// tellMoved tells the new identity of gauges that a claim has moved and sends them to their sockets.
func (h *Hub) tellMoved(ctx context.Context, by *source, ids []string) {
	for _, id := range ids {
		s, err := h.source(id)
		if err != nil {
			continue // removed meanwhile
		}
		ident, _ := h.binder.identity(id)
		s.mu.Lock()
		u := Update{Gauge: id, State: s.state, Reason: "found in another socket", Identity: &ident}
		s.mu.Unlock()
		h.deliver(ctx, by, u)
		s.refresh()
	}
}

func (h *Hub) source(id string) (*source, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	s, ok := h.sources[id]
	if !ok {
		return nil, unknown(id)
	}
	return s, nil
}

func unknown(id string) error { return fmt.Errorf("gauge %q is not connected here", id) }
