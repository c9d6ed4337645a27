package session

import (
	"context"
	"errors"
	"strings"
	"testing"

	"springline/qc"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/log"
	"springline/session/show"
)

func wantCode(t *testing.T, err error, code string) *words.Refusal {
	t.Helper()
	var e *words.Refusal
	if !errors.As(err, &e) || e.Code != code {
		t.Fatalf("got %v, want code %q", err, code)
	}
	if e.Message() == "" || e.Field == "" {
		t.Errorf("the error names no field or cause: %+v", e)
	}
	return e
}

// fails runs a command that must be refused with the code and record nothing.
func fails(t *testing.T, b *Bench, code string, c command.Order) *words.Refusal {
	t.Helper()
	before := b.View().Seq
	_, err := b.Do(context.Background(), c)
	e := wantCode(t, err, code)
	if b.View().Seq != before {
		t.Errorf("%+v was refused and recorded", c)
	}
	return e
}

func start(t *testing.T) *Bench {
	t.Helper()
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	do(t, b, command.Order{Deed: command.Start{}})
	return b
}

// values types a whole round.
func values(t testing.TB, b *Bench, texts ...string) {
	t.Helper()
	for _, x := range texts {
		do(t, b, command.Order{Deed: command.Type{Text: x}})
	}
}

func TestTypedIsReadBack(t *testing.T) {
	b := start(t)
	a := do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.Type{Text: `11' 7 15/16"`}})
	if a.Kind != log.Measured || a.Char != "tip" || a.Read != `11' 7 15/16" = 3554.4125 mm` {
		t.Errorf("%+v", a)
	}
	v := b.View()
	if v.Last.Value != `11' 7 15/16"` || v.Last.Read != a.Read || v.Last.Dev != "+0.8 mm" || !v.Last.Typed || v.Last.Sign != "proud" {
		t.Errorf("last %+v", v.Last)
	}
	e := fails(t, b, "ambiguous_separator", command.Order{Deed: command.Type{Text: "3,553"}})
	if !strings.Contains(e.Message(), `"3,553"`) {
		t.Errorf("message %q", e.Message())
	}
	fails(t, b, "negative_not_allowed", command.Order{Deed: command.Type{Text: "-3553"}})
	fails(t, b, "empty", command.Order{Deed: command.Type{}})
	if a := do(t, b, command.Order{Deed: command.Type{Char: "B1", Text: "-0.5"}}); a.Char != "B1" {
		t.Errorf("named: %+v", a)
	}
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.Type{Char: "C1", Text: "1"}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.Type{Rib: "77", Text: "1"}})
	fails(t, b, words.CodeComplete, command.Order{Deed: command.Type{Char: "B1", Text: "1"}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.Type{Gauge: "none", Text: "1"}})
	fails(t, b, words.CodeBadValue, command.Order{Deed: command.Type{Gauge: "caliper", Text: "1"}})
}

func TestTypedBlunderIsHeld(t *testing.T) {
	b := start(t)
	a := do(t, b, command.Order{Deed: command.Type{Text: "355.36"}})
	if !a.Held || a.Kind != log.Held || a.Ask == "" || a.Suggest != "3553.6 mm" {
		t.Errorf("%+v", a)
	}
	do(t, b, command.Order{Deed: command.Discard{Seq: a.Seq, Reason: "a digit missing"}})
	fails(t, b, words.CodeSettled, command.Order{Deed: command.Discard{Seq: a.Seq, Reason: "again"}})
	fails(t, b, words.CodeSettled, command.Order{Deed: command.Take{Seq: a.Seq}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.Take{Seq: 1}})
	if v := b.View(); len(v.Held) != 0 || v.Current.Next.Reading != 1 {
		t.Errorf("held %+v next %+v", v.Held, v.Current.Next)
	}
}

