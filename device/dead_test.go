package device_test

import (
	"path/filepath"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"springline/device"
	"springline/device/simgauge"
)

// cpu is the processor time this process has used.
func cpu(tb testing.TB) time.Duration {
	tb.Helper()
	var u unix.Rusage
	if err := unix.Getrusage(unix.RUSAGE_SELF, &u); err != nil {
		tb.Fatal(err)
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}

// A port that died in use, one that never was there, and one that is silent: the loops of their gauges
// do next to nothing. Wake-ups are counted, since processor time depends on the machine; the benchmark
// measures that.
func TestDeadAndSilentPortsDoNotSpin(t *testing.T) {
	b := newBench(t)
	dead := newSim(t, simgauge.Options{})
	silent := newSim(t, simgauge.Options{})
	b.add(gauge("dead", dead.Address()))
	b.add(gauge("silent", silent.Address()))
	b.add(gauge("never", filepath.Join(t.TempDir(), "ttyUSB0")))
	ready(t, dead)
	ready(t, silent)
	if err := dead.Yank(); err != nil {
		t.Fatal(err)
	}
	b.state("dead", device.StateGone)
	before, used := b.hub.Status(), cpu(t)
	const watch = 3 * time.Second
	time.Sleep(watch)
	used = cpu(t) - used
	for i, s := range b.hub.Status() {
		// Every half second a look at the node, every two a check, and the retries: 0.25 0.5 1 2 s.
		if n := s.Wakes - before[i].Wakes; n > 15 {
			t.Errorf("gauge %s woke %d times in %v", s.Gauge.ID, n, watch)
		}
	}
	t.Logf("three gauges, dead, silent and never there: %.2f %% of one core", 100*used.Seconds()/watch.Seconds())
}

// BenchmarkDeadPort reports the processor time that four gauges with dead ports take together.
func BenchmarkDeadPort(b *testing.B) {
	h, err := device.NewHub(device.Config{Clock: device.Clock{Now: time.Now, Start: time.Now()}})
	if err != nil {
		b.Fatal(err)
	}
	go func() {
		for range h.Updates() {
		}
	}()
	dir := b.TempDir()
	for _, id := range []string{"1", "2", "3", "4"} {
		if err := h.Add(gauge(id, filepath.Join(dir, "ttyUSB"+id)), nil); err != nil {
			b.Fatal(err)
		}
	}
	start, used := time.Now(), cpu(b)
	for b.Loop() {
		time.Sleep(time.Second)
	}
	b.ReportMetric(100*(cpu(b)-used).Seconds()/time.Since(start).Seconds(), "%cpu")
	if err := h.Stop(); err != nil {
		b.Fatal(err)
	}
}

// BenchmarkByteToReading is the time from the last byte of a frame to its reading.
func BenchmarkByteToReading(b *testing.B) {
	h, err := device.NewHub(device.Config{Clock: device.Clock{Now: time.Now, Start: time.Now()}})
	if err != nil {
		b.Fatal(err)
	}
	sim, err := simgauge.New(simgauge.Options{})
	if err != nil {
		b.Fatal(err)
	}
	if err := h.Add(gauge("cal", sim.Address()), nil); err != nil {
		b.Fatal(err)
	}
	if err := sim.WaitReader(b.Context()); err != nil {
		b.Fatal(err)
	}
	time.Sleep(openGap)
	for b.Loop() {
		if err := sim.Send([]byte("12.345 mm\r")); err != nil {
			b.Fatal(err)
		}
		for u := range h.Updates() {
			if u.Reading != nil {
				break
			}
		}
	}
	_ = sim.Close()
	go func() {
		for range h.Updates() {
		}
	}()
	if err := h.Stop(); err != nil {
		b.Fatal(err)
	}
}
