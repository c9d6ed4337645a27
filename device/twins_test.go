package device_test

import (
	"fmt"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"springline/device"
	"springline/device/port"
	"springline/device/simgauge"
	"springline/device/simgauge/simbus"
	"springline/device/wire"
)

// room is a simulated bus with gauges on adapters that differ by nothing but their socket, or by serial
// number. Each gauge sends values that tell who it is.
type room struct {
	t    *testing.T
	bus  *simbus.Bus
	sims map[string]*simgauge.Gauge // by gauge id
	ad   map[string]simbus.Adapter
	at   map[string]string // gauge id -> device name while plugged in
	next int               // of the next device name
	sent map[string]string // value -> gauge id that sent it
}

var noSerial = simbus.Adapter{Vendor: "1a86", Product: "7523", Name: "USB Serial"}

func newRoom(t *testing.T) *room {
	t.Helper()
	b, err := simbus.New(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	return &room{t: t, bus: b, sims: map[string]*simgauge.Gauge{}, ad: map[string]simbus.Adapter{}, at: map[string]string{},
		sent: map[string]string{}}
}

func (r *room) sysfs(c *device.Config) { c.Sysfs = port.Sysfs{Root: r.bus.Root, Dev: r.bus.Dev} }

// plug puts gauge id into a socket under the next free device name.
func (r *room) plug(id, socket string) {
	r.t.Helper()
	if r.sims[id] == nil {
		r.sims[id] = newSim(r.t, simgauge.Options{})
	} else if err := r.sims[id].Replug(); err != nil {
		r.t.Fatal(err)
	}
	name := fmt.Sprintf("ttyUSB%d", r.next)
	r.next++
	a, ok := r.ad[id]
	if !ok {
		a = noSerial
	}
	if err := r.bus.Plug(name, socket, a, r.sims[id].Device()); err != nil {
		r.t.Fatal(err)
	}
	r.at[id] = name
}

func (r *room) unplug(ids ...string) {
	r.t.Helper()
	for _, id := range ids {
		if err := r.bus.Unplug(r.at[id]); err != nil {
			r.t.Fatal(err)
		}
		delete(r.at, id)
		if err := r.sims[id].Yank(); err != nil {
			r.t.Fatal(err)
		}
	}
}

func (r *room) gauge(id, socket string) device.Gauge {
	a, ok := r.ad[id]
	if !ok {
		a = noSerial
	}
	g := gauge(id, "")
	g.Identity = port.Identity{Vendor: a.Vendor, Product: a.Product, Serial: a.Serial, Path: socket, Port: "00"}
	return g
}

// say sends the next value of gauge id and gives it.
func (r *room) say(id string) string {
	r.t.Helper()
	v := fmt.Sprintf("%d.00", len(r.sent)+1)
	r.sent[v] = id
	send(r.t, r.sims[id], v+" mm\r\n")
	return v
}

// take waits for value v and gives the gauge that it came as and whether it counts by itself.
func (r *room) take(b *bench, v string) (id string, u device.Update) {
	r.t.Helper()
	u = b.until("value "+v, func(u device.Update) bool {
		return u.Reading != nil && u.Reading.Event.Sample != nil && u.Reading.Event.Sample.Value == v
	})
	return u.Gauge, u
}

// wrong counts readings that count by themselves under the wrong gauge's name.
func (r *room) wrong(b *bench) (n int) {
	for _, u := range b.got {
		if u.Reading == nil || u.Reading.Event.Sample == nil {
			continue
		}
		s := u.Reading.Event.Sample
		if s.Accept == wire.Auto && r.sent[s.Value] != u.Gauge {
			r.t.Errorf("value %s of gauge %s was taken as one of gauge %s", s.Value, r.sent[s.Value], u.Gauge)
			n++
		}
	}
	return n
}

func accept(u device.Update) wire.Accept { return u.Reading.Event.Sample.Accept }

func TestTwinsNeverSwapSilently(t *testing.T) {
	r := newRoom(t)
	b := newBench(t, r.sysfs)
	r.plug("left", "1-1.1")
	r.plug("right", "1-1.2")
	b.add(r.gauge("left", "1-1.1"))
	b.add(r.gauge("right", "1-1.2"))
	ready(t, r.sims["left"])
	ready(t, r.sims["right"])

	// They may have been exchanged while nobody looked: nothing counts, and the reason is told.
	_, u := r.take(b, r.say("left"))
	if accept(u) != wire.Confirm || !slices.Contains(u.Reading.Event.Sample.Flags, device.FlagWhichGauge) ||
		!strings.Contains(u.Unsure.Doubt(), `press the send key of gauge "left"`) {
		t.Fatalf("the first reading of a twin: %+v, unsure %q", u.Reading.Event.Sample, u.Unsure.Doubt())
	}
	if err := b.hub.Confirm("left"); err != nil { // then the other one is what is left over
		t.Fatal(err)
	}
	for _, id := range []string{"left", "right"} {
		if _, u = r.take(b, r.say(id)); accept(u) != wire.Auto || u.Unsure.Why != "" {
			t.Fatalf("%s after it was confirmed: %+v", id, u.Reading.Event.Sample)
		}
	}

	// One is moved while the other stays: it is the same one.
	r.unplug("left")
	b.state("left", device.StateGone)
	r.plug("left", "1-1.1")
	b.state("left", device.StateReading)
	ready(t, r.sims["left"])
	if _, u = r.take(b, r.say("left")); accept(u) != wire.Auto {
		t.Fatalf("left came back alone and does not count: %+v", u)
	}

	// Both are moved and exchanged: nothing counts until the send key was pressed.
	r.unplug("left", "right")
	b.state("right", device.StateGone)
	r.plug("left", "1-1.2")
	r.plug("right", "1-1.1")
	ready(t, r.sims["left"])
	ready(t, r.sims["right"])
	for _, id := range []string{"left", "right"} {
		if as, u := r.take(b, r.say(id)); as == id || accept(u) != wire.Confirm {
			t.Fatalf("%s in the other's socket came as %s: %+v", id, as, u.Reading.Event.Sample)
		}
	}
	if err := b.hub.Claim("left"); err != nil {
		t.Fatal(err)
	}
	_, u = r.take(b, r.say("left"))
	if accept(u) != wire.Never || !slices.Contains(u.Reading.Event.Sample.Flags, device.FlagIdentify) {
		t.Fatalf("the reading that only tells who it is: %+v", u.Reading.Event.Sample)
	}
	moved := b.until("new socket of left", func(u device.Update) bool { return u.Gauge == "left" && u.Identity != nil })
	if moved.Identity.Path != "1-1.2" {
		t.Fatalf("left is said to be at %+v", moved.Identity)
	}
	b.until("left reading again", func(u device.Update) bool {
		return u.Gauge == "left" && u.State == device.StateReading && u.Reading == nil
	})
	ready(t, r.sims["left"])
	if as, u := r.take(b, r.say("left")); as != "left" || accept(u) != wire.Auto {
		t.Fatalf("left after its claim came as %s: %+v", as, u.Reading.Event.Sample)
	}
	ready(t, r.sims["right"]) // what is left over
	if as, u := r.take(b, r.say("right")); as != "right" || accept(u) != wire.Auto {
		t.Fatalf("right came as %s: %+v", as, u.Reading.Event.Sample)
	}
	if n := r.wrong(b); n != 0 {
		t.Fatalf("%d readings under the wrong gauge", n)
	}
}

// A third adapter of the same kind that is nobody's gauge may be the one in the socket.
func TestStrangerOfTheSameKindMakesUnsure(t *testing.T) {
	r := newRoom(t)
	b := newBench(t, r.sysfs)
	r.plug("mine", "1-1.1")
	b.add(r.gauge("mine", "1-1.1"))
	ready(t, r.sims["mine"])
	if _, u := r.take(b, r.say("mine")); accept(u) != wire.Auto {
		t.Fatalf("the only adapter of its kind does not count: %+v", u.Reading.Event.Sample)
	}
	r.unplug("mine")
	b.state("mine", device.StateGone)
	r.plug("stranger", "1-1.2")
	r.plug("mine", "1-1.1")
	ready(t, r.sims["mine"])
	if _, u := r.take(b, r.say("mine")); accept(u) != wire.Confirm {
		t.Fatalf("it may be the other one: %+v", u.Reading.Event.Sample)
	}
	if err := b.hub.Claim("mine"); err != nil {
		t.Fatal(err)
	}
	if _, u := r.take(b, r.say("mine")); accept(u) != wire.Never {
		t.Fatalf("a reading asked for to identify: %+v", u.Reading.Event.Sample)
	}
	time.Sleep(openGap) // or it is a suspected second send
	if _, u := r.take(b, r.say("mine")); accept(u) != wire.Auto {
		t.Fatalf("confirmed: %+v", u.Reading.Event.Sample)
	}
}

// A serial number tells two of a kind apart in any socket.
// Gauges given by the kernel's names are bound to what is behind them when they are first read: plugged in
// again in another order, each is found under the other's name, and a stranger under its name is not read.
func TestPlainNamesAreBoundToWhatIsBehindThem(t *testing.T) {
	r := newRoom(t)
	for _, id := range []string{"tape", "cal", "stranger"} {
		r.ad[id] = simbus.Adapter{Vendor: "0403", Product: "6001", Serial: "S-" + id}
	}
	b := newBench(t, r.sysfs)
	r.plug("tape", "1-1.1")
	r.plug("cal", "1-1.2")
	for _, id := range []string{"tape", "cal"} {
		b.add(gauge(id, filepath.Join(r.bus.Dev, r.at[id])))
		ready(t, r.sims[id])
		if as, u := r.take(b, r.say(id)); as != id || accept(u) != wire.Auto {
			t.Fatalf("%s came as %s", id, as)
		}
	}
	r.unplug("tape", "cal")
	r.next = 0
	r.plug("cal", "1-1.2")
	r.plug("tape", "1-1.1")
	for _, id := range []string{"tape", "cal"} {
		ready(t, r.sims[id])
		if as, u := r.take(b, r.say(id)); as != id || accept(u) != wire.Auto {
			t.Fatalf("%s came as %s", id, as)
		}
	}
	r.unplug("tape", "cal")
	r.next = 0
	r.plug("stranger", "1-1.1")
	r.plug("cal", "1-1.2")
	ready(t, r.sims["cal"])
	u := b.until("the tape missing", func(u device.Update) bool {
		return u.Gauge == "tape" && u.State == device.StateGone && strings.Contains(u.Reason, "another gauge")
	})
	if !strings.Contains(u.Reason, "ttyUSB0") {
		t.Errorf("reason %q", u.Reason)
	}
	r.say("stranger")
	r.take(b, r.say("cal"))
	if n := r.wrong(b); n != 0 {
		t.Fatalf("%d readings under the wrong gauge", n)
	}
}

// Two like adapters without serial numbers, given by plain names and exchanged while both were out, are
// told apart by nothing: their readings wait.
func TestPlainNamesOfTwins(t *testing.T) {
	r := newRoom(t)
	b := newBench(t, r.sysfs)
	r.plug("left", "1-1.1")
	r.plug("right", "1-1.2")
	for _, id := range []string{"left", "right"} {
		b.add(gauge(id, filepath.Join(r.bus.Dev, r.at[id])))
		ready(t, r.sims[id])
		if as, u := r.take(b, r.say(id)); as != id || accept(u) != wire.Auto {
			t.Fatalf("%s came as %s: %+v", id, as, u.Reading.Event.Sample)
		}
	}
	r.unplug("left", "right")
	r.plug("right", "1-1.1")
	r.plug("left", "1-1.2")
	for _, id := range []string{"left", "right"} {
		ready(t, r.sims[id])
		if _, u := r.take(b, r.say(id)); accept(u) == wire.Auto || u.Unsure.Why == "" {
			t.Fatalf("%s counts by itself: %+v", id, u.Reading.Event.Sample)
		}
	}
	if n := r.wrong(b); n != 0 {
		t.Fatalf("%d readings under the wrong gauge", n)
	}
}

func TestSerialNumbersFollowTheGauge(t *testing.T) {
	r := newRoom(t)
	for _, id := range []string{"left", "right"} {
		r.ad[id] = simbus.Adapter{Vendor: "0403", Product: "6001", Serial: "S-" + id}
	}
	b := newBench(t, r.sysfs)
	r.plug("left", "1-1.1")
	r.plug("right", "1-1.2")
	b.add(r.gauge("left", "1-1.1"))
	b.add(r.gauge("right", "1-1.2"))
	ready(t, r.sims["left"])
	ready(t, r.sims["right"])
	for range 2 {
		for _, id := range []string{"left", "right"} {
			if as, u := r.take(b, r.say(id)); as != id || accept(u) != wire.Auto {
				t.Fatalf("%s came as %s: %+v", id, as, u.Reading.Event.Sample)
			}
		}
		r.unplug("left", "right")
		r.plug("right", "1-1.1")
		r.plug("left", "2-4")
		ready(t, r.sims["left"])
		ready(t, r.sims["right"])
	}
	if err := b.hub.Claim("left"); err != nil {
		t.Fatal(err)
	}
	if n := r.wrong(b); n != 0 {
		t.Fatalf("%d readings under the wrong gauge", n)
	}
}
