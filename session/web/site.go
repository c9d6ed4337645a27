package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"time"

	"springline/device"
	"springline/qc"
	"springline/session"
	"springline/session/command"
	"springline/session/show"
)

// Bench is what the page needs of the bench: *session.Bench, or a bench in a chosen state in the
// page's own tests.
type Bench interface {
	View() show.View
	// Listen gives a channel that is signalled after every change; signals may merge.
	Listen() (wake <-chan struct{}, stop func())
	// Since gives up to limit records after a point of the record.
	Since(ctx context.Context, epoch, seq int64, limit int) ([]session.Stored, error)
	Do(ctx context.Context, c command.Order) (command.Ack, error)
	Batch(id string) (qc.Batch, error)
	Partners(rib string) ([]show.PartnerView, error)
	RunOrder(first, last string) (show.OrderView, error)
}

// Config is what a page is made of. Bench, Addr and Now are needed.
type Config struct {
	Bench Bench
	// Reports writes the report on a batch as pdf, html, csv or json. Without it there are no report
	// links.
	Reports func(format string, batch qc.Batch, w io.Writer) error
	// Software is the name and version that jig sheets carry.
	Software string
	// Keyboards names the gauges that type into the page; Keys takes what one of them typed, with the
	// moment of each key. Both or neither.
	Keyboards func() []string
	Keys      func(ctx context.Context, gauge string, keys []device.Key) error
	// Asked names the gauges that send when they are asked, which is an act. Acts and Asked may be nil.
	Asked func() []string
	Acts  GaugeActs
	// Addr is the loopback address and port that browsers use; [Serve] fills it in.
	Addr string
	// Now is the clock for write deadlines.
	Now func() time.Time
	// Beat is the time between heartbeats of the event stream; 15 s when zero.
	Beat time.Duration
	// Stall is how long one event may take to write before a slow reader is cut; 5 s when zero.
	Stall time.Duration
	// Warn is told of faults that the browser is not; may be nil.
	Warn func(what string, cause any)
}

// Defaults of the event stream.
const (
	defaultBeat  = 15 * time.Second
	defaultStall = 5 * time.Second
)

type site struct {
	cfg     Config
	bench   Bench
	reports func(format string, batch qc.Batch, w io.Writer) error
	now     func() time.Time
	beat    time.Duration
	stall   time.Duration
	warn    func(what string, cause any)
	hosts   map[string]bool
	assets  map[string]asset
	streams chan struct{} // a slot for each open event stream
	report  chan struct{} // one report is made at a time
}

// New makes the page's handler. The error says which part of cfg is missing or not allowed.
func New(cfg Config) (http.Handler, error) {
	if cfg.Bench == nil || cfg.Now == nil {
		return nil, errors.New("make the page: a bench and a clock are needed")
	}
	if (cfg.Keyboards == nil) != (cfg.Keys == nil) {
		return nil, errors.New("make the page: keyboard gauges need both their names and somewhere to send their keys")
	}
	hosts, err := ownHosts(cfg.Addr)
	if err != nil {
		return nil, fmt.Errorf("make the page for %q: %w", cfg.Addr, err)
	}
	assets, err := loadAssets()
	if err != nil {
		return nil, fmt.Errorf("make the page: %w", err)
	}
	s := &site{
		cfg: cfg, bench: cfg.Bench, reports: cfg.Reports, now: cfg.Now, beat: cfg.Beat, stall: cfg.Stall, warn: cfg.Warn,
		hosts: hosts, assets: assets,
		streams: make(chan struct{}, maxStreams), report: make(chan struct{}, 1),
	}
	if s.beat <= 0 {
		s.beat = defaultBeat
	}
	if s.stall <= 0 {
		s.stall = defaultStall
	}
	if s.warn == nil {
		s.warn = func(string, any) {}
	}
	return s.guard(s.routes()), nil
}
