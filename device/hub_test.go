package device_test

import (
	"context"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"testing"
	"time"

	"springline/device"
	"springline/device/port"
	"springline/device/simgauge"
	"springline/device/wire"
)

// noLeak fails if more goroutines run at the end than at the beginning.
func noLeak(t *testing.T) {
	t.Helper()
	before := runtime.NumGoroutine()
	t.Cleanup(func() {
		for end := time.Now().Add(limit); runtime.NumGoroutine() > before; time.Sleep(5 * time.Millisecond) {
			if time.Now().After(end) {
				buf := make([]byte, 1<<20)
				t.Errorf("%d goroutines at first, %d at the end:\n%s", before, runtime.NumGoroutine(), buf[:runtime.Stack(buf, true)])
				return
			}
		}
	})
}

func TestSeveralGaugesAtOnce(t *testing.T) {
	noLeak(t)
	b := newBench(t)
	sims := map[string]*simgauge.Gauge{
		"a": newSim(t, simgauge.Options{}), "b": newSim(t, simgauge.Options{}), "c": newSim(t, simgauge.Options{TCP: true}),
	}
	for id, s := range sims {
		b.add(gauge(id, s.Address()))
	}
	for _, s := range sims {
		ready(t, s)
	}
	const each = 50
	for i := range each {
		for id, s := range sims {
			send(t, s, fmt.Sprintf("%d.%d mm\r\n", i, id[0]))
		}
	}
	next := map[string]int{}
	for n := 0; n < each*len(sims); n++ {
		u := b.until("reading", func(u device.Update) bool { return u.Reading != nil })
		want := fmt.Sprintf("%d.%d", next[u.Gauge], u.Gauge[0])
		if s := u.Reading.Event.Sample; s == nil || s.Value != want || u.Reading.Gauge != u.Gauge {
			t.Fatalf("gauge %s gave %+v, want %s", u.Gauge, u.Reading.Event, want)
		}
		next[u.Gauge]++
	}
	if st := b.hub.Status(); len(st) != 3 || st[0].Opens != 1 || st[0].State != device.StateReading {
		t.Fatalf("status %+v", st)
	}
}

// The tail of an old line is a whole frame and wrong by ten millimetres.
func TestOldTailAtEachOpeningIsNoReading(t *testing.T) {
	b := newBench(t)
	sim := newSim(t, simgauge.Options{Link: filepath.Join(t.TempDir(), "g")})
	b.add(gauge("cal", sim.Address()))
	for i := range 3 {
		b.state("cal", device.StateReading)
		ctx, cancel := context.WithTimeout(context.Background(), limit)
		if err := sim.WaitReader(ctx); err != nil {
			t.Fatal(err)
		}
		cancel()
		send(t, sim, "2.345 mm\r\n")
		r := b.reading("cal")
		if r.Event.Err == nil || r.Event.Err.Code != "partial_at_open" {
			t.Fatalf("opening %d: the tail gave %+v", i+1, r.Event)
		}
		time.Sleep(openGap)
		send(t, sim, "12.345 mm\r\n")
		b.value("cal", "12.345")
		if err := sim.Unplug(); err != nil {
			t.Fatal(err)
		}
		b.state("cal", device.StateGone)
		if err := sim.Replug(); err != nil {
			t.Fatal(err)
		}
	}
}

func TestHalfFramesAndGarbageAreErrorsWithTheirBytes(t *testing.T) {
	b := newBench(t)
	sim := newSim(t, simgauge.Options{Link: filepath.Join(t.TempDir(), "g")})
	b.add(gauge("cal", sim.Address()))
	ready(t, sim)
	send(t, sim, "12.3")
	r := b.reading("cal") // by silence alone
	if r.Event.Err == nil || r.Event.Err.Code != "partial_frame" || string(r.Raw) != "12.3" {
		t.Fatalf("half a frame gave %+v", r)
	}
	send(t, sim, "\x00\xf8\x80 1.5 mm\r\n")
	if r = b.reading("cal"); r.Event.Err == nil || r.Event.Err.Code != "line_noise" {
		t.Fatalf("garbage gave %+v", r.Event)
	}
	send(t, sim, "12.34")
	if err := sim.Unplug(); err != nil {
		t.Fatal(err)
	}
	r = b.reading("cal") // at the loss, not never
	if r.Event.Err == nil || r.Event.Err.Code != "partial_frame" || string(r.Raw) != "12.34" {
		t.Fatalf("half a frame at the unplug gave %+v", r)
	}
	b.state("cal", device.StateGone)
}

