package wiring_test

import (
	"path/filepath"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"springline/cmd/springline/wiring"
	"springline/device"
	"springline/device/simgauge"
	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/session/command"
	"springline/session/log"
)

// A change of how a gauge is connected, made while the bench runs, takes hold at once.
func TestChangedConnectionIsMadeAnew(t *testing.T) {
	t.Setenv("XDG_RUNTIME_DIR", t.TempDir())
	var at []string
	for _, name := range []string{"one", "two"} {
		sim, err := simgauge.New(simgauge.Options{Link: filepath.Join(t.TempDir(), name)})
		if err != nil {
			t.Fatal(err)
		}
		defer sim.Close()
		at = append(at, sim.Address())
	}
	w, err := wiring.Open(t.Context(), wiring.Config{Dir: t.TempDir(), Software: "test", Now: time.Now, Start: time.Now(), Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	defer func() {
		if err := w.Close(); err != nil {
			t.Error(err)
		}
	}()
	set := log.GaugeSetup{Address: at[0], Line: "9600 8N1", Format: `{"family": "line", "unit": "required:mm"}`,
		Gauge: qc.Gauge{ID: "g", Name: "gauge", Kind: qc.Caliper, Limit: length.Millimetre, Resolution: length.Millimetre, Unit: "mm",
			Measures: []qc.Kind{qc.TipToTip}}}
	connected := func() bool {
		for end := time.Now().Add(20 * time.Second); time.Now().Before(end); time.Sleep(5 * time.Millisecond) {
			if list := w.Hub.Status(); len(list) == 1 && list[0].State == device.StateReading && list[0].Gauge.Address == set.Address &&
				list[0].Gauge.Mode.Baud == baudOf[set.Line] && list[0].Gauge.Format.Family == wire.Line && list[0].Gauge.Unit == set.Unit {
				return true
			}
		}
		return false
	}
	for _, c := range []struct {
		what   string
		change func()
	}{
		{"as first set", func() {}},
		{"another line", func() { set.Line = "4800 7E1" }},
		{"another socket", func() { set.Address = at[1] }},
		{"another unit", func() { set.Unit = "in" }},
	} {
		c.change()
		if err := w.Bench.Set(t.Context(), command.StateGauge(set.Stated())); err != nil {
			t.Fatalf("%s: %v", c.what, err)
		}
		if !connected() {
			t.Fatalf("%s: the gauge is not connected as %+v but as %+v", c.what, set, w.Hub.Status())
		}
	}
}

var baudOf = map[string]int{"9600 8N1": 9600, "4800 7E1": 4800}
