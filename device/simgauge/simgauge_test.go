package simgauge_test

import (
	"bytes"
	"context"
	"errors"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"go.bug.st/serial"

	"springline/device/simgauge"
)

const limit = 20 * time.Second

func plugIn(t *testing.T, o simgauge.Options) *simgauge.Gauge {
	t.Helper()
	g, err := simgauge.New(o)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = g.Close() })
	return g
}

// open reads the gauge with the serial library alone, so that nothing of ours stands between.
func open(t *testing.T, name string) serial.Port {
	t.Helper()
	p, err := serial.Open(name, &serial.Mode{})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = p.Close() })
	return p
}

func TestBytesArriveAsSentAndWhatIsWrittenIsReceived(t *testing.T) {
	g := plugIn(t, simgauge.Options{Reply: func(b []byte) []byte { return append([]byte("re:"), b...) }})
	p := open(t, g.Address())
	all := make([]byte, 256)
	for i := range all {
		all[i] = byte(i)
	}
	if err := g.Send(all); err != nil {
		t.Fatal(err)
	}
	got := make([]byte, 256)
	if _, err := io.ReadFull(p, got); err != nil || !bytes.Equal(got, all) {
		t.Fatalf("got % x, %v", got, err)
	}
	if _, err := p.Write([]byte("R\r")); err != nil {
		t.Fatal(err)
	}
	if _, err := io.ReadFull(p, got[:5]); err != nil || string(got[:5]) != "re:R\r" {
		t.Fatalf("reply %q, %v", got[:5], err)
	}
	if string(g.Received()) != "R\r" {
		t.Fatalf("received %q", g.Received())
	}
}

// A slow reader gets everything although the gauge is unplugged at once: the kernel would throw the
// bytes away when the master closes.
func TestUnplugWaitsForTheReader(t *testing.T) {
	g := plugIn(t, simgauge.Options{})
	p := open(t, g.Address())
	want := strings.Repeat("12.345 mm\r\n", 50)
	if err := g.Send([]byte(want)); err != nil {
		t.Fatal(err)
	}
	done := make(chan error, 1)
	go func() { done <- g.Unplug() }()
	time.Sleep(60 * time.Millisecond)
	var got []byte
	buf := make([]byte, 64)
	for {
		n, err := p.Read(buf)
		got = append(got, buf[:n]...)
		if err != nil {
			break
		}
	}
	if err := <-done; err != nil {
		t.Fatal(err)
	}
	if string(got) != want {
		t.Fatalf("got %d of %d bytes", len(got), len(want))
	}
	if err := g.Send([]byte("x")); !errors.Is(err, simgauge.ErrUnplugged) {
		t.Fatalf("send after unplug: %v", err)
	}
}

func TestLinkFollowsTheReplug(t *testing.T) {
	link := filepath.Join(t.TempDir(), "ttyUSB0")
	g := plugIn(t, simgauge.Options{Link: link})
	first, err := os.Readlink(link)
	if err != nil || first != g.Device() || g.Address() != link {
		t.Fatalf("link leads to %q, device %q: %v", first, g.Device(), err)
	}
	if err := g.Yank(); err != nil {
		t.Fatal(err)
	}
	if _, err := os.Lstat(link); !errors.Is(err, os.ErrNotExist) {
		t.Fatalf("the link is there while unplugged: %v", err)
	}
	if err := g.Replug(); err != nil {
		t.Fatal(err)
	}
	if now, err := os.Readlink(link); err != nil || now != g.Device() {
		t.Fatalf("link leads to %q, device %q: %v", now, g.Device(), err)
	}
}

func TestReplugGivesAnotherName(t *testing.T) {
	g := plugIn(t, simgauge.Options{})
	for range 5 {
		first := g.Device()
		if err := g.Yank(); err != nil {
			t.Fatal(err)
		}
		if err := g.Replug(); err != nil {
			t.Fatal(err)
		}
		if g.Device() == first {
			t.Fatalf("the gauge is %s again", first)
		}
	}
}

func TestTCPGaugeKeepsItsPortOverAReplug(t *testing.T) {
	g := plugIn(t, simgauge.Options{TCP: true})
	addr := g.Address()
	for range 2 {
		c, err := net.Dial("tcp", strings.TrimPrefix(addr, "tcp://"))
		if err != nil {
			t.Fatal(err)
		}
		ctx, cancel := context.WithTimeout(context.Background(), limit)
		if err := errors.Join(g.WaitReader(ctx), g.Send([]byte("1.00 mm\r"))); err != nil {
			t.Fatal(err)
		}
		cancel()
		if err := g.Unplug(); err != nil {
			t.Fatal(err)
		}
		if got, err := io.ReadAll(c); err != nil || string(got) != "1.00 mm\r" {
			t.Fatalf("got %q, %v", got, err)
		}
		_ = c.Close()
		if err := g.Replug(); err != nil {
			t.Fatal(err)
		}
		if g.Address() != addr {
			t.Fatalf("address %s became %s", addr, g.Address())
		}
	}
}

func TestWaitEndsWithItsContext(t *testing.T) {
	g := plugIn(t, simgauge.Options{})
	ctx, cancel := context.WithTimeout(context.Background(), 30*time.Millisecond)
	defer cancel()
	if err := g.WaitReader(ctx); !errors.Is(err, context.DeadlineExceeded) {
		t.Fatalf("waiting for a reader that never comes: %v", err)
	}
}
