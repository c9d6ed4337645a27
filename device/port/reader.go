package port

import (
	"errors"
	"fmt"
	"io"
)

// readAll is the only reader of the link. It ends at the first error, whatever it is: after an unplug
// the same error would come back for ever.
func (p *Port) readAll() {
	defer p.leave()
	defer close(p.chunks)
	buf := make([]byte, 4096)
	for {
		select {
		case <-p.closing:
			return
		default:
		}
		n, err := p.readOnce(buf)
		p.beats.Add(1)
		if n > 0 && !p.pass(buf[:n]) {
			return
		}
		if err != nil {
			p.giveUp(p.lost(err))
			return
		}
	}
}

// pass hands a copy of b on, or reports that the port was given up meanwhile.
func (p *Port) pass(b []byte) bool {
	at := p.opt.Now()
	if s := p.opt.Mode.settle(); s > 0 && at.Sub(p.opened) < s {
		return true
	}
	select {
	case p.chunks <- Chunk{At: at, Data: append([]byte(nil), b...)}:
		return true
	case <-p.closing:
		return false
	}
}

// readOnce guards against what serial drivers were seen to do: a count below zero, and a panic when the
// descriptor number is 1024 or more (select(2) takes no higher one).
func (p *Port) readOnce(buf []byte) (n int, err error) {
	defer func() {
		if r := recover(); r != nil {
			n, err = 0, &Error{Code: Gone, Addr: p.addr.String(), Cause: fmt.Sprintf("the port driver panicked: %v", r),
				Do: "if more than 1000 files or connections are open in this program, close some"}
		}
	}()
	n, err = p.link.Read(buf)
	if n < 0 || n > len(buf) {
		return 0, fmt.Errorf("the port driver returned %d bytes for a buffer of %d", n, len(buf))
	}
	return n, err
}

func (p *Port) lost(err error) error {
	if e, ok := errors.AsType[*Error](err); ok {
		return e
	}
	cause := "the port went away: " + err.Error()
	if errors.Is(err, io.EOF) {
		cause = "the other end closed the connection"
	}
	return p.fault(Gone, cause, "plug the gauge in again", err)
}
