package main

import (
	"context"
	"fmt"
	"strings"

	"github.com/spf13/cobra"
)

// run executes one command line and returns the exit code.
func run(ctx context.Context, sys system, args []string) int {
	root := rootCommand(sys)
	root.SetArgs(args)
	root.SetIn(sys.in)
	root.SetOut(sys.out)
	root.SetErr(sys.err)
	err := root.ExecuteContext(ctx)
	if err == nil {
		return exitOK
	}
	fmt.Fprintf(sys.err, "springline: %v\n", err)
	return exitCode(err)
}

func rootCommand(sys system) *cobra.Command {
	root := &cobra.Command{
		Use:   "springline",
		Short: "Bench-side measurement recorder for cold-bent arch ribs",
		Long: strings.TrimSpace(`
Springline reads gauges over serial or USB or takes typed entries, judges each cold-bent arch rib
against its target under stated uncertainty, pairs ribs into mirrored pairs and prints the batch report.

It checks shape only and says nothing on strength. Bent bar springs: stand clear of the tips, wear eye
protection and gloves, and leave what carries load or people to local codes and a licensed engineer.`),
		Example: `  springline demo                          the whole job on simulated gauges
  springline job example > shelter.toml    a job file to fill in
  springline bench --job shelter.toml      measure at the bench; the page opens on this machine only
  springline report --batch SHELTER-1      print the batch report`,
		Version:       version,
		SilenceUsage:  true,
		SilenceErrors: true,
		Args:          cobra.NoArgs,
		RunE:          func(c *cobra.Command, _ []string) error { return c.Help() },
	}
	root.SetFlagErrorFunc(func(_ *cobra.Command, err error) error { return usageError{err} })
	root.AddCommand(
		benchCommand(sys), jobCommand(sys), reportCommand(sys), tagsCommand(sys), dbCommand(sys),
		jigCommand(sys), gaugeCommand(sys), pairCommand(sys), studyCommand(sys), temperatureCommand(sys), demoCommand(sys), calcCommand(sys),
	)
	wrapArgs(root)
	return root
}

// wrapArgs makes every wrong argument list a usage error, so that scripts can tell it apart.
func wrapArgs(c *cobra.Command) {
	if check := c.Args; check != nil {
		c.Args = func(c *cobra.Command, args []string) error {
			if err := check(c, args); err != nil {
				return usageError{err}
			}
			return nil
		}
	}
	for _, sub := range c.Commands() {
		wrapArgs(sub)
	}
}
