package port

import (
	"context"
	"errors"
	"net"
	"os"
	"time"
)

const (
	dialBound = 3 * time.Second
	// A dead peer is found after idle + count*interval = 11 s of silence.
	keepIdle, keepInterval, keepCount = 5 * time.Second, 2 * time.Second, 3
)

// conn is a network connection as a Link.
type conn struct{ *net.TCPConn }

func (c conn) Interrupt() { _ = c.SetDeadline(time.Unix(1, 0)) }

// openNetwork dials and lets shape put a protocol on top.
func openNetwork(ctx context.Context, addr Address, o Options, shape func(conn) (Link, []string, error)) (*Port, error) {
	lock, err := takeLock(o.LockDir, addr.String())
	if err != nil {
		return nil, err
	}
	d := net.Dialer{Timeout: dialBound, KeepAliveConfig: net.KeepAliveConfig{Enable: true,
		Idle: keepIdle, Interval: keepInterval, Count: keepCount}}
	raw, err := d.DialContext(ctx, "tcp", addr.Host)
	if err != nil {
		lock.release()
		return nil, &Error{Code: Unreachable, Addr: addr.String(), Cause: "no connection: " + err.Error(),
			Do: "check that the network port is on, on the net, and that nobody else is connected to it", Err: err}
	}
	tcp, ok := raw.(*net.TCPConn)
	if !ok {
		_ = raw.Close()
		lock.release()
		return nil, &Error{Code: Unreachable, Addr: addr.String(), Cause: "not a TCP connection", Do: "use host:port"}
	}
	link, notes, err := shape(conn{tcp})
	if err != nil {
		_ = tcp.Close()
		lock.release()
		return nil, &Error{Code: Unreachable, Addr: addr.String(), Cause: err.Error(),
			Do: "check that this is the right network port", Err: err}
	}
	return wrap(addr, link, o, lock, notes), nil
}

// readWithin reads once, giving up after d with timedOut true and the connection still usable.
func readWithin(ctx context.Context, c net.Conn, b []byte, d time.Duration) (n int, timedOut bool, err error) {
	// Each interruption is waited for, or it could hit a later read.
	var ended [2]chan struct{}
	interrupt := func(i int) func() {
		ended[i] = make(chan struct{})
		return func() {
			_ = c.SetReadDeadline(time.Unix(1, 0))
			close(ended[i])
		}
	}
	timer := time.AfterFunc(d, interrupt(0))
	stop := context.AfterFunc(ctx, interrupt(1))
	n, err = c.Read(b)
	if !timer.Stop() {
		<-ended[0]
	}
	if !stop() {
		<-ended[1]
	}
	if e := c.SetReadDeadline(time.Time{}); e != nil && err == nil {
		err = e
	}
	if errors.Is(err, os.ErrDeadlineExceeded) {
		return n, true, ctx.Err()
	}
	return n, false, err
}
