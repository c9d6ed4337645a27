package device

import (
	"errors"
	"fmt"
	"os"
	"sync"
	"time"

	"springline/device/port"
)

// errReplayEnd ends a replay: there is nothing to reconnect to.
var errReplayEnd = errors.New("the recording came to its end")

// tape is a recording being played, kept over its own losses of connection.
type tape struct {
	steps []Step
	next  int
}

// openReplay plays the next stretch of the recording, up to where its port was gone.
func (s *source) openReplay(addr port.Address, o port.Options) (*port.Port, error) {
	if s.tape == nil {
		f, err := os.Open(addr.Path)
		if err != nil {
			return nil, &port.Error{Code: port.BadAddress, Addr: addr.String(), Cause: err.Error(), Do: "name an existing recording", Err: err}
		}
		defer f.Close()
		rec, err := ReadRecording(f)
		if err != nil {
			return nil, &port.Error{Code: port.BadAddress, Addr: addr.String(), Cause: err.Error(), Do: "record it again or mend the line", Err: err}
		}
		s.tape = &tape{steps: rec.Steps}
	}
	return port.Wrap(addr, newTapeLink(s.tape, o.Now), o), nil
}

// tapeLink plays a tape in its own time as a port.Link.
type tapeLink struct {
	tape    *tape
	now     func() time.Time
	started time.Time
	from    time.Duration
	rest    []byte
	stop    chan struct{}
	once    sync.Once
}

func newTapeLink(t *tape, now func() time.Time) *tapeLink {
	l := &tapeLink{tape: t, now: now, started: now(), stop: make(chan struct{})}
	if t.next < len(t.steps) && (t.next > 0 || t.steps[0].Open) {
		l.from = t.steps[t.next].At // the time before the port opened is not waited for
	}
	return l
}

// Read waits for the time of the next bytes.
func (l *tapeLink) Read(b []byte) (int, error) {
	for len(l.rest) == 0 {
		if l.tape.next >= len(l.tape.steps) {
			return 0, errReplayEnd
		}
		st := l.tape.steps[l.tape.next]
		if !l.await(st.At - l.from) {
			return 0, errors.New("the replay was stopped")
		}
		l.tape.next++
		switch {
		case st.Gone:
			if l.tape.next >= len(l.tape.steps) {
				return 0, errReplayEnd
			}
			return 0, fmt.Errorf("the recorded port went away at %d ms", st.At.Milliseconds())
		case st.Open: // times count on; the port opened when the link was made
		default:
			l.rest = st.Data
		}
	}
	n := copy(b, l.rest)
	l.rest = l.rest[n:]
	return n, nil
}

func (l *tapeLink) await(at time.Duration) bool {
	t := time.NewTimer(max(0, at-l.now().Sub(l.started)))
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-l.stop:
		return false
	}
}

// Write takes a query and does nothing: the answers are on the tape.
func (l *tapeLink) Write(b []byte) (int, error) { return len(b), nil }

// Interrupt ends the wait for the next bytes.
func (l *tapeLink) Interrupt() { l.once.Do(func() { close(l.stop) }) }

// Close has nothing to free.
func (l *tapeLink) Close() error { return nil }
