package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"springline/device/port"
	"springline/device/wire"
	"springline/session"
	"springline/session/show"
)

func gaugeCommand(sys system) *cobra.Command {
	c := &cobra.Command{
		Use:   "gauge",
		Short: "List the ports, watch what a gauge sends, learn how it writes, check it, take it out of use",
		Long: `Watching and learning open the port themselves: where a running bench reads it, it is busy, and the message
says so. Listing opens nothing. Checking and taking out of use go on record, through a running bench too.`,
	}
	c.AddCommand(gaugeListCommand(sys), gaugeWatchCommand(sys), gaugeLearnCommand(sys),
		gaugeAddCommand(sys), gaugeCheckCommand(sys), gaugeRetireCommand(sys))
	return c
}

func gaugeListCommand(sys system) *cobra.Command {
	var asJSON bool
	var data string
	c := &cobra.Command{
		Use:   "list",
		Short: "List the serial ports with what is plugged into them, and the gauges on record",
		Long: `Reads what the kernel knows and opens no port, so that a gauge in use is not disturbed. The lasting name
leads to the same adapter whatever port name it gets: give that one as the address of a gauge. Where the data
folder holds a record, its gauges follow with where they are connected and how their checks stand.`,
		Example: "  springline gauge list",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			list, err := port.Sysfs{}.List()
			if err != nil {
				return err
			}
			gauges, err := recordedGauges(c.Context(), sys, data, c.Flags().Changed("data"))
			if err != nil {
				return err
			}
			if asJSON {
				return writeJSON(sys.out, struct {
					Ports  []port.Device    `json:"ports"`
					Gauges []show.GaugeView `json:"gauges"`
				}{append([]port.Device{}, list...), gauges})
			}
			p := &printer{w: sys.out}
			if len(list) == 0 {
				p.line("no serial port: plug the gauge in; a gauge that types like a keyboard has none")
			}
			for _, d := range list {
				what := strings.TrimSpace(d.Manufacturer + " " + d.Product)
				p.line("%s  %s  %s", d.Path, d.Identity, what)
				if name := lastingName(d.Path); name != "" {
					p.line("    lasting name: %s", name)
				}
				for _, g := range gauges {
					if at, err := filepath.EvalSymlinks(g.Address); err == nil && at == d.Path {
						p.line("    gauge %s", g.ID)
					}
				}
			}
			listGauges(p, gauges)
			return p.err
		},
	}
	c.Flags().BoolVar(&asJSON, "json", false, "answer in JSON")
	c.Flags().StringVar(&data, "data", defaultData(), "data folder with the record")
	return c
}

// recordedGauges are those on record in the data folder, read beside a running bench too; none where there is no
// folder, unless it was named.
func recordedGauges(ctx context.Context, sys system, data string, named bool) ([]show.GaugeView, error) {
	list := []show.GaugeView{}
	b, err := session.OpenReadOnly(ctx, recordIn(sys, data))
	if err != nil {
		if _, gone := os.Stat(data); errors.Is(gone, os.ErrNotExist) && !named {
			return list, nil
		}
		return nil, err
	}
	return append(list, b.View().Gauges...), b.Close()
}

func listGauges(p *printer, gauges []show.GaugeView) {
	for _, g := range gauges {
		where := g.Address
		if where == "" {
			where = "typed from"
		}
		p.line("gauge %s  %s  %s  for %s", g.ID, g.Name, where, strings.Join(g.Measures, ", "))
		p.line("    %s", g.Check)
	}
}

// shapesText lists the named shapes for a help text.
func shapesText() string {
	var b strings.Builder
	for _, f := range wire.NamedFormats() {
		fmt.Fprintf(&b, "  %-16s %s\n", f.Name, f.Note)
	}
	return b.String()
}
