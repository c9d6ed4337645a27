package web

import (
	"context"
	"errors"
	"fmt"
	"net"
	"net/http"
	"syscall"
	"time"

	"golang.org/x/net/netutil"
)

// Limits of the server. Every event stream holds a connection, and a serial port read panics on a file
// descriptor of 1024 or more, so the connections are capped far below that.
const (
	maxConnections = 256
	headerTime     = 5 * time.Second
	idleTime       = 60 * time.Second
	stopTime       = 2 * time.Second
	maxHeader      = 16 << 10
)

// Listen opens the page's port. Only loopback addresses are taken; port 0 picks a free one.
func Listen(addr string) (net.Listener, error) {
	host, _, err := net.SplitHostPort(addr)
	if err != nil {
		return nil, fmt.Errorf("open the page at %q: %w; give an address such as 127.0.0.1:8420", addr, err)
	}
	if err := mustBeLoopback(host); err != nil {
		return nil, fmt.Errorf("open the page at %q: %w", addr, err)
	}
	l, err := net.Listen("tcp", addr)
	switch {
	case errors.Is(err, syscall.EADDRINUSE):
		return nil, fmt.Errorf("open the page at %q: another program has that port (%w); stop it or choose another port", addr, err)
	case err != nil:
		return nil, fmt.Errorf("open the page at %q: %w", addr, err)
	}
	return l, nil
}

// errNotLoopback is the reason for refusing any other address.
var errNotLoopback = errors.New("the page has no log-in and is for this computer only; use 127.0.0.1, [::1] or localhost")

func mustBeLoopback(host string) error {
	if host == "localhost" {
		return nil
	}
	if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
		return errNotLoopback
	}
	return nil
}

// Serve answers on l until ctx ends, then cuts the event streams, lets running answers finish for two
// seconds and returns nil. cfg.Addr is taken from l.
func Serve(ctx context.Context, l net.Listener, cfg Config) error {
	cfg.Addr = l.Addr().String()
	h, err := New(cfg)
	if err != nil {
		l.Close()
		return err
	}
	base, cut := context.WithCancel(context.WithoutCancel(ctx))
	defer cut()
	srv := &http.Server{
		Handler:           h,
		ReadHeaderTimeout: headerTime,
		IdleTimeout:       idleTime,
		MaxHeaderBytes:    maxHeader,
		BaseContext:       func(net.Listener) context.Context { return base },
	}
	failed := make(chan error, 1)
	go func() { failed <- srv.Serve(netutil.LimitListener(l, maxConnections)) }()
	select {
	case err := <-failed:
		return fmt.Errorf("serve the page at %s: %w", cfg.Addr, err)
	case <-ctx.Done():
	}
	cut()
	stop, done := context.WithTimeout(context.WithoutCancel(ctx), stopTime)
	defer done()
	if srv.Shutdown(stop) != nil {
		srv.Close()
	}
	return nil
}
