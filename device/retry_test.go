package device

import (
	"os"
	"path/filepath"
	"testing"
	"time"

	"springline/device/port"
	"springline/device/wire"
)

func TestRetryDoublesFromAQuarterToFiveSeconds(t *testing.T) {
	r := Retry{}.withDefaults()
	for n, want := range []time.Duration{250, 500, 1000, 2000, 4000, 5000, 5000} {
		want *= time.Millisecond
		if got := r.wait(n, r.Max, 0); got != want {
			t.Errorf("attempt %d: %v, want %v", n, got, want)
		}
		if got := r.wait(n, r.Max, 1); got != want*3/4 {
			t.Errorf("attempt %d with full spread: %v, want %v", n, got, want*3/4)
		}
	}
	if got := r.wait(1000, r.Max, 0); got != r.Max {
		t.Errorf("attempt 1000: %v", got)
	}
	// A replugged gauge reads again within 3 s also where nothing tells of the replug.
	if r.BusyMax > 2*time.Second || r.NetworkMax > 3*time.Second || r.Look > time.Second {
		t.Errorf("waits %+v are too long", r)
	}
}

// A fault in decoding is one error; the bench goes on.
func TestDecoderFaultIsCaught(t *testing.T) {
	s := &source{}
	r := &reader{source: s, at: time.Second}
	ev := r.guard(func() []wire.Event { panic("out of range") })
	if len(ev) != 1 || ev[0].Err == nil || ev[0].Err.Code != "decoder_fault" {
		t.Fatalf("%+v", ev)
	}
}

// A reader that no longer turns, or never did, hangs after three looks; one turn is enough to go on.
func TestReaderThatStandsStillHangs(t *testing.T) {
	p := pulse{}
	for i, c := range []struct {
		beats uint64
		hangs bool
	}{{0, false}, {0, false}, {0, true}, {1, false}, {1, false}, {1, false}, {2, false}, {2, false}, {2, false}, {2, true}, {9, false}} {
		if got := p.hangs(c.beats); got != c.hangs {
			t.Errorf("look %d at %d turns: %v", i, c.beats, got)
		}
	}
	if d := maxStill * checkEvery; d < 5*time.Second || d > 10*time.Second {
		t.Errorf("a hanging driver is noticed after %v", d)
	}
}

// A device that comes between the look for it and the opening is no other device afterwards.
func TestDeviceThatComesWhileItIsLookedFor(t *testing.T) {
	b := newBinder(port.Sysfs{Root: t.TempDir(), Dev: t.TempDir()})
	path := filepath.Join(t.TempDir(), "gauge")
	g := Gauge{ID: "cal", Kind: Caliper, Address: path}
	b.add(g)
	addr, _, err := b.locate(g)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, nil, 0o600); err != nil {
		t.Fatal(err)
	}
	b.opened("cal", addr)
	if !b.still(g) {
		t.Error("the device just opened is taken for another one")
	}
	if err := os.Remove(path); err != nil {
		t.Fatal(err)
	}
	if err := os.Symlink(os.DevNull, path); err != nil {
		t.Fatal(err)
	}
	if b.still(g) {
		t.Error("another device under the name is not noticed")
	}
}