func TestUndoVoidAgainSkipRound(t *testing.T) {
	b := start(t)
	values(t, b, "3553.6", "3553.8", "2061.4", "0.5", "0.5")
	if v := b.View().Current; v.Verdict != "PASS" || v.Next != nil {
		t.Fatalf("%s %s", v.Verdict, v.Reason)
	}
	do(t, b, command.Order{Deed: command.Undo{}})
	v := b.View().Current
	if v.Verdict != "OPEN" || v.Next == nil || v.Next.Char != "B1" {
		t.Fatalf("after undo: %s, next %+v", v.Verdict, v.Next)
	}
	fails(t, b, words.CodeMissing, command.Order{Deed: command.Skip{}})
	do(t, b, command.Order{Deed: command.Skip{Reason: "no access"}})
	v = b.View().Current
	if v.Verdict != "OPEN" || v.Next != nil || v.Steps[3].Lane != "skipped" {
		t.Fatalf("after skip: %s, next %+v, %+v", v.Verdict, v.Next, v.Steps[3])
	}
	fails(t, b, words.CodeSettled, command.Order{Deed: command.Skip{Char: "B1", Reason: "again"}})
	fails(t, b, words.CodeComplete, command.Order{Deed: command.Skip{Char: "A1", Reason: "why"}})
	do(t, b, command.Order{Deed: command.Type{Char: "B1", Text: "0.25"}})
	if v := b.View().Current; v.Verdict != "PASS" {
		t.Fatalf("a skipped one measured after all: %s", v.Verdict)
	}

	// Measured again: the two readings no longer count, and the next two stand in for them.
	fails(t, b, words.CodeMissing, command.Order{Deed: command.Again{Char: "tip"}})
	fails(t, b, words.CodeMissing, command.Order{Deed: command.Again{Reason: "slipped"}})
	do(t, b, command.Order{Deed: command.Again{Char: "tip", Reason: "the tape slipped"}})
	v = b.View().Current
	if v.Verdict != "OPEN" || v.Next.Char != "tip" || v.Next.Reading != 1 || v.Next.Of != 2 {
		t.Fatalf("after again: %s %+v", v.Verdict, v.Next)
	}
	fails(t, b, words.CodeSettled, command.Order{Deed: command.Again{Char: "tip", Reason: "twice"}})
	values(t, b, "3555.0", "3554.0")
	batch, err := b.Batch("B1")
	if err != nil {
		t.Fatal(err)
	}
	r := batch.Ribs[0]
	tip, _ := batch.Target.Characteristic(qc.Tip)
	if d, ok := r.Deviation(tip); !ok || d.Value != 3554_500_000 || d.Readings != 2 {
		t.Errorf("deviation %+v %v", d, ok)
	}
	var replaced, again, voided int
	for _, m := range r.Measurements {
		if m.Replaced {
			replaced++
		}
		if m.Again {
			again++
		}
		if m.Voided {
			voided++
		}
	}
	if replaced != 2 || again != 2 || voided != 1 || len(r.Measurements) != 8 {
		t.Errorf("%d replaced, %d again, %d voided of %d", replaced, again, voided, len(r.Measurements))
	}
	if c := batch.Counts; c.Again != 2 || c.Voided != 1 || c.Skipped != 1 || c.Measured != 5 || c.Typed != 5 {
		t.Errorf("counts %+v", c)
	}

	// Void by number, with a reason.
	seq := b.View().Current.Steps[1].Seqs[0].Seq
	fails(t, b, words.CodeMissing, command.Order{Deed: command.Void{Seq: seq}})
	do(t, b, command.Order{Deed: command.Void{Seq: seq, Reason: "wrong face"}})
	fails(t, b, words.CodeSettled, command.Order{Deed: command.Void{Seq: seq, Reason: "wrong face"}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.Void{Seq: 2, Reason: "no measurement"}})
	if v := b.View().Current; v.Next == nil || v.Next.Char != "crown" {
		t.Errorf("after void: next %+v", v.Next)
	}

	// A fresh round starts from nothing, and the old round stays on record.
	do(t, b, command.Order{Deed: command.Round{Reason: "re-bent"}})
	v = b.View().Current
	if v.Round != 2 || v.Next.Char != "tip" || len(v.Steps[0].Seqs) != 0 || v.Verdict != "OPEN" {
		t.Errorf("fresh round: %+v", v)
	}
	fails(t, b, words.CodeSettled, command.Order{Deed: command.Undo{}})
}

func TestHeldOfAnOldRoundIsNotTaken(t *testing.T) {
	b := start(t)
	a := do(t, b, command.Order{Deed: command.Type{Text: "355.36"}})
	do(t, b, command.Order{Deed: command.Round{Reason: "re-bent"}})
	fails(t, b, words.CodeSettled, command.Order{Deed: command.Take{Seq: a.Seq, Suggested: true}})
}

