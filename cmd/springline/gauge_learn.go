package main

import (
	"bufio"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"

	"github.com/spf13/cobra"

	"springline/cmd/springline/wiring"
	"springline/device/port"
	"springline/device/wire"
)

func gaugeLearnCommand(sys system) *cobra.Command {
	var line, family, ask, out string
	var asJSON bool
	c := &cobra.Command{
		Use:   "learn ADDRESS",
		Short: "Find out how a gauge writes, from two or three values that you read to it",
		Long: `Send a value from the gauge, type what its display shows, press Enter; again with another value, best one
below zero; an empty line ends. What the values leave open is said. The answer is the format for a job file; with --out it is written to
a file that springline gauge add --format takes.`,
		Example: `  springline gauge learn /dev/ttyUSB0
  springline gauge learn /dev/ttyUSB0 --line "4800 7E1"
  springline gauge learn /dev/ttyUSB0 --out depth.json
  springline gauge learn /dev/ttyUSB1 --family query --ask 520d`,
		Args: cobra.ExactArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			l, err := newLearner(sys, args[0], line, family, ask)
			if err != nil {
				return err
			}
			return l.learn(c.Context(), asJSON, out)
		},
	}
	c.Flags().StringVar(&line, "line", "9600 8N1", "how the serial line is set")
	c.Flags().StringVar(&family, "family", wire.Line, "line, query or stream")
	c.Flags().StringVar(&ask, "ask", "", "for query: the bytes that ask for a value, in hexadecimal")
	c.Flags().StringVar(&out, "out", "", "file for the format that fits best")
	c.Flags().BoolVar(&asJSON, "json", false, "answer in JSON, with every format that fits")
	return c
}

// learned is one entry of learn --json, the best first.
type learned struct {
	Format    wire.Format `json:"format"`
	Ambiguous []string    `json:"left_open"`
}

type learner struct {
	sys    system
	addr   port.Address
	mode   port.Mode
	base   wire.Format
	ask    []byte
	opened *port.Port
	got    []byte // since the last typed value
}

func newLearner(sys system, address, line, family, ask string) (*learner, error) {
	l := &learner{sys: sys, base: wire.DefaultFormat(family)}
	var err error
	if l.addr, err = port.ParseAddress(address); err != nil {
		return nil, usageError{err}
	}
	if l.mode, err = port.ParseMode(line); err != nil {
		return nil, usageError{err}
	}
	if l.ask, err = hex.DecodeString(ask); err != nil || (family == wire.Query) != (len(l.ask) > 0) {
		return nil, usageError{errors.New("--ask takes the bytes of a question in hexadecimal, with --family query and only there")}
	}
	l.base.QueryHex = ask
	return l, nil
}

func (l *learner) learn(ctx context.Context, asJSON bool, out string) error {
	locks, err := wiring.PortLocks()
	if err != nil {
		return err
	}
	if l.opened, err = port.Open(ctx, l.addr, port.Options{Mode: l.mode, LockDir: locks, Now: l.sys.now}); err != nil {
		return err
	}
	defer l.opened.Close()
	seen, err := l.observe(ctx)
	if err != nil {
		return err
	}
	fits, err := wire.Infer(l.base, seen)
	if err != nil {
		return err
	}
	text, err := fits[0].Format.MarshalJSON()
	if err != nil {
		return err
	}
	if out != "" {
		if err := writeFile(out, func(w io.Writer) error { _, err := fmt.Fprintf(w, "%s\n", text); return err }); err != nil {
			return err
		}
	}
	if asJSON {
		var all []learned
		for _, f := range fits {
			all = append(all, learned(f))
		}
		return writeJSON(l.sys.out, all)
	}
	p := &printer{w: l.sys.out}
	for _, a := range fits[0].Ambiguous {
		p.line("# left open: %s", a)
	}
	if n := len(fits) - 1; n > 0 {
		p.line("# %d more formats fit; --json shows them, another value may tell them apart", n)
	}
	p.line("format = '''%s'''", text)
	return p.err
}

// observe pairs what comes with what is typed.
func (l *learner) observe(ctx context.Context) ([]wire.Observation, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	typed := make(chan string)
	go func() {
		defer close(typed)
		for sc := bufio.NewScanner(l.sys.in); sc.Scan(); {
			select {
			case typed <- strings.TrimSpace(sc.Text()):
			case <-ctx.Done():
				return
			}
		}
	}()
	var seen []wire.Observation
	for {
		what := "send a value"
		if len(l.ask) > 0 {
			what = "set a value"
		}
		if _, err := fmt.Fprintf(l.sys.err, "value %d: %s, type what the display shows, Enter (nothing more: Enter alone)\n", len(seen)+1,
			what); err != nil {
			return nil, err
		}
		text, ok, err := l.untilTyped(ctx, typed)
		if err != nil || !ok || text == "" {
			return seen, err
		}
		if err := l.settle(ctx); err != nil {
			return nil, err
		}
		if len(l.got) == 0 {
			if _, err := io.WriteString(l.sys.err, "nothing came from the gauge: is it the right port, and its send key pressed?\n"); err != nil {
				return nil, err
			}
			continue
		}
		seen = append(seen, wire.Observation{Shown: text, Bytes: l.got})
		if _, err := fmt.Fprintf(l.sys.err, "  it sent %q\n", l.got); err != nil {
			return nil, err
		}
		l.got = nil
	}
}

// untilTyped keeps what comes until a line is typed.
func (l *learner) untilTyped(ctx context.Context, typed <-chan string) (string, bool, error) {
	for {
		select {
		case <-ctx.Done():
			return "", false, ctx.Err()
		case text, ok := <-typed:
			return text, ok, nil
		case c, ok := <-l.opened.Chunks():
			if !ok {
				return "", false, l.opened.Err()
			}
			l.got = append(l.got, c.Data...)
		}
	}
}

// settle takes what is still coming, and asks first where the gauge is one that is asked. A gauge that has
// sent nothing by then may be slow: it has two seconds.
func (l *learner) settle(ctx context.Context) error {
	if len(l.ask) > 0 {
		l.got = nil
		if err := l.opened.Write(l.ask); err != nil {
			return err
		}
	}
	silence := time.Duration(l.base.IdleFlushMS) * time.Millisecond
	wait := silence
	if len(l.got) == 0 {
		wait = 2 * time.Second
	}
	quiet := time.NewTimer(wait)
	defer quiet.Stop()
	for {
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-quiet.C:
			return nil
		case c, ok := <-l.opened.Chunks():
			if !ok {
				return l.opened.Err()
			}
			l.got = append(l.got, c.Data...)
			if l.base.Family == wire.Stream && len(l.got) > 512 {
				return nil // it never is silent
			}
			quiet.Reset(silence)
		}
	}
}
