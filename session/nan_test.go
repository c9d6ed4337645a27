package session

import (
	"context"
	"encoding/json"
	"fmt"
	"regexp"
	"testing"

	"springline/qc"
	"springline/qc/length"
	"springline/session/command"
)

var notANumber = regexp.MustCompile(`NaN|[+-]?Inf\b|%!`)

// FuzzNoNaNOnThePage measures ribs of any values that a bench takes, on any jig, with pulls, and expects that the
// whole view can be written, that no text in it holds a number that is none, and that advice and shape say
// something or nothing.
func FuzzNoNaNOnThePage(f *testing.F) {
	f.Add(int64(0), int64(0), int64(0), int64(0), int64(1300), int64(3400))
	f.Add(int64(40), int64(-15), int64(6), int64(-6), int64(1280), int64(6000))
	f.Add(int64(-3500), int64(-2000), int64(99999), int64(-99999), int64(99000), int64(-5990))
	f.Add(int64(2400), int64(900), int64(1), int64(0), int64(60), int64(1))
	f.Fuzz(func(t *testing.T, tip, crown, a, bb, face, loaded int64) {
		dir, c := t.TempDir(), newClock()
		cfg := testConfig(dir, c)
		b, err := Open(context.Background(), cfg)
		if err != nil {
			t.Fatal(err)
		}
		defer b.Close()
		target := setUp(t, b, 1)
		_, _ = b.Do(context.Background(), command.Order{Deed: command.JigBuilt{Text: fmt.Sprint(face % 100_000)}})
		for range 3 {
			do(t, b, command.Order{Deed: command.Start{}})
			for _, ch := range target.Round {
				off := map[qc.CharID]int64{qc.Tip: tip, qc.Crown: crown, "A1": a, "B1": bb}[ch.ID] % 90_000
				for range ch.Repeats {
					// What cannot be is refused, what may be a blunder is held and then taken as sent.
					ack, err := b.Do(context.Background(), command.Order{
						Deed: command.Type{Char: string(ch.ID), Text: (ch.Nominal + length.Length(off)*mm).String()}})
					if err == nil && ack.Held {
						_, _ = b.Do(context.Background(), command.Order{Deed: command.Take{Seq: ack.Seq, Char: string(ch.ID), Reason: "as it is"}})
					}
				}
			}
			if _, err := b.Do(context.Background(), command.Order{Deed: command.Pull{Loaded: fmt.Sprint(loaded % 10_000)}}); err == nil {
				_, _ = b.Do(context.Background(), command.Order{Deed: command.Round{Reason: "pulled"}})
			}
			text, err := json.Marshal(b.View())
			if err != nil {
				t.Fatalf("the view cannot be written: %v", err)
			}
			if m := notANumber.FindIndex(text); m != nil {
				t.Fatalf("in the view: %.200s", text[max(0, m[0]-80):])
			}
		}
	})
}
