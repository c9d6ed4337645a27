package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"springline/cmd/springline/door"
	"springline/session"
)

// onRecord are the flags of the verbs of gauge that change the record.
type onRecord struct {
	data, by string
	json     bool
}

func (f *onRecord) flags(c *cobra.Command) {
	c.Flags().StringVar(&f.data, "data", defaultData(), "data folder with the record")
	c.Flags().StringVar(&f.by, "by", "", "who does it")
	c.Flags().BoolVar(&f.json, "json", false, "answer in JSON")
}

// do records a command about a gauge and shows how the gauge stands then.
func (f *onRecord) do(ctx context.Context, sys system, c session.Command) error {
	c.By = f.by
	return throughDoor(ctx, sys, f.data, func(d door.Door) error {
		if _, err := d.Do(ctx, c); err != nil {
			return err
		}
		v, err := d.View(ctx)
		if err != nil {
			return err
		}
		for _, g := range v.Gauges {
			if g.ID != c.Gauge {
				continue
			}
			if f.json {
				return writeJSON(sys.out, g)
			}
			_, err := fmt.Fprintf(sys.out, "%s (%s): %s\n", g.Name, g.ID, g.Check)
			if len(v.Notices) > 0 && err == nil {
				_, err = fmt.Fprintln(sys.out, v.Notices[0])
			}
			return err
		}
		return fmt.Errorf("gauge %q is not on record", c.Gauge)
	})
}

func gaugeCheckCommand(sys system) *cobra.Command {
	var f onRecord
	var reference, against, due string
	c := &cobra.Command{
		Use:   "check GAUGE READING...",
		Short: "Put on record how a gauge reads a length that is known",
		Long: `Every reading must lie within the gauge's allowed error at that length and half a step of its reading. The
check is on the page and on the report; a job with checked_gauges_only lets values wait whose gauge is not in
date or failed. The reference's own error is not counted: take one that is ten times better.`,
		Example: `  springline gauge check tape-1 1000.2 1000.3 --reference 1000 --against "steel rule 4" --due 2027-11-01
  springline gauge check depth-1 25.01 --reference 25 --by Ada`,
		Args: cobra.MinimumNArgs(2),
		RunE: func(c *cobra.Command, args []string) error {
			return f.do(c.Context(), sys, session.Command{Op: session.OpGaugeCheck, Gauge: args[0], Reference: reference,
				Text: strings.Join(args[1:], "; "), Due: due, Reason: against})
		},
	}
	f.flags(c)
	c.Flags().StringVar(&reference, "reference", "", "the known length, in the gauge's unit unless it says another")
	c.Flags().StringVar(&against, "against", "", "what the known length is")
	c.Flags().StringVar(&due, "due", "", "day of the next check, such as 2027-11-01")
	return c
}

func gaugeRetireCommand(sys system) *cobra.Command {
	var f onRecord
	var reason string
	c := &cobra.Command{
		Use:     "retire GAUGE",
		Short:   "Take a gauge out of use: its values count no more, what it has measured stays",
		Example: `  springline gauge retire tape-1 --reason "kinked at 2 m"`,
		Args:    cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			return f.do(c.Context(), sys, session.Command{Op: session.OpGaugeRetire, Gauge: args[0], Reason: reason})
		},
	}
	f.flags(c)
	c.Flags().StringVar(&reason, "reason", "", "why")
	return c
}
