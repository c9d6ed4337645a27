package device

import (
	"errors"
	"fmt"
	"os"
	"sync"
	"sync/atomic"
	"time"

	"springline/device/port"
)

// errReplayEnd ends a replay: there is nothing to reconnect to.
var errReplayEnd = errors.New("the recording came to its end")

// tape is a recording being played, kept over its own losses of connection.
type tape struct {
	steps []Step
	next  int

	fast bool         // without waiting, by a clock of its own
	base time.Time    // fast: the moment that the recording's time zero stands for
	at   atomic.Int64 // fast: time of the step played last, since base
}

// now is the time by the tape's own clock.
func (t *tape) now() time.Time { return t.base.Add(time.Duration(t.at.Load())) }

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
		s.tape = &tape{steps: rec.Steps, fast: addr.Fast}
		if n := len(rec.Steps); addr.Fast && n > 0 {
			// Played without waiting, all of it has just happened: nothing gets a time that is still to come.
			s.tape.base = o.Now().Add(-rec.Steps[n-1].At)
		}
	}
	link := newTapeLink(s.tape, o.Now, s.ask)
	if addr.Fast {
		o.Now = s.tape.now
	}
	return port.Wrap(addr, link, o), nil
}

// tapeLink plays a tape as a port.Link, in its own time or as fast as it is read.
type tapeLink struct {
	tape    *tape
	now     func() time.Time
	ask     func() // makes the reader ask its gauge
	asked   chan struct{}
	started time.Time
	from    time.Duration
	rest    []byte
	stop    chan struct{}
	once    sync.Once
}

func newTapeLink(t *tape, now func() time.Time, ask func()) *tapeLink {
	l := &tapeLink{tape: t, now: now, ask: ask, asked: make(chan struct{}, 1), started: now(), stop: make(chan struct{})}
	if t.next < len(t.steps) && (t.next > 0 || t.steps[0].Open) {
		l.from = t.steps[t.next].At // the time before the port opened is not waited for
	}
	t.at.Store(int64(l.from))
	return l
}

// Read waits for the time of the next bytes.
func (l *tapeLink) Read(b []byte) (int, error) {
	for len(l.rest) == 0 {
		if l.tape.next >= len(l.tape.steps) {
			return 0, errReplayEnd
		}
		st := l.tape.steps[l.tape.next]
		if !l.await(st.At) {
			return 0, errReplayStopped
		}
		l.tape.next++
		switch {
		case st.Gone:
			if l.tape.next >= len(l.tape.steps) {
				return 0, errReplayEnd
			}
			return 0, fmt.Errorf("the recorded port went away at %d ms", st.At.Milliseconds())
		case st.Open: // times count on; the port opened when the link was made
		case st.Ask:
			if !l.question() {
				return 0, errReplayStopped
			}
		default:
			l.rest = st.Data
		}
	}
	n := copy(b, l.rest)
	l.rest = l.rest[n:]
	return n, nil
}

var errReplayStopped = errors.New("the replay was stopped")

func (l *tapeLink) await(at time.Duration) bool {
	if l.tape.fast {
		l.tape.at.Store(int64(at))
		select {
		case <-l.stop:
			return false
		default:
			return true
		}
	}
	t := time.NewTimer(max(0, at-l.from-l.now().Sub(l.started)))
	defer t.Stop()
	select {
	case <-t.C:
		return true
	case <-l.stop:
		return false
	}
}

// question has the gauge asked again where it was asked in the recording, and waits until it was: the
// answers on the tape belong to that question.
func (l *tapeLink) question() bool {
	select {
	case <-l.asked: // somebody's own question before this one has no answer here
	default:
	}
	l.ask()
	select {
	case <-l.asked:
		return true
	case <-l.stop:
		return false
	}
}

// Write takes a question; the answers are on the tape.
func (l *tapeLink) Write(b []byte) (int, error) {
	select {
	case l.asked <- struct{}{}:
	default:
	}
	return len(b), nil
}

// Interrupt ends the wait for the next bytes.
func (l *tapeLink) Interrupt() { l.once.Do(func() { close(l.stop) }) }

// Close has nothing to free.
func (l *tapeLink) Close() error { return nil }