func TestSameKeySameAnswer(t *testing.T) {
	dir, clk := t.TempDir(), newClock()
	b := openTest(t, dir, clk)
	setUp(t, b, 1)
	commands := []command.Order{
		{Sent: command.Sent{Key: "a"}, Deed: command.Start{}}, {Sent: command.Sent{Key: "b"}, Deed: command.Type{Text: "3553.6"}},
		{Sent: command.Sent{Key: "c"}, Deed: command.Type{Text: "35"}}, {Sent: command.Sent{Key: "d"}, Deed: command.Undo{}},
		{Sent: command.Sent{Key: "e"}, Deed: command.NextLot{Lot: "L2"}}, {Sent: command.Sent{Key: "f"}, Deed: command.Note{Text: "windy"}},
		{Sent: command.Sent{Key: "g"}, Deed: command.Pull{Before: "3560", Loaded: "3400"}},
	}
	var acks []command.Ack
	for _, c := range commands {
		acks = append(acks, do(t, b, c))
	}
	seq := b.View().Seq
	for range 2 {
		for i, c := range commands {
			if a := do(t, b, c); a != acks[i] {
				t.Errorf("%s again: %+v, was %+v", c.Op(), a, acks[i])
			}
		}
		if b.View().Seq != seq {
			t.Fatalf("sending again recorded something")
		}
		b.Close()
		b = openTest(t, dir, clk)
	}
	fails(t, b, words.CodeKeyUsed, command.Order{Sent: command.Sent{Key: "b"}, Deed: command.Start{}})
}

func TestConflict(t *testing.T) {
	b := start(t)
	v := b.View().Current.Version
	values(t, b, "3553.6")
	e := fails(t, b, words.CodeConflict, command.Order{Sent: command.Sent{Version: v}, Deed: command.Type{Text: "3553.9"}})
	if e.Yours != v || e.Now != b.View().Current.Version || e.YourValue != "3553.9" || e.ValueThen != "tip-to-tip 3553.6 mm" {
		t.Errorf("%+v", e)
	}
	do(t, b, command.Order{Sent: command.Sent{Version: e.Now}, Deed: command.Type{Text: "3553.9"}})
	// A value that came for another rib is no conflict.
	do(t, b, command.Order{Deed: command.Start{}})
	old := b.View().Ribs[0].Version
	values(t, b, "3553.6")
	do(t, b, command.Order{Sent: command.Sent{Version: old}, Deed: command.Skip{Rib: "01", Char: "A1", Reason: "no access"}})
	for _, d := range []command.Deed{command.Undo{Rib: "01"}, command.Skip{Rib: "01", Char: "A1", Reason: "x"},
		command.Round{Rib: "01", Reason: "x"}, command.Again{Rib: "01", Char: "A1", Reason: "x"},
		command.Pull{Rib: "01", Loaded: "3400", Before: "3500"}, command.Choose{Rib: "01"}} {
		_, err := b.Do(t.Context(), command.Order{Sent: command.Sent{Version: old}, Deed: d})
		wantCode(t, err, words.CodeConflict)
	}
}

func TestRibs(t *testing.T) {
	b := start(t)
	do(t, b, command.Order{Deed: command.Start{Rib: "02", Lot: "L2"}})
	fails(t, b, words.CodeExists, command.Order{Deed: command.Start{Rib: "02"}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.Start{Lot: "L9"}})
	do(t, b, command.Order{Deed: command.Start{Rib: "spare 1"}})
	if a := do(t, b, command.Order{Deed: command.Start{}}); a.Rib != "04" {
		t.Errorf("next number %q", a.Rib)
	}
	do(t, b, command.Order{Deed: command.NextLot{Lot: "L2"}})
	if a := do(t, b, command.Order{Deed: command.Start{}}); a.Rib != "05" {
		t.Errorf("next number %q", a.Rib)
	}
	v := b.View()
	if v.Current.Lot != "L2" || v.Current.Number != 5 || v.Batch.Lot != "L2" || len(v.Ribs) != 5 || v.Ribs[0].Lot != "L1" ||
		v.Ribs[1].Lot != "L2" {
		t.Errorf("%+v %+v", v.Current, v.Ribs)
	}
	do(t, b, command.Order{Deed: command.Choose{Rib: "01"}})
	if v := b.View(); v.Current.Rib != "01" {
		t.Errorf("chosen %q", v.Current.Rib)
	}
	fails(t, b, words.CodeMissing, command.Order{Deed: command.Choose{}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.Choose{Rib: "99"}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.NextLot{Lot: "L9"}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.NextJig{Jig: "J9"}})
	fails(t, b, words.CodeBadOp, command.Order{})
}

