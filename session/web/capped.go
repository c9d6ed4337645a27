package web

import (
	"net"
	"sync"
)

// capped accepts at most n connections at a time; the next ones wait in the system's queue.
func capped(l net.Listener, n int) net.Listener {
	return &cappedListener{Listener: l, slots: make(chan struct{}, n), closed: make(chan struct{})}
}

type cappedListener struct {
	net.Listener
	slots  chan struct{}
	closed chan struct{}
	once   sync.Once
}

func (l *cappedListener) Accept() (net.Conn, error) {
	select {
	case l.slots <- struct{}{}:
	case <-l.closed:
		return nil, net.ErrClosed
	}
	c, err := l.Listener.Accept()
	if err != nil {
		<-l.slots
		return nil, err
	}
	return &cappedConn{Conn: c, free: func() { <-l.slots }}, nil
}

func (l *cappedListener) Close() error {
	l.once.Do(func() { close(l.closed) })
	return l.Listener.Close()
}

type cappedConn struct {
	net.Conn
	once sync.Once
	free func()
}

func (c *cappedConn) Close() error {
	err := c.Conn.Close()
	c.once.Do(c.free)
	return err
}
