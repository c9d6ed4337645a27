package main

import (
	"fmt"
	"os"

	"github.com/spf13/cobra"

	"springline/cmd/springline/job"
)

func jobCommand(sys system) *cobra.Command {
	c := &cobra.Command{Use: "job", Short: "Write or check a job file: target, gauges, bar and batch"}
	c.AddCommand(
		&cobra.Command{
			Use:     "example",
			Short:   "Print a commented job file to fill in",
			Example: "  springline job example > shelter.toml",
			Args:    cobra.NoArgs,
			RunE: func(*cobra.Command, []string) error {
				_, err := sys.out.Write(job.Example())
				return err
			},
		},
		&cobra.Command{
			Use:     "check FILE",
			Short:   "Say whether a job file can be measured to",
			Example: "  springline job check shelter.toml",
			Args:    cobra.ExactArgs(1),
			RunE: func(_ *cobra.Command, args []string) error {
				j, err := readJob(args[0])
				if err != nil {
					return err
				}
				_, err = fmt.Fprintf(sys.out, "%s: target %s revision %d, %d gauges, %d lots, batch %s: every tolerance can be proven\n",
					args[0], j.Target.ID, j.Target.Revision, len(j.Gauges), len(j.Lots), j.Batch.ID)
				return err
			},
		},
	)
	return c
}

func readJob(path string) (job.Job, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return job.Job{}, fmt.Errorf("read the job file: %w; `springline job example` prints one to fill in", err)
	}
	return job.Parse(text)
}
