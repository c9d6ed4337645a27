package device

import "time"

// Retry says how a lost gauge is looked for: waits double from Min to Max, each spread by up to a
// quarter so that gauges behind one hub do not all knock together.
type Retry struct {
	Min, Max   time.Duration
	BusyMax    time.Duration // longest wait while another program has the port
	NetworkMax time.Duration // longest wait for a network port, which nothing announces
	Look       time.Duration // how often the device node is looked at in between, without opening it
}

func (r Retry) withDefaults() Retry {
	set := func(d *time.Duration, v time.Duration) {
		if *d <= 0 {
			*d = v
		}
	}
	set(&r.Min, 250*time.Millisecond)
	set(&r.Max, 5*time.Second)
	set(&r.BusyMax, 2*time.Second)
	set(&r.NetworkMax, 2500*time.Millisecond)
	set(&r.Look, 500*time.Millisecond)
	return r
}

// wait is the time before attempt n (0 is the first after a loss); random is in 0..1.
func (r Retry) wait(n int, most time.Duration, random float64) time.Duration {
	d := r.Min
	for i := 0; i < n && d < most; i++ {
		d *= 2
	}
	d = min(d, most)
	return d - time.Duration(random*0.25*float64(d))
}
