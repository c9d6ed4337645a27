package main

import (
	"context"
	"fmt"
	"os"
	"os/signal"
	"syscall"
	"time"

	"springline/session/store"
)

// version is set at release with -ldflags "-X main.version=...".
var version = "development"

func main() { os.Exit(mainCode()) }

func mainCode() int {
	// SQLite's process switches hold from the first open database on.
	if err := store.SetProcessSwitches(); err != nil {
		fmt.Fprintf(os.Stderr, "springline: %v\n", err)
		return exitFailed
	}
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	sys := system{in: os.Stdin, out: os.Stdout, err: os.Stderr, now: time.Now, start: time.Now()}
	defer stop()
	return run(ctx, sys, os.Args[1:])
}
