package device_test

import (
	"path/filepath"
	"testing"
	"time"

	"springline/device"
	"springline/device/simgauge"
)

// BenchmarkUnplugReplug pulls a gauge out and plugs it in again under another name: gone-ms is from the
// pull until the state says so (wanted: 2000), open-ms from the replug until the port is read again, and
// reading-ms until the first value, sent as soon as the opening gap allows (wanted: 3000).
func BenchmarkUnplugReplug(b *testing.B) {
	h, err := device.NewHub(device.Config{Clock: device.Clock{Now: time.Now, Start: time.Now()}})
	if err != nil {
		b.Fatal(err)
	}
	sim, err := simgauge.New(simgauge.Options{Link: filepath.Join(b.TempDir(), "ttyUSB0")})
	if err != nil {
		b.Fatal(err)
	}
	if err := h.Add(gauge("cal", sim.Address()), nil); err != nil {
		b.Fatal(err)
	}
	until := func(ok func(device.Update) bool) {
		for u := range h.Updates() {
			if ok(u) {
				return
			}
		}
	}
	reads := func(u device.Update) bool { return u.State == device.StateReading && u.Reading == nil }
	until(reads)
	var gone, open, reading, worst time.Duration
	for b.Loop() {
		start := time.Now()
		if err := sim.Yank(); err != nil {
			b.Fatal(err)
		}
		until(func(u device.Update) bool { return u.State == device.StateGone })
		gone += time.Since(start)
		worst = max(worst, time.Since(start))
		time.Sleep(700 * time.Millisecond) // a person's hand, so that the retries have slowed down
		start = time.Now()
		if err := sim.Replug(); err != nil {
			b.Fatal(err)
		}
		until(reads)
		open += time.Since(start)
		time.Sleep(openGap)
		if err := sim.Send([]byte("1.00 mm\r\n")); err != nil {
			b.Fatal(err)
		}
		until(func(u device.Update) bool { return u.Reading != nil && u.Reading.Event.Sample != nil })
		reading += time.Since(start)
		worst = max(worst, time.Since(start))
	}
	ms := func(d time.Duration) float64 { return float64(d.Microseconds()) / 1000 / float64(b.N) }
	b.ReportMetric(ms(gone), "gone-ms")
	b.ReportMetric(ms(open), "open-ms")
	b.ReportMetric(ms(reading), "reading-ms")
	b.ReportMetric(float64(worst.Microseconds())/1000, "worst-ms")
	_ = sim.Close()
	go func() {
		for range h.Updates() {
		}
	}()
	if err := h.Stop(); err != nil {
		b.Fatal(err)
	}
}
