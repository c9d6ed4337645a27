package session

import (
	"bytes"
	"context"
	"encoding/json"
	"errors"
	"flag"
	"os"
	"strings"
	"testing"
	"time"

	"springline/qc/words"
	"springline/session/command"
)

var updateGolden = flag.Bool("update", false, "write the golden files anew")

// answered carries one command out as it comes over the wire and gives the answer as JSON.
func answered(t *testing.T, b *Bench, line string) []byte {
	t.Helper()
	var a command.Ack
	o, err := command.Decode([]byte(line))
	if err == nil {
		a, err = b.Do(context.Background(), o)
	}
	var answer any = a
	if err != nil {
		var e *words.Refusal
		if !errors.As(err, &e) {
			t.Fatalf("%s: %v", line, err)
		}
		answer = map[string]any{"refused": e.Code, "field": e.Field, "detail": e.Message(), "do": e.ToDo(), "yours": e.Yours, "now": e.Now,
			"your_value": e.YourValue, "value_now": e.ValueThen}
	}
	var out bytes.Buffer
	enc := json.NewEncoder(&out)
	enc.SetEscapeHTML(false)
	if err := enc.Encode(answer); err != nil {
		t.Fatal(err)
	}
	return out.Bytes()
}

// TestAnswers sends testdata/answers.txt command by command and compares every answer, byte for byte: what a
// script reads must not change because the code behind it does. A line of its own names a bench without a
// batch ("empty"), a fresh bench ("batch"), the bench of a whole study ("study"), or a value that a gauge sends.
func TestAnswers(t *testing.T) {
	const file = "testdata/answers.txt"
	old, err := os.ReadFile(file)
	if err != nil {
		t.Fatal(err)
	}
	var out bytes.Buffer
	var b *Bench
	var c *clock
	for line := range strings.Lines(string(old)) {
		line = strings.TrimSpace(line)
		switch word, rest, _ := strings.Cut(line, " "); {
		case line == "" || word == "#":
			out.WriteString(line + "\n")
		case strings.HasPrefix(word, "<"):
		case word == "bench":
			c = newClock()
			b = openTest(t, t.TempDir(), c)
			if rest == "batch" {
				setUp(t, b, 1)
			}
			out.WriteString(line + "\n")
		case word == "sent":
			gauge, value, _ := strings.Cut(rest, " ")
			c.t = c.t.Add(time.Minute)
			send(t, b, gauge, value, c.t)
			out.WriteString(line + "\n")
		case strings.HasPrefix(word, "{"):
			if before, after, ok := strings.Cut(line, "TOKEN"); ok {
				line = before + tokenOf(b, strings.Contains(line, "confirm-order")) + after
			}
			out.WriteString(line + "\n< ")
			out.Write(answered(t, b, line))
		default:
			t.Fatalf("%s: what is %q?", file, line)
		}
	}
	if *updateGolden {
		if err := os.WriteFile(file, out.Bytes(), 0o666); err != nil {
			t.Fatal(err)
		}
		return
	}
	if !bytes.Equal(out.Bytes(), old) {
		got, want := strings.Split(out.String(), "\n"), strings.Split(string(old), "\n")
		for i := range min(len(got), len(want)) {
			if got[i] != want[i] {
				t.Errorf("%s:%d\n got %s\nwant %s", file, i+1, got[i], want[i])
			}
		}
		if len(got) != len(want) {
			t.Errorf("%d lines, want %d", len(got), len(want))
		}
	}
}

func tokenOf(b *Bench, order bool) string {
	if order {
		v, err := b.RunOrder("", "")
		if err != nil {
			return "none"
		}
		return v.Token
	}
	return b.View().Pairs.Token
}
