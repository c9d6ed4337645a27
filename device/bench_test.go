package device_test

import (
	"context"
	"path/filepath"
	"testing"
	"time"

	"springline/device"
	"springline/device/simgauge"
	"springline/device/wire"
)

// limit bounds every wait of these tests; it is no measure of speed.
const limit = 20 * time.Second

// bench is a hub with a list of everything it delivered.
type bench struct {
	t   *testing.T
	hub *device.Hub
	got []device.Update
}

func newBench(t *testing.T, change ...func(*device.Config)) *bench {
	t.Helper()
	start := time.Now()
	c := device.Config{Clock: device.Clock{Now: time.Now, Start: start}, LockDir: t.TempDir()}
	for _, f := range change {
		f(&c)
	}
	h, err := device.NewHub(c)
	if err != nil {
		t.Fatal(err)
	}
	b := &bench{t: t, hub: h}
	t.Cleanup(func() {
		if err := h.Stop(); err != nil {
			t.Errorf("stop: %v", err)
		}
	})
	return b
}

func (b *bench) add(g device.Gauge) {
	b.t.Helper()
	if err := b.hub.Add(g, nil); err != nil {
		b.t.Fatal(err)
	}
}

// until reads updates up to and including the first one that ok takes.
func (b *bench) until(what string, ok func(device.Update) bool) device.Update {
	b.t.Helper()
	deadline := time.NewTimer(limit)
	defer deadline.Stop()
	for {
		select {
		case u, open := <-b.hub.Updates():
			if !open {
				b.t.Fatalf("updates ended while waiting for %s", what)
			}
			b.got = append(b.got, u)
			if ok(u) {
				return u
			}
		case <-deadline.C:
			b.t.Fatalf("no %s; had %s", what, b.log())
		}
	}
}

func (b *bench) log() (s string) {
	for _, u := range b.got {
		s += "\n  " + u.Gauge + " " + string(u.State) + " " + u.Reason + " " + u.Unsure.Doubt()
		if r := u.Reading; r != nil {
			if r.Event.Sample != nil {
				s += " = " + r.Event.Sample.Value
			} else {
				s += " ! " + r.Event.Err.Error()
			}
		}
	}
	return s
}

func (b *bench) state(id string, st device.State) device.Update {
	b.t.Helper()
	return b.until(id+" "+string(st), func(u device.Update) bool { return u.Gauge == id && u.State == st && u.Reading == nil })
}

func (b *bench) reading(id string) device.Reading {
	b.t.Helper()
	u := b.until("reading of "+id, func(u device.Update) bool { return u.Gauge == id && u.Reading != nil })
	return *u.Reading
}

func (b *bench) value(id, want string) device.Reading {
	b.t.Helper()
	r := b.reading(id)
	if r.Event.Sample == nil || r.Event.Sample.Value != want {
		b.t.Fatalf("got %+v, want value %s; had %s", r.Event, want, b.log())
	}
	return r
}

// newSim plugs a gauge in, a pty always behind a link: the number of a pty that is gone may be given to another
// program's, which a bench still looking for it would read.
func newSim(t *testing.T, o simgauge.Options) *simgauge.Gauge {
	t.Helper()
	if o.Link == "" && !o.TCP {
		o.Link = filepath.Join(t.TempDir(), "gauge")
	}
	g, err := simgauge.New(o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = g.Close() })
	return g
}

func line() wire.Format {
	f := wire.DefaultFormat(wire.Line)
	f.Unit = "required:mm"
	return f
}

func gauge(id, address string) device.Gauge {
	return device.Gauge{ID: id, Kind: device.Caliper, Address: address, Format: line(), Unit: "mm", Resolution: "0.01"}
}

// openGap is a little more than the time after opening in which bytes may be an old tail.
const openGap = 200 * time.Millisecond

// ready waits until the hub has the ports open and their first bytes would count.
func ready(t *testing.T, gauges ...*simgauge.Gauge) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	for _, g := range gauges {
		if err := g.WaitReader(ctx); err != nil {
			t.Fatal(err)
		}
	}
	time.Sleep(openGap)
}

func send(t *testing.T, g *simgauge.Gauge, text string) {
	t.Helper()
	if err := g.Send([]byte(text)); err != nil {
		t.Fatal(err)
	}
}

func TestReadsUnplugsAndReadsAgainUnderAnotherName(t *testing.T) {
	b := newBench(t)
	sim := newSim(t, simgauge.Options{Link: filepath.Join(t.TempDir(), "ttyUSB0")})
	b.add(gauge("cal", sim.Address()))
	b.state("cal", device.StateReading)
	ready(t, sim)
	send(t, sim, "+012.345 mm\r\n")
	r := b.value("cal", "12.345")
	if r.Connection != 1 || string(r.Raw) == "" || r.At <= 0 || r.Wall.IsZero() {
		t.Fatalf("reading is not complete: %+v", r)
	}
	first := sim.Device()
	if err := sim.Unplug(); err != nil {
		t.Fatal(err)
	}
	b.state("cal", device.StateGone)
	if err := sim.Replug(); err != nil {
		t.Fatal(err)
	}
	if sim.Device() == first {
		t.Fatalf("the pty has the same name %s again: this test shows nothing", first)
	}
	b.state("cal", device.StateReading)
	ready(t, sim)
	send(t, sim, "7.10 mm\r")
	if r := b.value("cal", "7.10"); r.Connection != 2 {
		t.Fatalf("connection %d, want 2", r.Connection)
	}
}
