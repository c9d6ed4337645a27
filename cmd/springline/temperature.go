package main

import (
	"context"
	"fmt"

	"github.com/spf13/cobra"

	"springline/cmd/springline/access"
	"springline/qc/words"
	"springline/session/command"
)

func temperatureCommand(sys system) *cobra.Command {
	var f onRecord
	var bar, tape, doubt string
	var wrong int64
	c := &cobra.Command{
		Use:   "temperature",
		Short: "Put the temperatures of bar and tape on record, through a running bench too",
		Long: `Lengths read on a tape or a rule in the two hours after are corrected to 20 C, with a bar and a tape of steel; the
value as read stays on record beside the correction. Without --bar and --tape it says what counts now.`,
		Example: `  springline temperature --bar 31 --tape 26
  springline temperature --bar 21 --tape 26 --instead-of 212 --by Ada`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return withBench(c.Context(), sys, f.data, func(d access.Way) error {
				if bar != "" || tape != "" || doubt != "" || wrong != 0 {
					cmd := command.Order{Sent: command.Sent{By: f.by}, Deed: command.ReadTemperature{Bar: bar, Tape: tape, Doubt: doubt, Seq: wrong}}
					if _, err := d.Do(c.Context(), cmd); err != nil {
						return err
					}
				}
				return f.showTemperature(c.Context(), sys, d)
			})
		},
	}
	f.flags(c)
	c.Flags().StringVar(&bar, "bar", "", "of the bar, degrees C")
	c.Flags().StringVar(&tape, "tape", "", "of the tape, degrees C")
	c.Flags().StringVar(&doubt, "doubt", "", "how far either may be off, in kelvin; 1 when left out")
	c.Flags().Int64Var(&wrong, "instead-of", 0, "record of an earlier reading that was wrong: what was measured under it is corrected anew")
	return c
}

func (f *onRecord) showTemperature(ctx context.Context, sys system, d access.Way) error {
	v, err := d.View(ctx)
	if err != nil {
		return err
	}
	if v.Batch == nil || v.Batch.Temperature == nil {
		return words.Problem(words.CodeNoBatch, "batch", "open one", "temperatures belong to an open batch")
	}
	t := v.Batch.Temperature
	if f.json {
		return writeJSON(sys.out, t)
	}
	if t.Seq != 0 {
		_, err = fmt.Fprintf(sys.out, "%s (record %d)\n", t.Text, t.Seq)
	} else {
		_, err = fmt.Fprintln(sys.out, t.Text)
	}
	return err
}
