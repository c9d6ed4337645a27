package port_test

import (
	"context"
	"errors"
	"runtime"
	"strings"
	"testing"
	"time"

	"springline/device/port"
	"springline/device/simgauge"
)

// limit bounds every wait of these tests; it is no measure of speed.
const limit = 20 * time.Second

func sim(t *testing.T, o simgauge.Options) *simgauge.Gauge {
	t.Helper()
	g, err := simgauge.New(o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = g.Close() })
	return g
}

func address(t *testing.T, text string) port.Address {
	t.Helper()
	a, err := port.ParseAddress(text)
	if err != nil {
		t.Fatal(err)
	}
	return a
}

func open(t *testing.T, text string, o port.Options) *port.Port {
	t.Helper()
	p, err := tryOpen(t, text, o)
	if err != nil {
		t.Fatal(err)
	}
	return p
}

func tryOpen(t *testing.T, text string, o port.Options) (*port.Port, error) {
	t.Helper()
	o.Now = time.Now
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	p, err := port.Open(ctx, address(t, text), o)
	if err == nil {
		t.Cleanup(func() { _ = p.Close() })
	}
	return p, err
}

// read collects n bytes.
func read(t *testing.T, p *port.Port, n int) string {
	t.Helper()
	var b strings.Builder
	bound := time.NewTimer(limit)
	defer bound.Stop()
	for b.Len() < n {
		select {
		case c, ok := <-p.Chunks():
			if !ok {
				t.Fatalf("port gone after %q: %v", b.String(), p.Err())
			}
			if c.At.Before(p.Opened()) {
				t.Fatalf("bytes at %v, before the port opened at %v", c.At, p.Opened())
			}
			b.Write(c.Data)
		case <-bound.C:
			t.Fatalf("only %q came, want %d bytes", b.String(), n)
		}
	}
	return b.String()
}

// gone waits for the port's end and gives its reason.
func gone(t *testing.T, p *port.Port) *port.Error {
	t.Helper()
	bound := time.NewTimer(limit)
	defer bound.Stop()
	for {
		select {
		case _, ok := <-p.Chunks():
			if ok {
				continue
			}
			e, isPort := errors.AsType[*port.Error](p.Err())
			if !isPort {
				t.Fatalf("reason %v (%T) is no *port.Error", p.Err(), p.Err())
			}
			return e
		case <-bound.C:
			t.Fatal("the port did not end")
		}
	}
}

// want checks code and wording of an error.
func want(t *testing.T, err error, code port.Code, words ...string) {
	t.Helper()
	if port.CodeOf(err) != code {
		t.Fatalf("error %v has code %q, want %q", err, port.CodeOf(err), code)
	}
	for _, w := range words {
		if !strings.Contains(err.Error(), w) {
			t.Errorf("error %q does not say %q", err, w)
		}
	}
	for _, never := range []string{" 666", `"0666"`, "chmod"} { // a port number may hold the digits
		if strings.Contains(err.Error(), never) {
			t.Errorf("error %q advises %q", err, never)
		}
	}
}

// noLeak fails if more goroutines run at the end than at the beginning.
func noLeak(t *testing.T) {
	t.Helper()
	before := runtime.NumGoroutine()
	t.Cleanup(func() {
		bound := time.Now().Add(limit)
		for runtime.NumGoroutine() > before {
			if time.Now().After(bound) {
				buf := make([]byte, 1<<20)
				t.Errorf("%d goroutines at first, %d at the end:\n%s", before, runtime.NumGoroutine(), buf[:runtime.Stack(buf, true)])
				return
			}
			time.Sleep(5 * time.Millisecond)
		}
	})
}
