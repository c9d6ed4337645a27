package wire

import (
	"bufio"
	"bytes"
	"encoding/hex"
	"encoding/json"
	"os"
	"path/filepath"
	"slices"
	"testing"
	"time"
)

// vector is one case of a file of gauge streams: a format, chunks, and the events they must give.
type vector struct {
	ID, Title, Kind string
	Input           struct {
		Format json.RawMessage
		Chunks []struct {
			TMS float64 `json:"t_ms"`
			Hex string
		}
	}
	Output struct{ Events []json.RawMessage }
}

// vectors are all cases: testdata/checks/gauge_streams.jsonl comes from outside this package,
// testdata/gauges is its own.
func vectors(t testing.TB) []vector {
	t.Helper()
	files, err := filepath.Glob("../../testdata/gauges/*.jsonl")
	if err != nil || len(files) == 0 {
		t.Fatalf("no files in testdata/gauges: %v", err)
	}
	var all []vector
	for _, name := range append([]string{"../../testdata/checks/gauge_streams.jsonl"}, files...) {
		b, err := os.ReadFile(name)
		if err != nil {
			t.Fatal(err)
		}
		n := len(all)
		sc := bufio.NewScanner(bytes.NewReader(b))
		sc.Buffer(nil, 1<<20)
		for sc.Scan() {
			var v vector
			if err := json.Unmarshal(sc.Bytes(), &v); err != nil {
				t.Fatalf("%s: %v", name, err)
			}
			all = append(all, v)
		}
		if sc.Err() != nil || len(all) == n {
			t.Fatalf("%s holds no cases: %v", name, sc.Err())
		}
	}
	return all
}

func (v vector) format(t testing.TB) Format {
	t.Helper()
	f, err := ParseFormat(v.Input.Format)
	if err != nil {
		t.Fatalf("%s: %v", v.ID, err)
	}
	return f
}

func (v vector) chunks(t testing.TB) []Chunk {
	t.Helper()
	var cs []Chunk
	for _, c := range v.Input.Chunks {
		b, err := hex.DecodeString(c.Hex)
		if err != nil {
			t.Fatalf("%s: %v", v.ID, err)
		}
		cs = append(cs, Chunk{At: time.Duration(c.TMS * float64(time.Millisecond)), Bytes: b})
	}
	return cs
}

// shown is an event as the vector files write it.
func shown(events []Event) []string {
	out := []string{}
	for _, e := range events {
		var v any
		if e.Err != nil {
			v = map[string]any{"error": e.Err.Code}
		} else {
			s := e.Sample
			v = map[string]any{"reading": map[string]any{"value": s.Value, "unit": null(s.Unit), "channel": null(s.Channel),
				"flags": append([]string{}, s.Flags...), "accept": s.Accept}}
		}
		b, _ := json.Marshal(v)
		out = append(out, string(b))
	}
	return out
}

func null(s string) any {
	if s == "" {
		return nil
	}
	return s
}

func (v vector) want(t testing.TB) []string {
	t.Helper()
	out := []string{}
	for _, raw := range v.Output.Events {
		var x any
		if err := json.Unmarshal(raw, &x); err != nil {
			t.Fatalf("%s: %v", v.ID, err)
		}
		b, _ := json.Marshal(x)
		out = append(out, string(b))
	}
	return out
}

func replay(t testing.TB, f Format, chunks []Chunk) []string {
	t.Helper()
	ev, err := Replay(f, chunks)
	if err != nil {
		t.Fatal(err)
	}
	return shown(ev)
}

func TestVectors(t *testing.T) {
	for _, v := range vectors(t) {
		t.Run(v.ID, func(t *testing.T) {
			if got, want := replay(t, v.format(t), v.chunks(t)), v.want(t); !slices.Equal(got, want) {
				t.Errorf("%s\n got %q\nwant %q", v.Title, got, want)
			}
		})
	}
}
