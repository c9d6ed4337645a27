// Package offline decodes recordings without a port, for tests that hold what a bench received against it.
package offline

import (
	"fmt"
	"time"

	"springline/device"
	"springline/device/wire"
)

// Decode runs a recording through a decoder as live bytes would run, but without waiting: a fresh
// decoder at each opening, and silence at each end. The events' times count from the opening.
func Decode(r device.Recording, f wire.Format) ([]wire.Event, error) {
	dec, err := wire.NewDecoder(f)
	if err != nil {
		return nil, fmt.Errorf("recording of gauge %q: %w", r.Head.Gauge, err)
	}
	var events []wire.Event
	var opened, now time.Duration
	end := func() { events = append(events, dec.Tick(now+endSilence)...) }
	for _, st := range r.Steps {
		now = st.At - opened
		switch {
		case st.Open:
			end()
			if dec, err = wire.NewDecoder(f); err != nil {
				return nil, fmt.Errorf("recording of gauge %q: %w", r.Head.Gauge, err)
			}
			opened, now = st.At, 0
		case st.Ask:
			_, asked := dec.Query(now)
			events = append(events, asked...)
		case len(st.Data) > 0:
			events = append(events, dec.Feed(now, st.Data)...)
		}
	}
	end()
	return events, nil
}

// endSilence is longer than any silence that means something to a decoder.
const endSilence = time.Hour
