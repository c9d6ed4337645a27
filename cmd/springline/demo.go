package main

import (
	"context"
	"errors"
	"fmt"
	"os"

	"github.com/mattn/go-isatty"
	"github.com/rs/zerolog"
	"github.com/spf13/cobra"

	"springline/cmd/springline/demo"
	"springline/cmd/springline/wiring"
	"springline/session/web"
)

func demoCommand(sys system) *cobra.Command {
	var dir, listen string
	var exit bool
	c := &cobra.Command{
		Use:   "demo",
		Short: "Run the whole job on simulated gauges, then serve its page",
		Long: `Bends, measures, corrects and pairs 25 invented ribs of a boardwalk shelter. Simulated gauges write
their readings into real ptys; the bench that reads them is the one every job uses. The record and the
reports go to a folder that each run makes anew. On a terminal the bench page is then served until
Ctrl-C.`,
		Example: "  springline demo\n  springline demo --exit",
		Args:    cobra.NoArgs,
		RunE: func(c *cobra.Command, _ []string) error {
			return runDemo(c.Context(), sys, dir, listen, exit)
		},
	}
	c.Flags().StringVar(&dir, "dir", "springline-demo", "folder to make anew")
	c.Flags().StringVar(&listen, "listen", "127.0.0.1:8441", "loopback address and port of the page")
	c.Flags().BoolVar(&exit, "exit", false, "leave after the summary")
	return c
}

func runDemo(ctx context.Context, sys system, dir, listen string, exit bool) error {
	serve := !exit && onTerminal(sys)
	o := demo.Options{
		Dir: dir, Out: sys.out, Software: software(), Now: sys.now, Start: sys.start,
		Log: logger(sys).Level(zerolog.ErrorLevel),
	}
	served := make(chan error, 1)
	if serve {
		l, err := web.Listen(listen)
		if err != nil {
			return err
		}
		defer l.Close()
		o.Ready = func(r *wiring.Wired) {
			fmt.Fprintf(sys.out, "The bench page is at http://%s/ (this machine only).\n", l.Addr())
			go func() { served <- r.Serve(ctx, l) }()
		}
	}
	s, closeAll, err := demo.Run(ctx, o)
	if closeAll != nil {
		defer func() { _ = closeAll() }() // the record is safe without; a second close does nothing
	}
	if err != nil {
		return fmt.Errorf("demo: %w", err)
	}
	fmt.Fprintf(sys.out, `
%d ribs measured in %.0f s: %d passed, %d of them after a pull; %d pairs, %d spare (mismatch %s in all)
the jig was rebuilt %d times; %d values were held for a question, %d frames refused, %d plugs pulled
record: %d entries in %s
reports: %s
`, s.Ribs, s.Took.Seconds(), s.Passed, s.ReBent, s.Pairs, s.Spares, s.SumMismatch,
		s.JigRebuilds, s.Held, s.Refused, s.Unplugs, s.Records, dir+"/data", dir+"/report.pdf .html .csv .json .txt")
	if !serve {
		return closeAll()
	}
	fmt.Fprintf(sys.out, "\nThe page stays at http://%s/ until Ctrl-C.\n", listen)
	if err := <-served; err != nil && !errors.Is(err, context.Canceled) {
		return err
	}
	return closeAll()
}

func onTerminal(sys system) bool {
	f, ok := sys.out.(*os.File)
	return ok && isatty.IsTerminal(f.Fd())
}
