package device

import (
	"testing"
	"time"

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

// A fault in decoding is one error and is counted; the bench goes on.
func TestDecoderFaultIsCaught(t *testing.T) {
	s := &source{}
	r := &reader{source: s, at: time.Second}
	ev := r.guard(func() []wire.Event { panic("out of range") })
	if len(ev) != 1 || ev[0].Err == nil || ev[0].Err.Code != "decoder_fault" || s.crashes.Load() != 1 {
		t.Fatalf("%+v, %d crashes", ev, s.crashes.Load())
	}
}
