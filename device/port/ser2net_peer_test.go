//go:build full

package port_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"golang.org/x/sys/unix"

	"springline/device/port"
	"springline/device/simgauge"
)

// ser2net serves the simulated gauge on a TCP port through the given layers and gives host:port.
func ser2net(t *testing.T, g *simgauge.Gauge, accepter string) string {
	t.Helper()
	n := freePort(t)
	conf := filepath.Join(t.TempDir(), "ser2net.yaml")
	text := fmt.Sprintf("%%YAML 1.1\n---\nconnection: &gauge\n  accepter: %s,127.0.0.1,%d\n  connector: "+
		"serialdev,%s,2400n81,local\n  options:\n    kickolduser: true\n",
		accepter, n, g.Device())
	if err := os.WriteFile(conf, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	peer(t, "ser2net", "-n", "-u", "-c", conf, "-P", filepath.Join(t.TempDir(), "pid"))
	addr := fmt.Sprintf("127.0.0.1:%d", n)
	awaitListener(t, addr)
	return addr
}

func termios(t *testing.T, name string) *unix.Termios {
	t.Helper()
	f, err := os.OpenFile(name, os.O_RDWR|unix.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	tio, err := unix.IoctlGetTermios(int(f.Fd()), unix.TCGETS)
	if err != nil {
		t.Fatal(err)
	}
	return tio
}

// Checked against ser2net (Debian package), an RFC 2217 server by other people: the line of the pty is
// set as asked, confirmed, and all byte values pass both ways.
func TestRFC2217AgainstSer2net(t *testing.T) {
	g := sim(t, simgauge.Options{})
	addr := ser2net(t, g, "telnet(rfc2217),tcp")
	p := open(t, "rfc2217://"+addr, port.Options{Mode: port.Mode{Baud: 19200, DataBits: 7, Parity: port.ParityEven, StopBits: 2}})
	for _, n := range p.Notes() {
		t.Errorf("note: %s", n)
	}
	tio := termios(t, g.Device())
	if tio.Cflag&unix.CBAUD != unix.B19200 {
		t.Errorf("speed code %o, want B19200", tio.Cflag&unix.CBAUD)
	}
	// A pty keeps CS8 and no parity whatever is set (tty_termios of the pty driver), so only the stop
	// bits can be read back.
	if tio.Cflag&unix.CSTOPB == 0 {
		t.Errorf("two stop bits are not set: cflag %o", tio.Cflag)
	}
	every := make([]byte, 0, 512)
	for i := range 256 {
		every = append(every, byte(i), 0xFF)
	}
	if err := g.Send(every); err != nil {
		t.Fatal(err)
	}
	if got := read(t, p, len(every)); got != string(every) {
		t.Fatalf("from the gauge: got % x", got)
	}
	if err := p.Write(every); err != nil {
		t.Fatal(err)
	}
	for end := time.Now().Add(limit); !bytes.Equal(g.Received(), every); time.Sleep(5 * time.Millisecond) {
		if time.Now().After(end) {
			t.Fatalf("to the gauge: got % x", g.Received())
		}
	}
}

func TestRFC2217ReconnectsToSer2net(t *testing.T) {
	g := sim(t, simgauge.Options{})
	addr := ser2net(t, g, "telnet(rfc2217),tcp")
	for i := range 3 {
		p := open(t, "rfc2217://"+addr, port.Options{})
		sayUntilRead(t, g, p, fmt.Sprintf("%d.50 mm\r\n", i))
		if err := p.Close(); err != nil {
			t.Fatal(err)
		}
	}
}

// A server without the COM-PORT option: what cannot be set is told, readings come all the same.
func TestRFC2217AgainstTelnetWithoutTheOption(t *testing.T) {
	g := sim(t, simgauge.Options{})
	addr := ser2net(t, g, "telnet,tcp")
	p := open(t, "rfc2217://"+addr, port.Options{})
	if n := p.Notes(); len(n) != 1 || !strings.Contains(n[0], "line parameters") {
		t.Fatalf("notes %q", n)
	}
	sayUntilRead(t, g, p, "3.50 mm\r\n\xff")
}

func TestRawTCPAgainstSer2net(t *testing.T) {
	g := sim(t, simgauge.Options{})
	p := open(t, "tcp://"+ser2net(t, g, "tcp"), port.Options{})
	sayUntilRead(t, g, p, "3.50 mm\r\n\xff")
}

// sayUntilRead sends text, and again while nothing comes: ser2net opens the gauge after it has accepted,
// and throws away what was there before.
func sayUntilRead(t *testing.T, g *simgauge.Gauge, p *port.Port, text string) {
	t.Helper()
	got := ""
	for end := time.Now().Add(limit); !strings.HasSuffix(got, text); {
		if err := g.Send([]byte(text)); err != nil {
			t.Fatal(err)
		}
		again := time.NewTimer(300 * time.Millisecond)
		for waiting := true; waiting && len(got) < len(text); {
			select {
			case c, ok := <-p.Chunks():
				if !ok {
					t.Fatalf("the port is gone: %v", p.Err())
				}
				got += string(c.Data)
			case <-again.C:
				waiting = false
			}
		}
		again.Stop()
		if time.Now().After(end) || got != "" && !strings.HasPrefix(text, got) && got != text {
			t.Fatalf("got %q, want %q", got, text)
		}
	}
}
