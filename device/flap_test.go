package device_test

import (
	"math/rand/v2"
	"os"
	"strconv"
	"testing"
	"time"

	"springline/device"
	"springline/device/simgauge"
	"springline/device/simgauge/simbus"
	"springline/device/wire"
)

// flaps is how often the gauges are pulled out: 50, or SPRINGLINE_FLAPS.
func flaps(t *testing.T) int {
	t.Helper()
	text := os.Getenv("SPRINGLINE_FLAPS")
	if text == "" {
		return 50
	}
	n, err := strconv.Atoi(text)
	if err != nil || n < 1 {
		t.Fatalf("SPRINGLINE_FLAPS is %q, want a number from 1", text)
	}
	return n
}

// Three gauges on one bus are pulled out at random and come back under names that others had. Each
// reading comes once, as the gauge's that sent it, or does not count; nothing is left open.
func TestFlaps(t *testing.T) {
	noLeak(t)
	n := flaps(t)
	r := newRoom(t)
	r.ad["tape"] = simbus.Adapter{Vendor: "0403", Product: "6001", Serial: "T1"}
	r.ad["cal"] = simbus.Adapter{Vendor: "0403", Product: "6001", Serial: "C1"}
	b := newBench(t, r.sysfs, func(c *device.Config) {
		c.Retry = device.Retry{Min: 20 * time.Millisecond, Look: 20 * time.Millisecond}
	})
	sockets := map[string]string{"tape": "1-1.1", "cal": "1-1.2", "plain": "1-1.3"}
	ids := []string{"tape", "cal", "plain"}
	for _, id := range ids {
		r.plug(id, sockets[id])
		b.add(r.gauge(id, sockets[id]))
	}
	rnd := rand.New(rand.NewPCG(1, 2))
	auto := 0
	for i := range n {
		out := ids[:1+rnd.IntN(3)]
		r.unplug(out...)
		if rnd.IntN(2) == 0 {
			r.next = 0 // names are used again, by whoever comes first
			for _, name := range r.at {
				if k, err := strconv.Atoi(name[len("ttyUSB"):]); err == nil {
					r.next = max(r.next, k+1)
				}
			}
		}
		rnd.Shuffle(len(out), func(i, j int) { out[i], out[j] = out[j], out[i] })
		time.Sleep(time.Duration(rnd.IntN(40)) * time.Millisecond)
		for _, id := range out {
			r.plug(id, sockets[id])
		}
		var plugged []*simgauge.Gauge
		for _, id := range out {
			plugged = append(plugged, r.sims[id])
		}
		ready(t, plugged...)
		for _, id := range ids {
			as, u := r.take(b, r.say(id))
			if as != id {
				t.Fatalf("flap %d: value of %s came as %s", i, id, as)
			}
			if accept(u) == wire.Auto {
				auto++
			}
		}
		rnd.Shuffle(len(ids), func(i, j int) { ids[i], ids[j] = ids[j], ids[i] })
	}
	if bad := r.wrong(b); bad != 0 || auto != 3*n {
		t.Fatalf("%d flaps: %d readings under the wrong gauge, %d of %d counted", n, bad, auto, 3*n)
	}
	seen := map[string]int{}
	for _, u := range b.got {
		if u.Reading != nil && u.Reading.Event.Sample != nil {
			seen[u.Reading.Event.Sample.Value]++
		}
	}
	for v, k := range seen {
		if k != 1 {
			t.Errorf("value %s came %d times", v, k)
		}
	}
	for _, s := range b.hub.Status() {
		if s.Opens > uint64(n)+1 {
			t.Errorf("%s was opened %d times for %d pluggings", s.Gauge.ID, s.Opens, n+1)
		}
	}
	t.Logf("%d flaps, %d readings, 0 under the wrong gauge", n, 3*n)
}
