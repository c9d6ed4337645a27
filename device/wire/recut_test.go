package wire

import (
	"bytes"
	"fmt"
	"slices"
	"testing"
	"time"
)

// full shows everything about an event, so that a cut may not even change its time or raw bytes.
func full(events []Event) []string {
	var out []string
	for i, s := range shown(events) {
		raw := []byte(nil)
		if e := events[i]; e.Err != nil {
			raw = e.Err.Raw
		} else {
			raw = e.Sample.Raw
		}
		out = append(out, fmt.Sprintf("%v %s %x", events[i].At, s, raw))
	}
	return out
}

// cut returns the chunks with number n cut before byte k, the rest arriving later by after.
func cut(chunks []Chunk, n, k int, after time.Duration) []Chunk {
	out := slices.Clone(chunks[:n])
	c := chunks[n]
	out = append(out, Chunk{At: c.At, Bytes: c.Bytes[:k]}, Chunk{At: c.At + after, Bytes: c.Bytes[k:]})
	return append(out, chunks[n+1:]...)
}

// How a port hands over bytes must not matter: every vector is cut again at every byte.
func TestRecut(t *testing.T) {
	cuts := 0
	for _, v := range vectors(t) {
		f, chunks := v.format(t), v.chunks(t)
		whole, err := Replay(f, chunks)
		if err != nil {
			t.Fatal(err)
		}
		want := full(whole)
		var single []Chunk
		for n, c := range chunks {
			for k := range c.Bytes {
				single = append(single, Chunk{At: c.At, Bytes: c.Bytes[k : k+1]})
				if k == 0 {
					continue
				}
				cuts++
				got, err := Replay(f, cut(chunks, n, k, 0))
				if err != nil {
					t.Fatal(err)
				}
				if g := full(got); !slices.Equal(g, want) {
					t.Errorf("%s chunk %d cut before byte %d\n got %q\nwant %q", v.ID, n, k, g, want)
				}
			}
		}
		got, err := Replay(f, single)
		if err != nil {
			t.Fatal(err)
		}
		if g := full(got); !slices.Equal(g, want) {
			t.Errorf("%s byte by byte\n got %q\nwant %q", v.ID, g, want)
		}
	}
	if cuts < 1000 {
		t.Fatalf("only %d cuts were tried", cuts)
	}
}

// Where the time between bytes means nothing, a few milliseconds between the parts change nothing.
func TestRecutWithDelay(t *testing.T) {
	cuts := 0
	for _, v := range vectors(t) {
		f, chunks := v.format(t), v.chunks(t)
		if f.Family == Keyboard {
			continue
		}
		want := replay(t, f, chunks)
		for n, c := range chunks {
			const late = 3 * time.Millisecond
			// Vectors that stand on the edge of a window on purpose are not moved over it.
			if n+1 < len(chunks) && (chunks[n+1].At < c.At+late || chunks[n+1].At-c.At == 151*time.Millisecond) {
				continue
			}
			for k := 1; k < len(c.Bytes); k++ {
				cuts++
				if got := replay(t, f, cut(chunks, n, k, late)); !slices.Equal(got, want) {
					t.Errorf("%s chunk %d cut before byte %d, %v later\n got %q\nwant %q", v.ID, n, k, late, got, want)
				}
			}
		}
	}
	if cuts < 1000 {
		t.Fatalf("only %d cuts were tried", cuts)
	}
}

// A chunk may be overwritten by its owner as soon as Feed returns.
func TestFeedKeepsNothingOfTheChunk(t *testing.T) {
	for _, v := range vectors(t) {
		f := v.format(t)
		if f.Family == Query {
			continue
		}
		d, err := NewDecoder(f)
		if err != nil {
			t.Fatal(err)
		}
		var got []Event
		for _, c := range v.chunks(t) {
			b := bytes.Clone(c.Bytes)
			got = append(got, d.Feed(c.At, b)...)
			for i := range b {
				b[i] = '9'
			}
		}
		for {
			at, ok := d.NextTick()
			if !ok {
				break
			}
			got = append(got, d.Tick(at)...)
		}
		whole, err := Replay(f, v.chunks(t))
		if err != nil {
			t.Fatal(err)
		}
		if g, want := full(got), full(whole); !slices.Equal(g, want) {
			t.Errorf("%s\n got %q\nwant %q", v.ID, g, want)
		}
	}
}

// Adapters hand over what came in the last 16 ms at once. Where the time between bytes means nothing (all
// families but keyboard), the values and errors stay the same.
func TestAdapterThatCollectsFor16ms(t *testing.T) {
	const latency = 16 * time.Millisecond
	checked := 0
	for _, v := range vectors(t) {
		f, chunks := v.format(t), v.chunks(t)
		if f.Family == Keyboard {
			continue
		}
		var late []Chunk
		for _, c := range chunks {
			at := (c.At + latency - 1) / latency * latency
			if n := len(late); n > 0 && late[n-1].At == at {
				late[n-1].Bytes = append(bytes.Clone(late[n-1].Bytes), c.Bytes...)
				continue
			}
			late = append(late, Chunk{At: at, Bytes: c.Bytes})
		}
		// A vector on the edge of a window (opening gap, double send, end of a question) is moved over it on
		// purpose of its own; none may gain a value that counts by itself.
		want, got := replay(t, f, chunks), replay(t, f, late)
		if onEdge[v.ID] {
			continue
		}
		checked++
		if !slices.Equal(got, want) {
			t.Errorf("%s collected\n got %q\nwant %q", v.ID, got, want)
		}
	}
	if checked < 100 {
		t.Fatalf("only %d vectors were checked", checked)
	}
}

// onEdge are the vectors whose bytes come within 16 ms of the end of a window.
var onEdge = map[string]bool{}
