package main

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"time"

	"springline/cmd/springline/access"
	"springline/session"
)

// onBench finds what the record in the data folder has for a gauge's id or address, and the way to the bench
// that runs there; nil where none runs. Without a record there is nothing to find, which is no error.
func onBench(ctx context.Context, sys system, data, what string) (found session.Connection, held access.Way, err error) {
	if _, err := os.Stat(data); err != nil {
		return found, nil, nil
	}
	cfg := recordIn(sys, data)
	b, err := session.OpenReadOnly(ctx, cfg)
	if err != nil {
		return found, nil, nil // what is there is no record, or not one for this version: the port can be watched all the same
	}
	for _, c := range b.Connections() {
		if c.ID == what || c.Address != "" && samePort(c.Address, what) {
			found = c
		}
	}
	if err := b.Close(); err != nil || found.ID == "" {
		return found, nil, err
	}
	d, err := access.Open(ctx, cfg)
	if err != nil || access.Beside(d) {
		return found, d, err
	}
	return found, nil, d.Close()
}

func samePort(a, b string) bool {
	if a == b {
		return true
	}
	x, errX := filepath.EvalSymlinks(a)
	y, errY := filepath.EvalSymlinks(b)
	return errX == nil && errY == nil && x == y
}

// askBench is how often a running bench is asked what it received.
const askBench = 200 * time.Millisecond

// watchBench shows what a running bench receives from a gauge: each change of its state, each value as the
// page shows it, and what the bench noted about it. The bytes of a frame are in the bench's own recording.
func watchBench(ctx context.Context, sys system, d access.Way, c session.Connection, count int, asJSON bool) error {
	if !asJSON {
		fmt.Fprintf(sys.err, "a running bench reads %s at %s; this is what it receives\n", c.ID, c.Address)
	}
	tick := time.NewTicker(askBench)
	defer tick.Stop()
	var state string
	var received int64
	told := int64(-1) // last record that a notice was shown of; what was told before is not shown
	for values := 0; ; {
		v, err := d.View(ctx)
		if ctx.Err() != nil && err != nil {
			return nil
		}
		if err != nil {
			return err
		}
		w := watched{Time: sys.now()}
		for _, g := range v.Gauges {
			if g.ID != c.ID {
				continue
			}
			if now := g.State + g.Detail; now != state {
				state, w.State, w.Reason = now, g.State, g.Detail
				if err := w.show(sys, asJSON); err != nil {
					return err
				}
				w.State, w.Reason = "", ""
			}
			if g.Received > received && g.Value != "" {
				w.Value, w.Unit = g.Value, g.Unit
				if err := w.benchValue(sys, asJSON); err != nil {
					return err
				}
				if values++; values == count {
					return nil
				}
			}
			received = g.Received
		}
		for i, n := range slices.Backward(v.Told) {
			if told >= 0 && n.Seq > told && n.Gauge == c.ID {
				if err := (watched{Time: w.Time, State: "noted", Reason: v.Notices[i]}).show(sys, asJSON); err != nil {
					return err
				}
			}
		}
		told = v.Seq
		select {
		case <-ctx.Done():
			return nil
		case <-tick.C:
		}
	}
}

// benchValue shows a value of which the bench has judged already whether it counts.
func (w watched) benchValue(sys system, asJSON bool) error {
	if asJSON {
		return writeJSONLine(sys.out, w)
	}
	_, err := fmt.Fprintf(sys.out, "%s  %s\n", w.Time.Format("15:04:05.000"), strings.TrimSpace(w.Value+" "+w.Unit))
	return err
}
