package main

import (
	"context"
	"errors"
	"fmt"
	"time"

	"github.com/spf13/cobra"

	"springline/device"
	"springline/device/wire"
)

func gaugeWatchCommand(sys system) *cobra.Command {
	var g gaugePort
	var count int
	var asJSON bool
	var data string
	c := &cobra.Command{
		Use:   "watch ADDRESS|GAUGE",
		Short: "Show what a gauge sends, and what would count, until Ctrl-C",
		Long: `Opens the gauge, shows each value with what is in doubt about it, and each frame that is refused with its
bytes and the reason. Nothing is put on record. A gauge that sends when it is asked is asked again and again.
A gauge that a running bench of the data folder holds is left to it: what the bench receives is shown then.

The named shapes are
` + shapesText(),
		Example: `  springline gauge watch /dev/ttyUSB0
  springline gauge watch /dev/ttyUSB0 --line "4800 7E1" --format line-mm --record caliper.rec
  springline gauge watch depth-1 --data springline-demo/data
  springline gauge watch replay:caliper.rec`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) (err error) {
			c0, held, err := onBench(c.Context(), sys, data, args[0])
			if err != nil {
				return err
			}
			if held != nil {
				defer func() { err = errors.Join(err, held.Close()) }()
				return watchBench(c.Context(), sys, held, c0, count, asJSON)
			}
			gauge, err := g.gauge(args[0])
			if c0.ID != "" && !c.Flags().Changed("format") && !c.Flags().Changed("line") {
				gauge, err = c0.Device() // as the record has it
			}
			if err != nil {
				return err
			}
			hub, disconnect, err := g.connect(sys, gauge)
			if err != nil {
				return err
			}
			defer func() { err = errors.Join(err, disconnect()) }()
			return watchGauge(c.Context(), sys, hub, gauge, count, asJSON)
		},
	}
	g.flags(c, "line")
	c.Flags().StringVar(&data, "data", defaultData(), "data folder with the record")
	c.Flags().IntVar(&count, "count", 0, "end after so many values; 0 goes on")
	c.Flags().BoolVar(&asJSON, "json", false, "one JSON object a line")
	return c
}

func watchGauge(ctx context.Context, sys system, hub *device.Hub, gauge device.Gauge, count int, asJSON bool) error {
	ask := make(<-chan time.Time)
	if gauge.Format.Family == wire.Query {
		t := time.NewTicker(time.Duration(gauge.Format.PollMS) * time.Millisecond)
		defer t.Stop()
		ask = t.C
	}
	for values := 0; ; {
		select {
		case <-ctx.Done():
			return nil
		case <-ask:
			if err := hub.Query(gauge.ID); err != nil {
				return err
			}
		case u := <-hub.Updates():
			w := watchedOf(u, sys.now())
			if err := w.show(sys, asJSON); err != nil {
				return err
			}
			switch {
			case u.Reading == nil && u.State == device.StateEnded:
				return nil
			case u.Reading == nil && u.State == device.StateError:
				return fmt.Errorf("watch the gauge: %s", u.Reason)
			}
			if w.Value != "" {
				if values++; values == count {
					return nil
				}
			}
		}
	}
}
