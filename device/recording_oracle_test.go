package device

import (
	"fmt"
	"io"
)

// Write gives the text form that ReadRecording reads.
func (r Recording) Write(w io.Writer) error {
	if _, err := io.WriteString(w, r.Head.text()); err != nil {
		return fmt.Errorf("recording: write: %w", err)
	}
	for _, st := range r.Steps {
		if _, err := io.WriteString(w, st.text()); err != nil {
			return fmt.Errorf("recording: write: %w", err)
		}
	}
	return nil
}
