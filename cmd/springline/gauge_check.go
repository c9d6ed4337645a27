package main

import (
	"errors"
	"time"

	"github.com/spf13/cobra"

	"springline/session/command"
)

func gaugeCheckCommand(sys system) *cobra.Command {
	var f onRecord
	var reference, against, due, doubt string
	var every, count int
	c := &cobra.Command{
		Use:   "check GAUGE [READING...]",
		Short: "Put on record how a gauge reads a length that is known",
		Long: `Every reading must lie within the gauge's allowed error at that length and half a step of its reading. The
check is on the page and on the report; a job with checked_gauges_only lets values wait whose gauge is not in
date or failed. How far the reference itself may be off counts against the gauge: say it with --doubt, and take a
reference that is ten times better where there is one. Without readings they are asked for: send them from a gauge
that no running bench holds, or type them, one a line.`,
		Example: `  springline gauge check tape-1 1000.2 1000.3 --reference 1000 --against "steel rule 4" --due 2027-11-01
  springline gauge check depth-1 25.01 --reference 25 --doubt 0.002 --by Ada
  springline gauge check depth-1 --reference 25 --readings 3 --every 365`,
		Args: cobra.MinimumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if reference == "" {
				return usageError{errors.New("say with --reference how long the known length is")}
			}
			if every != 0 {
				if due != "" || every < 1 || every > 3660 {
					return usageError{errors.New("--every takes 1 to 3660 days, and stands in for --due")}
				}
				due = sys.now().AddDate(0, 0, every).Format(time.DateOnly)
			}
			readings := args[1:]
			if len(readings) == 0 {
				if count < 1 || count > 50 {
					return usageError{errors.New("--readings takes 1 to 50")}
				}
				var err error
				if readings, err = takeReadings(c.Context(), sys, f.data, args[0], count); err != nil {
					return err
				}
			}
			return f.do(c.Context(), sys, args[0], command.CheckGauge{Gauge: args[0], Reference: reference, Readings: readings,
				Due: due, Doubt: doubt, Reason: against})
		},
	}
	f.flags(c)
	c.Flags().StringVar(&reference, "reference", "", "the known length, in the gauge's unit unless it says another")
	c.Flags().StringVar(&against, "against", "", "what the known length is")
	c.Flags().StringVar(&doubt, "doubt", "", "how far the known length may be off")
	c.Flags().IntVar(&count, "readings", 3, "how many are asked for where none is given")
	c.Flags().IntVar(&every, "every", 0, "the next check is due in so many days")
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
			return f.do(c.Context(), sys, args[0], command.RetireGauge{Gauge: args[0], Reason: reason})
		},
	}
	f.flags(c)
	c.Flags().StringVar(&reason, "reason", "", "why")
	return c
}
