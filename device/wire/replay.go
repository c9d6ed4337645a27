package wire

import (
	"fmt"
	"time"
)

// Chunk is what arrived at one moment, counted from the opening of the port.
type Chunk struct {
	At     time.Duration
	Bytes  []byte
	Repeat bool // keyboard: the first key repeats because it is held down
}

// FirstQuestion is when [Replay] asks a gauge of the query family for the first time: well after the
// opening gap.
const FirstQuestion = 500 * time.Millisecond

// Replay decodes a whole recording: the chunks in order of time, then silence until nothing more can
// come. A gauge of the query family is asked at [FirstQuestion] and then every poll_ms, up to the
// last chunk, since a recording does not hold the questions.
func Replay(f Format, chunks []Chunk) ([]Event, error) {
	d, err := NewDecoder(f)
	if err != nil {
		return nil, err
	}
	var out []Event
	ask := FirstQuestion
	for i, c := range chunks {
		if c.At < 0 || i > 0 && c.At < chunks[i-1].At {
			return nil, fmt.Errorf("replay: chunk %d comes at %v, before the one in front of it", i, c.At)
		}
		for ; f.Family == Query && ask <= c.At; ask += ms(f.PollMS) {
			_, ev := d.Query(ask)
			out = append(out, ev...)
		}
		if c.Repeat && len(c.Bytes) > 0 {
			out = append(out, d.Key(c.At, c.Bytes[0], true)...)
			c.Bytes = c.Bytes[1:]
		}
		out = append(out, d.Feed(c.At, c.Bytes)...)
	}
	for {
		t, ok := d.NextTick()
		if !ok {
			return out, nil
		}
		out = append(out, d.Tick(t)...)
	}
}