// A reader of updates that takes nothing for a while makes the gauges wait; every reading comes, once.
func TestFullQueueDropsNothing(t *testing.T) {
	b := newBench(t, func(c *device.Config) { c.Queue = 1 })
	sim := newSim(t, simgauge.Options{})
	b.add(gauge("cal", sim.Address()))
	b.state("cal", device.StateReading)
	ready(t, sim)
	const n = 400
	go func() {
		for i := range n {
			_ = sim.Send([]byte(fmt.Sprintf("%d.0 mm\r", i)))
		}
	}()
	time.Sleep(300 * time.Millisecond)
	for i := range n {
		b.value("cal", fmt.Sprintf("%d.0", i))
	}
}

func TestStopTellsWhatNobodyTook(t *testing.T) {
	noLeak(t)
	start := time.Now()
	h, err := device.NewHub(device.Config{Clock: device.Clock{Now: time.Now, Start: start}, Queue: 2})
	if err != nil {
		t.Fatal(err)
	}
	sim := newSim(t, simgauge.Options{})
	if err := h.Add(gauge("cal", sim.Address()), nil); err != nil {
		t.Fatal(err)
	}
	ready(t, sim)
	send(t, sim, strings.Repeat("1.0 mm\r", 5))
	time.Sleep(openGap)
	err = h.Stop()
	if err == nil || !strings.Contains(err.Error(), `"cal"`) || !strings.Contains(err.Error(), "5 readings") {
		t.Fatalf("stop with 5 readings waiting: %v", err)
	}
	_ = sim.Close()
}

// What the port had handed over before the stop is still decoded and delivered if someone takes it.
func TestStopDeliversWhatHasArrived(t *testing.T) {
	noLeak(t)
	b := newBench(t, func(c *device.Config) { c.Queue = 1 })
	sim := newSim(t, simgauge.Options{})
	b.add(gauge("cal", sim.Address()))
	ready(t, sim)
	const n = 20
	for i := range n {
		send(t, sim, fmt.Sprintf("%d.0 mm\r", i))
		time.Sleep(5 * time.Millisecond) // so that each is a chunk of its own
	}
	stopped := make(chan error, 1)
	go func() { stopped <- b.hub.Stop() }()
	time.Sleep(20 * time.Millisecond)
	got := 0
	for u := range b.hub.Updates() {
		if u.Reading != nil && u.Reading.Event.Sample != nil {
			if want := fmt.Sprintf("%d.0", got); u.Reading.Event.Sample.Value != want {
				t.Fatalf("got %s, want %s", u.Reading.Event.Sample.Value, want)
			}
			got++
		}
	}
	if err := <-stopped; err != nil || got != n {
		t.Fatalf("%d of %d readings, %v", got, n, err)
	}
	_ = sim.Close()
}

func TestStopWithABlockedPort(t *testing.T) {
	noLeak(t)
	b := newBench(t)
	sim := newSim(t, simgauge.Options{Deaf: true})
	g := gauge("ask", sim.Address())
	g.Format = wire.DefaultFormat(wire.Query)
	g.Format.QueryHex = strings.Repeat("52", 60)
	b.add(g)
	ready(t, sim)
	for range 2000 { // until the line is full and a write hangs
		if err := b.hub.Query("ask"); err != nil {
			t.Fatal(err)
		}
		time.Sleep(100 * time.Microsecond)
	}
	go func() {
		for range b.hub.Updates() {
		}
	}()
	if err := b.hub.Stop(); err != nil {
		t.Fatal(err)
	}
	_ = sim.Close()
}

func TestQueryGauge(t *testing.T) {
	b := newBench(t)
	sim := newSim(t, simgauge.Options{Reply: func(got []byte) []byte { return []byte("11.110 mm\r") }})
	g := gauge("ask", sim.Address())
	g.Format = wire.DefaultFormat(wire.Query)
	g.Format.QueryHex = "520d"
	b.add(g)
	ready(t, sim)
	for range 3 {
		if err := b.hub.Query("ask"); err != nil {
			t.Fatal(err)
		}
		b.value("ask", "11.110")
	}
	if got := string(sim.Received()); got != "R\rR\rR\r" {
		t.Fatalf("the gauge was asked %q", got)
	}
	if err := b.hub.Query("none"); err == nil {
		t.Fatal("an unknown gauge was asked")
	}
}

func TestKeyboardGauge(t *testing.T) {
	b := newBench(t)
	g := device.Gauge{ID: "kb", Kind: device.Keyboard, Format: wire.DefaultFormat(wire.Keyboard)}
	g.Format.Unit = "fixed:mm"
	b.add(g)
	b.state("kb", device.StateReading)
	var keys []device.Key
	for i, c := range []byte("12,34\r") {
		keys = append(keys, device.Key{Char: c, At: time.Hour + time.Duration(i)*4*time.Millisecond})
	}
	time.Sleep(openGap)
	if err := b.hub.Keys(context.Background(), "kb", keys); err != nil {
		t.Fatal(err)
	}
	b.value("kb", "12.34")
	if err := b.hub.Keys(context.Background(), "kb", nil); err != nil {
		t.Fatal(err)
	}
	sim := newSim(t, simgauge.Options{})
	b.add(gauge("cal", sim.Address()))
	if err := b.hub.Keys(context.Background(), "cal", keys); err == nil {
		t.Fatal("keys were taken for a gauge that has none")
	}
}

