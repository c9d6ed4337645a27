package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"os"
	"strings"

	"github.com/pelletier/go-toml/v2"
	"github.com/spf13/cobra"

	"springline/cmd/springline/job"
	"springline/device/port"
	"springline/session/command"
)

func gaugeAddCommand(sys system) *cobra.Command {
	var g job.Gauge
	var file string
	var f onRecord
	c := &cobra.Command{
		Use:   "add GAUGE",
		Short: "Put a gauge on record, or into a job file",
		Long: `Without --job the gauge goes on record: a bench that is running connects it at once, one that is started later
does so then. With --job it is added at the end of the job file, once the job with it holds together; nothing
else in it changes. An address that leads to a USB adapter is written by its lasting name, where the system
keeps one, so that it is found in any socket.`,
		Example: `  springline gauge add tape-2 --job shelter.toml --kind tape --class II --resolution "1 mm" --measures "tip-to-tip"
  springline gauge add depth-2 --job shelter.toml --kind caliper --largest-error "0.05 mm" --resolution "0.01 mm" \
      --measures "station offset" --address /dev/ttyUSB0 --format line-mm`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			g.ID = args[0]
			if g.Name == "" {
				g.Name = g.ID
			}
			if a, err := port.ParseAddress(g.Address); err == nil && a.Kind == port.TTY {
				if name := lastingName(a.Path); name != "" {
					g.Address = name
				}
			}
			var err error
			if g.Format, err = formatText(g.Format); err != nil {
				return usageError{err}
			}
			if file == "" {
				return f.setGauge(c.Context(), sys, g)
			}
			return addGauge(sys, file, g)
		},
	}
	text := func(to *string, name, was, what string) { c.Flags().StringVar(to, name, was, what) }
	text(&file, "job", "", "job file to add it to, instead of the record")
	f.flags(c)
	text(&g.Name, "name", "", "name on page and report; the gauge's id when left out")
	text(&g.Kind, "kind", "caliper", "tape, caliper or steel rule")
	text(&g.Class, "class", "", "of a tape: I, II or III, printed near its start")
	c.Flags().BoolVar(&g.EndFace, "end-face", false, "a tape's lengths start at its hook or end face")
	text(&g.Limit, "largest-error", "", "of a gauge that is no classed tape")
	text(&g.Resolution, "resolution", "", "smallest step it reads")
	text(&g.Unit, "unit", "mm", "unit it sends or is read in: mm, cm, m, in or ft")
	c.Flags().StringSliceVar(&g.Measures, "measures", nil, "what it is used for: tip-to-tip, crown height, station offset, ...")
	text(&g.Checked, "checked", "", "day of its last check")
	text(&g.Due, "due", "", "day of the next")
	text(&g.Address, "address", "", "where it is connected; left out for a gauge that is typed from")
	text(&g.Line, "line", "", "how its serial line is set; 9600 8N1 when left out")
	text(&g.Format, "format", "", "a named shape, a format as JSON, or the file that springline gauge learn --out wrote")
	text(&g.Channel, "channel", "", "as its frames name it, where several gauges share a line")
	return c
}

// setGauge puts the gauge on record, beside a running bench too.
func (f *onRecord) setGauge(ctx context.Context, sys system, g job.Gauge) error {
	setup, err := g.Setup()
	if err != nil {
		return usageError{err}
	}
	return f.do(ctx, sys, g.ID, command.SetGauge(setup.Stated()))
}

func addGauge(sys system, file string, g job.Gauge) error {
	old, err := os.ReadFile(file)
	if err != nil {
		return fmt.Errorf("add the gauge to the job: %w", err)
	}
	if before, err := job.Parse(old); err == nil {
		for _, x := range before.Gauges {
			if x.ID == g.ID {
				return fmt.Errorf("add the gauge to the job: %s has a gauge %q already", file, g.ID)
			}
		}
	}
	block, err := toml.Marshal(struct {
		Gauge []job.Gauge `toml:"gauge"`
	}{[]job.Gauge{g}})
	if err != nil {
		return fmt.Errorf("add the gauge to the job: %w", err)
	}
	text := append(bytes.TrimRight(old, "\n"), "\n\n"...)
	text = append(text, block...)
	if _, err := job.Parse(text); err != nil {
		return usageError{fmt.Errorf("add the gauge to the job: with it, %w", err)}
	}
	if err := writeFile(file, func(w io.Writer) error { _, err := w.Write(text); return err }); err != nil {
		return err
	}
	where := ""
	if g.Address != "" {
		where = " at " + g.Address
	}
	_, err = fmt.Fprintf(sys.out, "%s has gauge %s%s for %s\n", file, g.ID, where, strings.Join(g.Measures, ", "))
	return err
}
