package simgauge

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// line is the far end of a connection: a pty master or a TCP listener.
type line interface {
	address() string
	send(b []byte) error
	readerOpen() bool                  // someone has the port open
	drained() bool                     // everything sent was taken by the reader
	receive(take func(b []byte)) error // runs until closed
	close() error
}

// Options of a gauge. The zero value is a pty without a link.
type Options struct {
	// Link, if set, is a path that always points to the present pty, as a device name or a by-id link
	// does. Its folder must exist.
	Link string
	// TCP makes the gauge a TCP server on the loopback address in place of a pty.
	TCP bool
	// Deaf leaves what the reader writes in the line, so that its writes block at last; pty only.
	Deaf bool
	// Reply, if set, gives the answer to what the reader wrote (a query gauge); nil sends nothing.
	Reply func(got []byte) []byte
}

// Gauge is a simulated gauge. Its methods may be called from several goroutines.
type Gauge struct {
	opt Options

	mu    sync.Mutex
	line  line
	addr  string // TCP: kept over a replug
	got   []byte
	taken sync.WaitGroup
	plugs int
}

// ErrUnplugged is returned by Send while the gauge is unplugged.
var ErrUnplugged = errors.New("the simulated gauge is unplugged")

// New makes a gauge and plugs it in.
func New(o Options) (*Gauge, error) {
	if o.TCP && (o.Deaf || o.Link != "") {
		return nil, errors.New("simulated gauge: a TCP gauge has no link and cannot be deaf")
	}
	g := &Gauge{opt: o}
	if err := g.Replug(); err != nil {
		return nil, err
	}
	return g, nil
}

// Address is what to open: the link if there is one, else the pty's device path or tcp://host:port.
func (g *Gauge) Address() string {
	if g.opt.Link != "" {
		return g.opt.Link
	}
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.addr
}

// Device is the device path of the present pty, or the tcp address; it changes with each Replug.
func (g *Gauge) Device() string {
	g.mu.Lock()
	defer g.mu.Unlock()
	return g.addr
}

// Send writes bytes into the line as they are.
func (g *Gauge) Send(b []byte) error {
	g.mu.Lock()
	l := g.line
	g.mu.Unlock()
	if l == nil {
		return ErrUnplugged
	}
	if err := l.send(b); err != nil {
		return fmt.Errorf("simulated gauge: send %q: %w", b, err)
	}
	return nil
}

// WaitReader waits until someone has the port open.
func (g *Gauge) WaitReader(ctx context.Context) error {
	return g.await(ctx, "a reader", line.readerOpen)
}

// Drain waits until the reader has taken everything sent: bytes still in a pty when its master is
// closed are thrown away by the kernel.
func (g *Gauge) Drain(ctx context.Context) error {
	return g.await(ctx, "the reader to take the bytes", line.drained)
}

func (g *Gauge) await(ctx context.Context, what string, ready func(line) bool) error {
	tick := time.NewTicker(2 * time.Millisecond)
	defer tick.Stop()
	for {
		g.mu.Lock()
		l := g.line
		g.mu.Unlock()
		if l == nil {
			return ErrUnplugged
		}
		if ready(l) {
			return nil
		}
		select {
		case <-ctx.Done():
			return fmt.Errorf("simulated gauge: waiting for %s on %s: %w", what, l.address(), ctx.Err())
		case <-tick.C:
		}
	}
}

// drainBound is how long Unplug waits for a reader that takes nothing.
const drainBound = time.Second

// Unplug takes the gauge away, after the reader has taken what was sent. Unplugging twice does nothing.
func (g *Gauge) Unplug() error {
	g.mu.Lock()
	l := g.line
	g.mu.Unlock()
	if l != nil && l.readerOpen() {
		ctx, cancel := context.WithTimeout(context.Background(), drainBound)
		_ = g.Drain(ctx) // a reader that takes nothing: the plug is pulled all the same
		cancel()
	}
	return g.Yank()
}

// Yank takes the gauge away at once; bytes not yet taken are lost, as with a real plug.
func (g *Gauge) Yank() error {
	g.mu.Lock()
	l := g.line
	g.line = nil
	g.mu.Unlock()
	if l == nil {
		return nil
	}
	if g.opt.Link != "" {
		_ = os.Remove(g.opt.Link)
	}
	err := l.close()
	g.taken.Wait()
	return err
}

// Replug plugs the gauge in again: a new pty of another name behind the same link; the same port for TCP.
func (g *Gauge) Replug() error {
	g.mu.Lock()
	defer g.mu.Unlock()
	if g.line != nil {
		return nil
	}
	l, err := g.newLine()
	if err != nil {
		return fmt.Errorf("simulated gauge: plug in: %w", err)
	}
	if err := point(g.opt.Link, l.address()); err != nil {
		_ = l.close()
		return fmt.Errorf("simulated gauge: link: %w", err)
	}
	g.line, g.addr = l, l.address()
	g.plugs++
	if !g.opt.Deaf {
		g.taken.Go(func() { _ = l.receive(func(b []byte) { g.take(l, b) }) })
	}
	return nil
}

func (g *Gauge) newLine() (line, error) {
	if g.opt.TCP {
		return newTCPLine(g.addr)
	}
	// The kernel gives out the lowest free number, which may be that of the pty before: a second pty opened while
	// the first is held has another.
	l, err := newPTYLine()
	if err != nil || l.name != g.addr {
		return l, err
	}
	other, err := newPTYLine()
	return other, errors.Join(err, l.close())
}

func (g *Gauge) take(l line, b []byte) {
	g.mu.Lock()
	g.got = append(g.got, b...)
	g.mu.Unlock()
	if g.opt.Reply == nil {
		return
	}
	if answer := g.opt.Reply(b); len(answer) > 0 {
		_ = l.send(answer) // unplugged meanwhile: nobody waits for it
	}
}

// Received gives what the reader has written so far.
func (g *Gauge) Received() []byte {
	g.mu.Lock()
	defer g.mu.Unlock()
	return append([]byte(nil), g.got...)
}

// Close unplugs at once and removes the link.
func (g *Gauge) Close() error { return g.Yank() }

// point makes link lead to target in one step, so that a reader never sees it missing half-way.
func point(link, target string) error {
	if link == "" {
		return nil
	}
	tmp := filepath.Join(filepath.Dir(link), fmt.Sprintf(".%s.new", filepath.Base(link)))
	_ = os.Remove(tmp)
	if err := os.Symlink(target, tmp); err != nil {
		return err
	}
	return os.Rename(tmp, link)
}
