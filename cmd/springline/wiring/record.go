package wiring

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"springline/device"
)

// recorder opens a new recording for a gauge; one that is there already is never written over.
func (w *Wired) recorder(g device.Gauge) (*device.Recorder, error) {
	if err := os.MkdirAll(w.cfg.Record, 0o755); err != nil {
		return nil, fmt.Errorf("make the folder for recordings: %w", err)
	}
	now := w.cfg.Now()
	name := filepath.Join(w.cfg.Record, fmt.Sprintf("%s-%s", g.ID, now.Format("20060102-150405")))
	f, err := os.OpenFile(name+".rec", os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	for n := 2; errors.Is(err, os.ErrExist) && n < 100; n++ { // connected anew within the second
		f, err = os.OpenFile(fmt.Sprintf("%s-%d.rec", name, n), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	}
	if err != nil {
		return nil, fmt.Errorf("record gauge %q: %w", g.ID, err)
	}
	w.recorders = append(w.recorders, f)
	format, err := g.Format.MarshalJSON()
	if err != nil {
		return nil, fmt.Errorf("record gauge %q: write its format: %w", g.ID, err)
	}
	return device.NewRecorder(f, now, device.RecordingHead{Gauge: g.ID, Format: string(format)})
}
