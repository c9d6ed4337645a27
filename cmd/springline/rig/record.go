package rig

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"springline/device"
)

// recorder opens a new recording for a gauge; one that is there already is never written over.
func (r *Rig) recorder(g device.Gauge) (*device.Recorder, error) {
	if err := os.MkdirAll(r.cfg.Record, 0o755); err != nil {
		return nil, fmt.Errorf("make the folder for recordings: %w", err)
	}
	now := r.cfg.Now()
	name := filepath.Join(r.cfg.Record, fmt.Sprintf("%s-%s", g.ID, now.Format("20060102-150405")))
	f, err := os.OpenFile(name+".rec", os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	for n := 2; errors.Is(err, os.ErrExist) && n < 100; n++ { // connected anew within the second
		f, err = os.OpenFile(fmt.Sprintf("%s-%d.rec", name, n), os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
	}
	if err != nil {
		return nil, fmt.Errorf("record gauge %q: %w", g.ID, err)
	}
	r.recorders = append(r.recorders, f)
	format, err := g.Format.MarshalJSON()
	if err != nil {
		return nil, fmt.Errorf("record gauge %q: write its format: %w", g.ID, err)
	}
	return device.NewRecorder(f, now, device.RecordingHead{Gauge: g.ID, Format: string(format)})
}
