package port_test

import (
	"bytes"
	"os"
	"path/filepath"
	"strconv"
	"testing"
	"time"

	"go.bug.st/serial"
	"golang.org/x/sys/unix"

	"springline/device/port"
	"springline/device/simgauge"
)

func TestTTYByNameBothWays(t *testing.T) {
	noLeak(t)
	g := sim(t, simgauge.Options{Reply: func([]byte) []byte { return []byte("12.345 mm\r") }})
	for _, m := range []port.Mode{{}, {Baud: 4800, DataBits: 7, Parity: port.ParityEven, StopBits: 2}, {Baud: 123456}} {
		p := open(t, g.Address(), port.Options{Mode: m, Generation: 7})
		if err := p.Write([]byte("R\r")); err != nil {
			t.Fatalf("%v: %v", m, err)
		}
		if got := read(t, p, 10); got != "12.345 mm\r" {
			t.Fatalf("%v: got %q", m, got)
		}
		if p.Generation() != 7 || len(p.Notes()) != 0 {
			t.Errorf("generation %d, notes %q", p.Generation(), p.Notes())
		}
		if err := p.Close(); err != nil {
			t.Fatal(err)
		}
		want(t, gone(t, p), port.Closed)
	}
	_ = g.Close()
}

// The library answers a silent line with 0, nil after its timeout; a buffered reader would give up.
func TestSilenceIsNotTheEnd(t *testing.T) {
	g := sim(t, simgauge.Options{})
	p := open(t, g.Address(), port.Options{})
	before := p.Beats()
	for p.Beats() < before+3 {
		time.Sleep(10 * time.Millisecond)
	}
	if err := g.Send([]byte("9.5\r")); err != nil {
		t.Fatal(err)
	}
	if got := read(t, p, 4); got != "9.5\r" {
		t.Fatalf("got %q", got)
	}
}

func TestUnplugIsALossAndFreesTheDescriptor(t *testing.T) {
	noLeak(t)
	g := sim(t, simgauge.Options{})
	fds := descriptors(t)
	p := open(t, g.Address(), port.Options{LockDir: t.TempDir()})
	if err := g.Yank(); err != nil {
		t.Fatal(err)
	}
	want(t, gone(t, p), port.Gone, "plug the gauge in again")
	want(t, p.Write([]byte("R\r")), port.Gone)
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	if now := descriptors(t); now > fds {
		t.Errorf("%d descriptors before, %d after: the next gauge would get another name", fds, now)
	}
}

func descriptors(t *testing.T) int {
	t.Helper()
	d, err := os.ReadDir("/proc/self/fd")
	if err != nil {
		t.Fatal(err)
	}
	return len(d)
}

// writeAfterClose closes, opens files so that the descriptor number is used again, writes through the
// closed port and gives what landed in the files.
func writeAfterClose(t *testing.T, closePort func(), write func([]byte)) (landed []byte) {
	t.Helper()
	closePort()
	var files []*os.File
	for i := range 40 {
		f, err := os.Create(filepath.Join(t.TempDir(), strconv.Itoa(i)))
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	write([]byte("QUERY?\r"))
	for _, f := range files {
		b, err := os.ReadFile(f.Name())
		if err != nil {
			t.Fatal(err)
		}
		landed = append(landed, b...)
		_ = f.Close()
	}
	return landed
}

func TestWriteAfterCloseTouchesNoFile(t *testing.T) {
	g := sim(t, simgauge.Options{})
	// Control: the library alone writes into a stranger's file. If this ever ends, the guard may go.
	raw, err := serial.Open(g.Address(), &serial.Mode{})
	if err != nil {
		t.Fatal(err)
	}
	if got := writeAfterClose(t, func() { _ = raw.Close() }, func(b []byte) { _, _ = raw.Write(b) }); !bytes.Contains(got, []byte("QUERY?")) {
		t.Fatalf("the control did not reproduce the fault (%q): this test shows nothing", got)
	}
	p := open(t, g.Address(), port.Options{})
	got := writeAfterClose(t, func() { _ = p.Close() }, func(b []byte) { want(t, p.Write(b), port.Closed) })
	if len(got) != 0 {
		t.Fatalf("%q was written into another file", got)
	}
}

// A peer that reads nothing blocks the line; the port is given up and everything comes free.
func TestBlockedWriteIsBounded(t *testing.T) {
	noLeak(t)
	g := sim(t, simgauge.Options{Deaf: true})
	fds := descriptors(t)
	p := open(t, g.Address(), port.Options{WriteBound: 100 * time.Millisecond})
	var err error
	for range 10_000 {
		if err = p.Write(bytes.Repeat([]byte("R"), 1024)); err != nil {
			break
		}
	}
	want(t, err, port.WriteStuck, "100ms")
	if err := p.Close(); err != nil {
		t.Fatalf("the blocked write holds the port: %v", err)
	}
	if now := descriptors(t); now > fds {
		t.Errorf("%d descriptors before, %d after", fds, now)
	}
}

func TestControlLinesAreOptional(t *testing.T) {
	yes, no := true, false
	g := sim(t, simgauge.Options{})
	p := open(t, g.Address(), port.Options{Mode: port.Mode{DTR: &yes, RTS: &no}})
	if n := p.Notes(); len(n) != 2 { // a pty has no such lines
		t.Fatalf("notes %q, want one for DTR and one for RTS", n)
	}
	if err := g.Send([]byte("1\r")); err != nil {
		t.Fatal(err)
	}
	read(t, p, 2)
}

// The library reads with select(2), which knows descriptors below 1024 only, and panics.
func TestTooManyDescriptorsIsALossNotACrash(t *testing.T) {
	noLeak(t)
	var lim unix.Rlimit
	if err := unix.Getrlimit(unix.RLIMIT_NOFILE, &lim); err != nil {
		t.Fatal(err)
	}
	if lim.Max < 2048 {
		t.Fatalf("this test needs 2048 descriptors, the limit is %d", lim.Max)
	}
	before := lim
	lim.Cur = max(lim.Cur, 2048)
	if err := unix.Setrlimit(unix.RLIMIT_NOFILE, &lim); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = unix.Setrlimit(unix.RLIMIT_NOFILE, &before) }()
	g := sim(t, simgauge.Options{})
	var files []*os.File
	defer func() {
		for _, f := range files {
			_ = f.Close()
		}
	}()
	for range 1100 {
		f, err := os.Open(os.DevNull)
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, f)
	}
	p := open(t, g.Address(), port.Options{})
	want(t, gone(t, p), port.Gone, "panicked", "1000 files")
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	_ = g.Close()
}