func TestPull(t *testing.T) {
	b := start(t)
	fails(t, b, words.CodeMissing, command.Order{Deed: command.Pull{Loaded: "3300"}})
	values(t, b, "3570", "3572")
	fails(t, b, words.CodeBadValue, command.Order{Deed: command.Pull{Loaded: "3571"}})
	fails(t, b, "empty", command.Order{Deed: command.Pull{}})
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.Pull{Loaded: "3300"}})
	batch, _ := b.Batch("B1")
	if len(batch.Pulls) != 1 || batch.Pulls[0].Before.Value != 3571*mm || batch.Pulls[0].Loaded.Value != 3300*mm ||
		batch.Pulls[0].Rib != "01" {
		t.Errorf("%+v", batch.Pulls)
	}
	// Legs that have passed each other: the tips stand below zero.
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.Pull{Loaded: "-795"}})
	fails(t, b, words.CodeBadValue, command.Order{Deed: command.Pull{Loaded: "-99 m"}})
	if batch, _ = b.Batch("B1"); len(batch.Pulls) != 2 || batch.Pulls[1].Loaded.Value != -795*mm {
		t.Errorf("%+v", batch.Pulls)
	}
}

func TestOddTexts(t *testing.T) {
	b := start(t)
	for _, c := range []command.Order{
		{Deed: command.Start{Rib: strings.Repeat("x", 121)}}, {Deed: command.Start{Rib: "a\x00b"}}, {Deed: command.Start{Rib: "a\nb"}},
		{Deed: command.Start{Rib: "\u202eab"}},
		{Deed: command.Start{Rib: "\xff"}}, {Deed: command.Note{Text: strings.Repeat("x", 2001)}},
		{Sent: command.Sent{Key: strings.Repeat("k", 101)}, Deed: command.Start{}},
	} {
		fails(t, b, words.CodeBadValue, c)
	}
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.Note{Text: "two\nlines"}})
	if batch, _ := b.Batch("B1"); len(batch.Notes) != 1 || batch.Notes[0].By != "Ines" {
		t.Errorf("%+v", batch.Notes)
	}
}

func TestNextStepWords(t *testing.T) {
	b := start(t)
	v := b.View().Current
	if v.Next.Want != "3553.6 mm" || v.Next.Limit != "−12 to +12 mm" || v.Next.Gauge != "long tape" || v.Next.Unit != "mm" ||
		v.Next.Signed || v.Next.Hint == "" {
		t.Errorf("%+v", v.Next)
	}
	if v.Action != "Measure tip-to-tip with long tape, reading 1 of 2." {
		t.Errorf("action %q", v.Action)
	}
	values(t, b, "3573.6", "3573.6", "2061.4", "0", "0")
	without := func() string { // what the action says where nothing can be advised
		o := b.state.Batch
		v, _ := b.state.Judge(o, o.Current)
		return show.RebendText(o, v)
	}
	v = b.View().Current
	if v.Verdict != "RE-BEND" || !strings.HasPrefix(v.Action, "RE-BEND: close the tips until they read ") {
		t.Errorf("%s: %q", v.Verdict, v.Action)
	}
	if text := without(); text != "RE-BEND: close the tips by about 20.0 mm, then measure a fresh round." {
		t.Errorf("%q", text)
	}
	do(t, b, command.Order{Deed: command.Round{Reason: "re-bent"}})
	values(t, b, "3565.4", "3565.4", "2061.4", "0", "0")
	if v := b.View().Current; v.Verdict != "RE-MEASURE" || !strings.Contains(v.Action, "tip-to-tip") {
		t.Errorf("%s: %q", v.Verdict, v.Action)
	}
	do(t, b, command.Order{Deed: command.Round{Reason: "again"}})
	values(t, b, "3553.6", "3553.6", "2061.4", "9", "0")
	if v := b.View().Current; v.Verdict != "RE-BEND" || !strings.Contains(without(), "station A1 +9.0 mm") {
		t.Errorf("%s: %q", v.Verdict, without())
	}
}
