package device

import (
	"fmt"
	"io"
	"sync"
	"time"
)

// Recorder writes what a port sends, as it comes. A nil *Recorder records nothing.
type Recorder struct {
	mu    sync.Mutex
	w     io.Writer
	start time.Time
	err   error
}

// NewRecorder writes the head; an empty date becomes start. Times count from start.
func NewRecorder(w io.Writer, start time.Time, head RecordingHead) (*Recorder, error) {
	if head.Date == "" {
		head.Date = start.Format(time.RFC3339)
	}
	if _, err := io.WriteString(w, head.text()); err != nil {
		return nil, fmt.Errorf("recording of gauge %q: write the header: %w", head.Gauge, err)
	}
	return &Recorder{w: w, start: start}, nil
}

func (r *Recorder) open(at time.Time)            { r.step(at, Step{Open: true}) }
func (r *Recorder) gone(at time.Time)            { r.step(at, Step{Gone: true}) }
func (r *Recorder) ask(at time.Time)             { r.step(at, Step{Ask: true}) }
func (r *Recorder) bytes(at time.Time, b []byte) { r.step(at, Step{Data: b}) }

// step writes one line. After the first error nothing more is written: a recording with a hole would
// replay as something that never happened.
func (r *Recorder) step(at time.Time, st Step) {
	if r == nil {
		return
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.err != nil {
		return
	}
	st.At = max(0, at.Sub(r.start))
	_, r.err = io.WriteString(r.w, st.text())
}

// Err is the first error of writing; the readings themselves are not affected.
func (r *Recorder) Err() error {
	if r == nil {
		return nil
	}
	r.mu.Lock()
	defer r.mu.Unlock()
	if r.err != nil {
		return fmt.Errorf("recording stopped: %w", r.err)
	}
	return nil
}
