package simgauge

import (
	"errors"
	"fmt"
	"net"
	"os"
	"strings"
	"sync"
	"time"
)

// tcpLine is a server for one reader at a time, as network ports for gauges are.
type tcpLine struct {
	listener net.Listener
	name     string

	mu     sync.Mutex
	reader net.Conn
}

// newTCPLine listens on the address of the last time, or on a free port at first.
func newTCPLine(addr string) (*tcpLine, error) {
	hostport := "127.0.0.1:0"
	if addr != "" {
		hostport = strings.TrimPrefix(addr, "tcp://")
	}
	ln, err := net.Listen("tcp", hostport)
	if err != nil {
		return nil, fmt.Errorf("listen on %s: %w", hostport, err)
	}
	return &tcpLine{listener: ln, name: "tcp://" + ln.Addr().String()}, nil
}

func (l *tcpLine) address() string { return l.name }

func (l *tcpLine) current() net.Conn {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.reader
}

// errNoReader tells that nobody is connected; a real gauge would send into the air.
var errNoReader = errors.New("nobody is connected")

func (l *tcpLine) send(b []byte) error {
	c := l.current()
	if c == nil {
		return errNoReader
	}
	_, err := c.Write(b)
	return err
}

func (l *tcpLine) readerOpen() bool { return l.current() != nil }

// drained: an orderly close of TCP delivers what was sent first.
func (l *tcpLine) drained() bool { return true }

func (l *tcpLine) receive(take func([]byte)) error {
	for {
		c, err := l.listener.Accept()
		if err != nil {
			return err
		}
		l.mu.Lock()
		old := l.reader
		l.reader = c
		l.mu.Unlock()
		if old != nil {
			_ = old.Close()
		}
		l.serve(c, take)
	}
}

// serve reads one connection to its end while new ones wait in the listener's queue.
func (l *tcpLine) serve(c net.Conn, take func([]byte)) {
	buf := make([]byte, 4096)
	for {
		n, err := c.Read(buf)
		if n > 0 {
			take(buf[:n])
		}
		if err != nil {
			break
		}
	}
	l.mu.Lock()
	if l.reader == c {
		l.reader = nil
	}
	l.mu.Unlock()
	_ = c.Close()
}

func (l *tcpLine) close() error {
	err := l.listener.Close()
	if c := l.current(); c != nil {
		_ = c.SetReadDeadline(time.Unix(1, 0))
		_ = c.Close()
	}
	if errors.Is(err, os.ErrClosed) {
		return nil
	}
	return err
}
