package main

import (
	"context"
	"errors"
	"fmt"

	"github.com/spf13/cobra"

	"springline/cmd/springline/job"
	"springline/cmd/springline/wiring"
	"springline/session/web"
)

func benchCommand(sys system) *cobra.Command {
	var data, jobFile, listen, record string
	c := &cobra.Command{
		Use:   "bench",
		Short: "Measure ribs: read the gauges, keep the record, serve the page",
		Long: `Opens the gauges of the job and the record in the data folder, and serves the bench page on this
machine only, until Ctrl-C. Every value is on the disk before it is shown. A gauge without an address is
typed in on the page.`,
		Example: `  springline bench --job shelter.toml
  springline bench --job shelter.toml --record recordings`,
		Args: cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			var j *job.Job
			if jobFile != "" {
				read, err := readJob(jobFile)
				if err != nil {
					return usageError{err}
				}
				j = &read
			}
			return runBench(c.Context(), sys, wiring.Config{Dir: data, Job: j, Record: record}, listen)
		},
	}
	c.Flags().StringVar(&data, "data", defaultData(), "data folder with the record")
	c.Flags().StringVar(&jobFile, "job", "", "job file: target, gauges, bar and batch")
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:8440", "loopback address and port of the page")
	c.Flags().StringVar(&record, "record", "", "folder for a timed recording of every connected gauge")
	return c
}

// runBench serves the page until ctx ends. The port is taken before the record, so that a taken port
// leaves no new folder behind.
func runBench(ctx context.Context, sys system, c wiring.Config, listen string) error {
	l, err := web.Listen(listen)
	if err != nil {
		return err
	}
	defer l.Close()
	c.Software, c.Now, c.Start, c.Log = software(), sys.now, sys.start, logger(sys)
	r, err := wiring.Open(ctx, c)
	if err != nil {
		return err
	}
	fmt.Fprintf(sys.err, "springline: the bench page is at http://%s/ (this machine only); Ctrl-C ends it\n", l.Addr())
	return errors.Join(r.Serve(ctx, l), r.Close())
}
