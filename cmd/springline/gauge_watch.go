package main

import (
	"context"
	"errors"
	"fmt"
	"strings"
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

// watched is one line of watch --json.
type watched struct {
	Time    time.Time   `json:"time"`
	State   string      `json:"state,omitempty"`
	Reason  string      `json:"reason,omitempty"`
	Value   string      `json:"value,omitempty"`
	Unit    string      `json:"unit,omitempty"`
	Channel string      `json:"channel,omitempty"`
	Flags   []string    `json:"flags,omitempty"`
	Accept  wire.Accept `json:"accept,omitempty"`
	Error   string      `json:"error,omitempty"`
	Raw     string      `json:"raw,omitempty"` // the frame, with what cannot be printed escaped
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

func watchedOf(u device.Update, now time.Time) watched {
	if u.Reading == nil {
		return watched{Time: now, State: string(u.State), Reason: u.Reason}
	}
	w := watched{Time: u.Reading.Wall, Raw: strings.Trim(fmt.Sprintf("%q", u.Reading.Raw), `"`)}
	if e := u.Reading.Event.Err; e != nil {
		w.Error, w.Reason = e.Code, e.Detail
		return w
	}
	s := u.Reading.Event.Sample
	w.Value, w.Unit, w.Channel, w.Flags, w.Accept, w.Reason = s.Value, s.Unit, s.Channel, s.Flags, s.Accept, u.Unsure
	return w
}

func (w watched) show(sys system, asJSON bool) error {
	if asJSON {
		return writeJSONLine(sys.out, w)
	}
	p := &printer{w: sys.out}
	at := w.Time.Format("15:04:05.000")
	switch {
	case w.State != "":
		p.line("%s  %s", at, strings.TrimRight(strings.ReplaceAll(w.State, "_", " ")+"  "+w.Reason, " "))
	case w.Error != "":
		p.line("%s  refused: %s  %s  [%s]", at, strings.ReplaceAll(w.Error, "_", " "), w.Reason, w.Raw)
	default:
		doubt := ""
		if w.Accept != wire.Auto {
			doubt = "  would wait: " + strings.ReplaceAll(strings.Join(w.Flags, ", "), "_", " ")
		} else if len(w.Flags) > 0 {
			doubt = "  " + strings.ReplaceAll(strings.Join(w.Flags, ", "), "_", " ")
		}
		p.line("%s  %s%s%s  [%s]", at, strings.TrimSpace(w.Value+" "+w.Unit), channelText(w.Channel), doubt, w.Raw)
	}
	return p.err
}

func channelText(c string) string {
	if c == "" {
		return ""
	}
	return "  channel " + c
}
