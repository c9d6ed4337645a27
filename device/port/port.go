package port

import (
	"fmt"
	"sync"
	"sync/atomic"
	"time"
)

// Link is the raw transport under a Port. Read may return 0, nil when nothing came for a while. Port
// calls Close once, and only when neither Read nor Write is running: a descriptor that is closed under a
// running call can be handed to another file and read or written by mistake. Interrupt makes running
// calls return as far as the transport can; it may be called at any time and more than once.
type Link interface {
	Read(b []byte) (int, error)
	Write(b []byte) (int, error)
	Interrupt()
	Close() error
}

// Chunk is what one read gave. At is taken from the injected clock when the read returned.
type Chunk struct {
	At   time.Time
	Data []byte
}

// Options are what the opener knows and the address does not say.
type Options struct {
	Mode       Mode
	LockDir    string           // folder of the lock files; "" opens without a lock file
	Now        func() time.Time // required
	Generation uint64           // number of this connection, given back by Generation
	WriteBound time.Duration    // longest time for one write; 0 means 500 ms
	Queue      int              // chunks held before the reader waits; 0 means 256
}

const (
	defaultWriteBound = 500 * time.Millisecond
	defaultQueue      = 256
	closeBound        = time.Second // how long Close waits for the reader to come out of the kernel
)

// Port is one open connection. It is opened once, gone once, and never reopened: a new connection is a
// new Port, so nothing can write to the successor by holding the old one.
type Port struct {
	addr  Address
	link  Link
	opt   Options
	notes []string
	lock  *lockFile

	opened   time.Time
	chunks   chan Chunk
	closing  chan struct{} // closed when the port is given up
	released chan struct{} // closed when the descriptor and the lock are free
	beats    atomic.Uint64

	mu      sync.Mutex
	shut    bool
	writing bool
	users   int // goroutines inside the link
	err     error
}

// Wrap makes a Port of any link and starts its reader.
func Wrap(addr Address, link Link, o Options, notes ...string) *Port {
	return wrap(addr, link, o, nil, notes)
}

func wrap(addr Address, link Link, o Options, lock *lockFile, notes []string) *Port {
	if o.WriteBound <= 0 {
		o.WriteBound = defaultWriteBound
	}
	if o.Queue <= 0 {
		o.Queue = defaultQueue
	}
	p := &Port{addr: addr, link: link, opt: o, notes: notes, lock: lock, opened: o.Now(),
		chunks: make(chan Chunk, o.Queue), closing: make(chan struct{}), released: make(chan struct{}), users: 1}
	go p.readAll()
	return p
}

// Chunks delivers the bytes in order and is closed when the port is gone; then Err says why.
func (p *Port) Chunks() <-chan Chunk { return p.chunks }

// Err is nil while the port is open, afterwards an *Error.
func (p *Port) Err() error {
	p.mu.Lock()
	defer p.mu.Unlock()
	return p.err
}

// Opened is when the port was opened, by the injected clock.
func (p *Port) Opened() time.Time { return p.opened }

// Now is the time by the port's clock, that of Opened and of the chunks.
func (p *Port) Now() time.Time { return p.opt.Now() }

// Address is what was opened.
func (p *Port) Address() Address { return p.addr }

// Generation is the number given in Options.
func (p *Port) Generation() uint64 { return p.opt.Generation }

// Notes are findings at opening that do not stop the work: control lines the port has not, line
// parameters a network port did not confirm.
func (p *Port) Notes() []string { return append([]string(nil), p.notes...) }

// Beats counts turns of the reader. On a serial port it moves even when the line is silent.
func (p *Port) Beats() uint64 { return p.beats.Load() }

// Write sends b as one piece. After Close or loss it returns code Closed or the loss and touches
// nothing. If the port does not take b within the write bound the port is given up: code WriteStuck.
func (p *Port) Write(b []byte) error {
	p.mu.Lock()
	switch {
	case p.err != nil:
		err := p.err
		p.mu.Unlock()
		return err
	case p.writing:
		p.mu.Unlock()
		return p.fault(WriteStuck, "the write before this one is not finished", "ask the gauge more slowly", nil)
	}
	p.writing = true
	p.users++
	p.mu.Unlock()

	result := make(chan error, 1)
	own := append([]byte(nil), b...)
	go func() {
		defer p.leave()
		result <- p.writeOnce(own)
	}()
	bound := time.NewTimer(p.opt.WriteBound)
	defer bound.Stop()
	select {
	case err := <-result:
		if err != nil {
			err = p.fault(Gone, "writing failed: "+err.Error(), "", err)
			p.giveUp(err)
			return p.Err()
		}
		return nil
	case <-p.closing:
		return p.Err()
	case <-bound.C:
		p.giveUp(p.fault(WriteStuck, fmt.Sprintf("%d bytes were not taken within %v", len(b), p.opt.WriteBound),
			"check that the gauge is on and that flow control is off", nil))
		return p.Err()
	}
}

func (p *Port) writeOnce(b []byte) (err error) {
	defer func() {
		if r := recover(); r != nil {
			err = fmt.Errorf("the port driver panicked: %v", r)
		}
		p.mu.Lock()
		p.writing = false
		p.mu.Unlock()
	}()
	n, err := p.link.Write(b)
	if err == nil && n != len(b) {
		err = fmt.Errorf("only %d of %d bytes were taken", n, len(b))
	}
	return err
}

// Close gives the port up and waits at most a second for the descriptor and the lock to be free. The
// error tells that the reader or a write is still held in the kernel; they let go by themselves later.
func (p *Port) Close() error {
	p.giveUp(p.fault(Closed, "the port was closed", "", nil))
	wait := time.NewTimer(closeBound)
	defer wait.Stop()
	select {
	case <-p.released:
		return nil
	case <-wait.C:
		return p.fault(Gone, "the port did not let go and was left behind", "unplug the gauge", nil)
	}
}

// giveUp marks the port as gone, for the first reason only.
func (p *Port) giveUp(reason error) {
	p.mu.Lock()
	if !p.shut {
		p.shut = true
		p.err = reason
		close(p.closing)
	}
	p.mu.Unlock()
	p.link.Interrupt()
}

// leave is called by each goroutine that comes out of the link; the last one closes it.
func (p *Port) leave() {
	p.mu.Lock()
	p.users--
	last := p.users == 0
	p.mu.Unlock()
	if !last {
		return
	}
	_ = p.link.Close() // nothing is buffered for writing, so a failing close loses nothing
	p.lock.release()
	close(p.released)
}

func (p *Port) fault(c Code, cause, do string, err error) *Error {
	return &Error{Code: c, Addr: p.addr.String(), Cause: cause, Do: do, Err: err}
}
