package session

import (
	"context"
	"errors"
	"fmt"
	"path/filepath"
	"strings"
	"testing"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/show"
)

// bendRibs measures n ribs by typing; tip deviations are in half millimetres, everything else is on target.
func bendRibs(t testing.TB, b *Bench, tips ...int) {
	t.Helper()
	for _, half := range tips {
		do(t, b, command.Order{Deed: command.Start{}})
		for v := b.View(); v.Current.Next != nil; v = b.View() {
			text := v.Current.Next.Want
			if v.Current.Next.Char == "tip" {
				c, _ := b.state.Batch.Target.Characteristic(qc.Tip)
				text = (c.Nominal.Round(length.Millimetre, length.TieEven) + length.Length(half)*length.Millimetre/2).String() + " mm"
			}
			if _, err := b.Do(context.Background(), command.Order{Deed: command.Type{Text: text}}); err != nil {
				t.Fatalf("%s: %v", text, err)
			}
			for _, h := range b.View().Held { // a value far from the last is asked about
				do(t, b, command.Order{Deed: command.Take{Seq: h.Seq}})
			}
		}
	}
}

// The sentence stands in the view as soon as it can, is the same after a replay, and goes with a new set-up.
func TestTheJigSentenceIsInTheView(t *testing.T) {
	dir := t.TempDir()
	c := newClock()
	b := openTest(t, filepath.Join(dir, "bench"), c)
	setUp(t, b, 1)
	if b.View().Drift != nil {
		t.Error("something is said before the first rib")
	}
	bendRibs(t, b, 0, 1, -1, 0, 1)
	if d := b.View().Drift; d == nil || d.Text != "" || !strings.HasPrefix(d.Quiet,
		"Nothing is said of the jig below 8 ribs; so far 5 ribs off jig J1, lot L1") {
		t.Fatalf("after 5 ribs: %+v", d)
	}
	bendRibs(t, b, -1, 0, 1, 0, -1)
	if d := b.View().Drift; d.Text != "" || !strings.HasPrefix(d.Quiet,
		"No sign that the jig has moved: 10 ribs off jig J1, lot L1; provisional below 20.") {
		t.Fatalf("after 10 ribs: %+v", d)
	}
	bendRibs(t, b, 16, 17, 16)
	d := b.View().Drift
	if d.Text == "" || !strings.HasPrefix(d.Text, "The tips have opened by about 8 mm since rib 11: check that block 1 has not moved") ||
		d.Key != "shift tip 11" {
		t.Fatalf("after the block moved: %+v", d)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	b = openTest(t, filepath.Join(dir, "bench"), c)
	if again := b.View().Drift; again == nil || *again != *d {
		t.Errorf("replayed: %+v, live %+v", again, d)
	}
	if err := b.Set(context.Background(), command.JigDeed(qc.Jig{ID: "J2", FaceRadius: 1290 * mm, Blocks: 9})); err != nil {
		t.Fatal(err)
	}
	do(t, b, command.Order{Deed: command.NextJig{Jig: "J2"}})
	bendRibs(t, b, 16)
	if d := b.View().Drift; d.Text != "" || !strings.Contains(d.Quiet, "so far 1 rib off jig J2") {
		t.Errorf("after a new set-up: %+v", d)
	}
}

func TestSheetsOfTheBatch(t *testing.T) {
	b := openTest(t, filepath.Join(t.TempDir(), "bench"), newClock())
	setUp(t, b, 1)
	bendRibs(t, b, 0, 1, -1, 0, 1, 0, 2, 1, 0, -1, 1, 0)
	q, err := b.Batch(b.View().Batch.ID)
	if err != nil {
		t.Fatal(err)
	}
	d, err := show.NewDriftSheet(q, "")
	if err != nil || d.Char != "tip" || len(d.Rows) != 12 || d.Rows[0].Range != "" || d.Rows[1].Range != "0.50" ||
		len(d.Chars) != len(q.Target.Round) {
		t.Errorf("%+v, %v", d, err)
	}
	p, err := show.NewProofSheet(q, "tip", "12")
	if err != nil || p.Rib != "12" || !strings.Contains(p.Conformity, "of rib 12 deviates") || len(p.Parts) < 3 || p.Zone == "" ||
		p.Risk == "" || p.Cosine == "" {
		t.Errorf("%+v, %v", p, err)
	}
	if p, err := show.NewProofSheet(q, "crown", "no such rib"); err != nil || p.Rib != "" || p.Cosine != "" {
		t.Errorf("%+v, %v", p, err)
	}
	for _, err := range []error{second(show.NewDriftSheet(q, "Z9")), second(show.NewProofSheet(q, "Z9", ""))} {
		var ce *words.Refusal
		if !errors.As(err, &ce) || ce.Field != "char" {
			t.Errorf("an unknown characteristic gave %v", err)
		}
	}
	if fmt.Sprint(d.Lines) == "" {
		t.Error("no lines")
	}
}

func second[T any](_ T, err error) error { return err }
