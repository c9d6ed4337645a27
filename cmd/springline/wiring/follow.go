package wiring

import (
	"errors"
	"fmt"

	"springline/device"
	"springline/session"
)

// follow connects the gauges that the record has in use and keeps to it: a gauge that is put on record,
// changed or taken out of use while the bench runs is connected, connected anew or let go at once. A gauge
// that cannot be connected as it starts is an error where the job states it, else a warning: one that the
// record remembers from an earlier job may stand where another stands now.
func (w *Wired) follow() error {
	f := &follower{wired: w, connected: map[string]session.Connection{}, recorded: map[string]bool{}}
	stated := map[string]bool{}
	if w.cfg.Job != nil {
		for _, g := range w.cfg.Job.Gauges {
			stated[g.ID] = true
		}
	}
	var errs []error
	list := w.Bench.Connections()
	for _, first := range []bool{true, false} { // the job's own gauges go before those remembered
		for _, c := range list {
			if stated[c.ID] != first {
				continue
			}
			if err := f.connect(c); err != nil && first {
				errs = append(errs, err)
			} else if err != nil {
				f.warn(c.ID, err)
			}
		}
	}
	if err := errors.Join(errs...); err != nil {
		return err
	}
	wake, stop := w.Bench.Listen()
	end := make(chan struct{})
	w.unfollow = func() { stop(); close(end) }
	w.following.Go(func() {
		for {
			select {
			case <-end:
				return
			case _, ok := <-wake:
				if !ok {
					return
				}
				f.update(w.Bench.Connections())
			}
		}
	})
	return nil
}

type follower struct {
	wired     *Wired
	connected map[string]session.Connection // as tried, so that a failure is told once
	recorded  map[string]bool               // lines with a recording: gauges that share one are one recording
}

func (f *follower) warn(id string, err error) {
	f.wired.cfg.Log.Warn().Err(err).Str("gauge", id).Msg("the gauge is not connected")
}

// update makes the connections those of the list.
func (f *follower) update(list []session.Connection) {
	wanted := map[string]bool{}
	for _, c := range list {
		wanted[c.ID] = true
	}
	for id := range f.connected {
		if !wanted[id] {
			f.letGo(id)
		}
	}
	for _, c := range list {
		old, there := f.connected[c.ID]
		if there && sameConnection(old, c) {
			continue
		}
		if there {
			f.letGo(c.ID)
		}
		if err := f.connect(c); err != nil {
			f.warn(c.ID, err)
		}
	}
}

func (f *follower) letGo(id string) {
	delete(f.connected, id)
	if err := f.wired.Hub.Remove(id); err != nil {
		f.wired.cfg.Log.Warn().Err(err).Str("gauge", id).Msg("let go of the gauge")
	}
}

// sameConnection compares how two are connected; the check, the name and what it is used for need no
// new connection, and a move was made by the connection itself.
func sameConnection(a, b session.Connection) bool {
	return a.Address == b.Address && a.Format == b.Format && a.Channel == b.Channel && a.Line == b.Line && a.Unit == b.Unit && a.Kind == b.Kind
}

func (f *follower) connect(c session.Connection) error {
	f.connected[c.ID] = c
	g, err := c.Device()
	if err != nil {
		return err
	}
	for id, other := range f.connected {
		if id != c.ID && c.Address != "" && other.Address == c.Address && (other.Channel == "" || c.Channel == "") {
			return fmt.Errorf("gauge %q is at %s already", id, c.Address)
		}
	}
	var rec *device.Recorder
	if f.wired.cfg.Record != "" && !f.recorded[c.Address] {
		if rec, err = f.wired.recorder(g); err != nil {
			return err
		}
		f.recorded[c.Address] = c.Address != ""
	}
	return f.wired.Hub.Add(g, rec)
}
