package demo

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"time"

	"springline/cmd/springline/job"
	"springline/device/simgauge"
)

// gauges are the simulated gauges by id.
type gauges struct {
	byID map[string]*simgauge.Gauge
	ids  []string
}

// plugIn makes a simulated gauge for each gauge of the job and puts its address into the job: a pty
// behind a link that stays when the plug is pulled, as a by-id name does; TCP where there is no pty.
func plugIn(j *job.Job, dir string) (*gauges, error) {
	g := &gauges{byID: map[string]*simgauge.Gauge{}}
	ports, err := filepath.Abs(filepath.Join(dir, "ports"))
	if err != nil {
		return nil, err
	}
	for i := range j.Gauges {
		id := j.Gauges[i].ID
		sim, err := simgauge.New(simgauge.Options{Link: filepath.Join(ports, id)})
		if err != nil {
			if sim, err = simgauge.New(simgauge.Options{TCP: true}); err != nil {
				return nil, errors.Join(fmt.Errorf("simulate gauge %q: %w", id, err), g.unplug())
			}
		}
		j.Gauges[i].Address = sim.Address()
		g.byID[id] = sim
		g.ids = append(g.ids, id)
	}
	return g, nil
}

// wait until the bench has every gauge open, and past the moment in which bytes count as left over
// from before.
func (g *gauges) wait(ctx context.Context) error {
	for _, id := range g.ids {
		if err := g.byID[id].WaitReader(ctx); err != nil {
			return err
		}
	}
	return settle(ctx, 200*time.Millisecond)
}

func (g *gauges) unplug() error {
	var errs []error
	for _, id := range g.ids {
		errs = append(errs, g.byID[id].Yank())
	}
	return errors.Join(errs...)
}

// settle waits as a hand would.
func settle(ctx context.Context, d time.Duration) error {
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
