//go:build full

package port_test

import (
	"bytes"
	"fmt"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	"springline/device/port"
)

// Checked against socat (Debian package): it makes a pty as a terminal for a person, with echo, line
// editing, signal characters, flow control and CR to LF. Once we have it open all 256 byte values pass
// unchanged both ways, and nothing comes back as an echo.
func TestLineDisciplineAgainstSocat(t *testing.T) {
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer ln.Close()
	link := filepath.Join(t.TempDir(), "ttyUSB0")
	peer(t, "socat", fmt.Sprintf("PTY,link=%s,echo=1,icanon=1,isig=1,icrnl=1,ixon=1,opost=1,onlcr=1", link), "TCP:"+ln.Addr().String())
	c, err := ln.Accept()
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	for end := time.Now().Add(limit); ; time.Sleep(5 * time.Millisecond) {
		if _, err := os.Stat(link); err == nil {
			break
		}
		if time.Now().After(end) {
			t.Fatal("socat made no pty")
		}
	}
	p := open(t, link, port.Options{})
	every := make([]byte, 256)
	for i := range every {
		every[i] = byte(i)
	}
	if _, err := c.Write(every); err != nil {
		t.Fatal(err)
	}
	if got := read(t, p, 256); got != string(every) {
		t.Fatalf("from the gauge: got % x", got)
	}
	if err := p.Write(every); err != nil {
		t.Fatal(err)
	}
	if err := p.Write([]byte("end")); err != nil {
		t.Fatal(err)
	}
	want := append(bytes.Clone(every), "end"...)
	var got []byte
	buf := make([]byte, 512)
	for !bytes.HasSuffix(got, []byte("end")) {
		if err := c.SetReadDeadline(time.Now().Add(limit)); err != nil {
			t.Fatal(err)
		}
		n, err := c.Read(buf)
		if err != nil {
			t.Fatalf("after % x: %v", got, err)
		}
		got = append(got, buf[:n]...)
	}
	if !bytes.Equal(got, want) {
		t.Fatalf("to the gauge: got % x", got)
	}
}
