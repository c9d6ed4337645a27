//go:build full

package port_test

import (
	"bytes"
	"fmt"
	"net"
	"os"
	"os/exec"
	"strings"
	"testing"
	"time"
)

// peer starts a program of the system's package archive; it must be there.
func peer(t *testing.T, name string, arg ...string) *bytes.Buffer {
	t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		for _, p := range []string{"/usr/sbin/" + name, "/usr/local/sbin/" + name} {
			if _, e := os.Stat(p); e == nil {
				path, err = p, nil
			}
		}
	}
	if err != nil {
		t.Fatalf("%v: install the package %s, this test checks against it", err, name)
	}
	var out bytes.Buffer
	c := exec.Command(path, arg...)
	c.Stdout, c.Stderr = &out, &out
	if err := c.Start(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() {
		_ = c.Process.Kill()
		_ = c.Wait()
		if t.Failed() {
			t.Logf("%s said:\n%s", name, out.String())
		}
	})
	return &out
}

func freePort(t *testing.T) int {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer ln.Close()
	return ln.Addr().(*net.TCPAddr).Port
}

// awaitListener looks in the system's table, since connecting would already use the gauge.
func awaitListener(t *testing.T, addr string) {
	t.Helper()
	_, p, err := net.SplitHostPort(addr)
	if err != nil {
		t.Fatal(err)
	}
	var n int
	if _, err := fmt.Sscan(p, &n); err != nil {
		t.Fatal(err)
	}
	entry := fmt.Sprintf(":%04X 00000000:0000 0A", n)
	for end := time.Now().Add(limit); ; time.Sleep(10 * time.Millisecond) {
		b, err := os.ReadFile("/proc/net/tcp")
		if err != nil {
			t.Fatal(err)
		}
		if strings.Contains(string(b), entry) {
			return
		}
		if time.Now().After(end) {
			t.Fatalf("nobody listens on %s", addr)
		}
	}
}
