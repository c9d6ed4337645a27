package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"

	"github.com/mattn/go-isatty"
	"github.com/rs/zerolog"
	"github.com/spf13/cobra"

	"springline/cmd/springline/job"
	"springline/cmd/springline/rig"
	"springline/session/store"
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
			return runBench(c.Context(), sys, rig.Config{Dir: data, Job: j, Record: record, JigSheet: jigSheetOf}, listen)
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
func runBench(ctx context.Context, sys system, c rig.Config, listen string) error {
	l, err := web.Listen(listen)
	if err != nil {
		return err
	}
	defer l.Close()
	c.Software, c.Now, c.Start, c.Log = software(), sys.now, sys.start, logger(sys)
	r, err := rig.Open(ctx, c)
	if err != nil {
		return err
	}
	fmt.Fprintf(sys.err, "springline: the bench page is at http://%s/ (this machine only); Ctrl-C ends it\n", l.Addr())
	return errors.Join(r.Serve(ctx, l), r.Close())
}

func software() string { return "springline " + version }

// logger writes lines for a person on a terminal and JSON otherwise.
func logger(sys system) zerolog.Logger {
	if f, ok := sys.err.(*os.File); ok && isatty.IsTerminal(f.Fd()) {
		return zerolog.New(zerolog.ConsoleWriter{Out: sys.err, NoColor: os.Getenv("NO_COLOR") != ""}).With().Timestamp().Logger()
	}
	return zerolog.New(sys.err).With().Timestamp().Logger()
}

// defaultData is the data folder where none is named.
func defaultData() string {
	if dir := os.Getenv("SPRINGLINE_DATA"); dir != "" {
		return dir
	}
	if dir, err := os.UserHomeDir(); err == nil {
		return filepath.Join(dir, "springline")
	}
	return "springline-data"
}

// exitCode gives the documented code of an error.
func exitCode(err error) int {
	var coded codedError
	var usage usageError
	var open *store.OpenError
	switch {
	case errors.As(err, &coded):
		return coded.code
	case errors.As(err, &usage):
		return exitUsage
	case errors.As(err, &open):
		switch open.Fault {
		case store.FaultInUse:
			return exitRunning
		case store.FaultNewer:
			return exitNewer
		case store.FaultDamaged, store.FaultForeign:
			return exitIntegrity
		}
	}
	if errors.Is(err, os.ErrPermission) {
		return exitNoAccess
	}
	return exitFailed
}
