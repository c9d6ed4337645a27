package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"time"

	"github.com/mattn/go-isatty"
	"github.com/rs/zerolog"

	"springline/cmd/springline/access"
	"springline/session"
)

// system is what the verbs need of the world; tests give them another.
type system struct {
	in       io.Reader
	out, err io.Writer
	now      func() time.Time
	start    time.Time
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

// recordIn is how the record in a data folder is opened.
func recordIn(sys system, data string) session.Config {
	return session.Config{Dir: data, Software: software(), Now: sys.now, Log: logger(sys)}
}

// withBench runs f with a way to the bench that holds the data folder.
func withBench(ctx context.Context, sys system, data string, f func(access.Way) error) error {
	if _, err := os.Stat(data); err != nil {
		return fmt.Errorf("open the data folder: %w; name the folder of a record with --data", err)
	}
	d, err := access.Open(ctx, recordIn(sys, data))
	if err != nil {
		return err
	}
	return errors.Join(f(d), d.Close())
}

// withReader runs f with the record in the data folder, read beside a running bench too.
func withReader(ctx context.Context, sys system, data string, f func(*session.Bench) error) error {
	b, err := session.OpenReadOnly(ctx, recordIn(sys, data))
	if err != nil {
		return err
	}
	return errors.Join(f(b), b.Close())
}