func TestWhatIsWrongWithAPortIsTheState(t *testing.T) {
	b := newBench(t, func(c *device.Config) { c.LockDir = "" })
	dir := t.TempDir()
	file := filepath.Join(dir, "file")
	if err := os.WriteFile(file, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	locked := newSim(t, simgauge.Options{})
	p, err := port.Open(context.Background(), port.Address{Kind: port.TTY, Path: locked.Address()}, port.Options{Now: time.Now})
	if err != nil {
		t.Fatal(err)
	}
	defer p.Close()
	for id, c := range map[string]struct {
		addr  string
		state device.State
		words string
	}{
		"file":   {file, device.StateError, "not a serial port"},
		"none":   {filepath.Join(dir, "ttyUSB0"), device.StateGone, "plug the gauge in"},
		"busy":   {locked.Address(), device.StateBusy, "another program"},
		"net":    {"tcp://127.0.0.1:1", device.StateGone, "no connection"},
		"replay": {"replay:" + filepath.Join(dir, "none"), device.StateError, "existing recording"},
	} {
		b.add(gauge(id, c.addr))
		if u := b.state(id, c.state); !strings.Contains(u.Reason, c.words) {
			t.Errorf("%s: reason %q does not say %q", id, u.Reason, c.words)
		}
	}
	_ = p.Close()
	b.state("busy", device.StateReading) // tried again by itself
}

func TestAddAndRemove(t *testing.T) {
	b := newBench(t)
	sim := newSim(t, simgauge.Options{})
	g := gauge("cal", sim.Address())
	b.add(g)
	b.state("cal", device.StateReading)
	if err := b.hub.Add(g, nil); err == nil || !strings.Contains(err.Error(), "connected already") {
		t.Fatalf("twice: %v", err)
	}
	if err := b.hub.Remove("cal"); err != nil {
		t.Fatal(err)
	}
	b.state("cal", device.StateEnded)
	if err := b.hub.Remove("cal"); err == nil {
		t.Fatal("removed twice")
	}
	b.add(g) // port and lock are free again
	b.state("cal", device.StateReading)
	for _, bad := range []device.Gauge{{}, {ID: "x"}, {ID: "x", Kind: "other"}, {ID: "x", Kind: device.Caliper, Format: line()},
		{ID: "x", Kind: device.Caliper, Address: "COM3", Format: line()}, {ID: "x", Kind: device.Caliper, Address: "/dev/x"},
		{ID: " x", Kind: device.TypedIn}, {ID: "x", Kind: device.Keyboard, Format: line()},
		{ID: "x", Kind: device.Caliper, Address: "/dev/x", Format: line(), Mode: port.Mode{Baud: 1}}} {
		if err := b.hub.Add(bad, nil); err == nil {
			t.Errorf("took %+v", bad)
		}
	}
	if err := b.hub.Add(device.Gauge{ID: "hand", Kind: device.TypedIn}, nil); err != nil {
		t.Errorf("a typed gauge: %v", err)
	}
}

// The name leads to another device although the old one is still there.
func TestNameThatLeadsElsewhereIsFollowed(t *testing.T) {
	b := newBench(t)
	one, two := newSim(t, simgauge.Options{}), newSim(t, simgauge.Options{})
	link := filepath.Join(t.TempDir(), "by-id")
	if err := os.Symlink(one.Device(), link); err != nil {
		t.Fatal(err)
	}
	b.add(gauge("cal", link))
	ready(t, one)
	if err := os.Remove(link); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(two.Device(), link); err != nil {
		t.Fatal(err)
	}
	ready(t, two)
	send(t, two, "2.0 mm\r")
	b.value("cal", "2.0")
}

func TestThreeLossesHintAtTheCable(t *testing.T) {
	b := newBench(t)
	sim := newSim(t, simgauge.Options{Link: filepath.Join(t.TempDir(), "g")})
	b.add(gauge("cal", sim.Address()))
	var u device.Update
	for range 3 {
		b.state("cal", device.StateReading)
		if err := sim.Unplug(); err != nil {
			t.Fatal(err)
		}
		u = b.state("cal", device.StateGone)
		if err := sim.Replug(); err != nil {
			t.Fatal(err)
		}
	}
	if !strings.Contains(u.Reason, "lost 3 times in 10 minutes") || !strings.Contains(u.Reason, "shielded") {
		t.Fatalf("reason %q", u.Reason)
	}
	b.state("cal", device.StateReading)
	if st := b.hub.Status(); st[0].Opens != 4 {
		t.Fatalf("status %+v", st[0])
	}
}
