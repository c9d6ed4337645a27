package session

import (
	"context"
	"errors"
	"reflect"
	"strings"
	"testing"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/command"
)

// A steel tape and a steel bar: a tape 10 K warmer than the bar reads 11.5e-6 * 10 of the length short, which
// is what calc's length.at_20c gives for the same numbers (ISO 1); equal temperatures cancel.
func TestTemperatureCorrectsLengths(t *testing.T) {
	clk := newClock()
	dir := t.TempDir()
	b := openTest(t, dir, clk)
	target := setUp(t, b, 1)
	tip, _ := target.Characteristic(qc.Tip)
	do(t, b, command.Order{Deed: command.Start{}})
	dev := func() (qc.Deviation, qc.Judgement) {
		t.Helper()
		batch, err := b.Batch("B1")
		if err != nil {
			t.Fatal(err)
		}
		v, err := batch.Judge(batch.Ribs[0])
		if err != nil {
			t.Fatal(err)
		}
		j, _ := v.Of(qc.Tip)
		return j.Dev, j
	}
	read := func(text string) { t.Helper(); do(t, b, command.Order{Deed: command.Type{Text: text, Char: "tip"}}) }
	nominal := tip.Nominal.Round(mm, length.TieEven).String()

	read(nominal)
	read(nominal)
	_, before := dev()
	if before.Dev.To20 != 0 || before.Dev.Temp.Read() || before.Budget.Temperature <= 0 {
		t.Fatalf("corrected without temperatures: %+v", before)
	}
	first := do(t, b, command.Order{Sent: command.Sent{Key: "t1"}, Deed: command.ReadTemperature{Bar: "20", Tape: "30,0 °C"}})
	if again := do(t, b, command.Order{Sent: command.Sent{Key: "t1", By: "Ada"},
		Deed: command.ReadTemperature{Bar: "20", Tape: "30,0 °C"}}); again != first {
		t.Errorf("the same key: %+v, then %+v", first, again)
	}
	fails(t, b, words.CodeKeyUsed, command.Order{Sent: command.Sent{Key: "t1"}, Deed: command.ReadTemperature{Bar: "21", Tape: "30"}})
	do(t, b, command.Order{Deed: command.Again{Char: "tip", Reason: "warm now"}})
	read(nominal)
	read(nominal)
	d, j := dev()
	l := tip.Nominal.Round(mm, length.TieEven)
	want := length.Length(float64(l) * 11.5e-6 * 10)
	if diff := d.To20 - want; diff < -1 || diff > 1 || d.Value != l+d.To20 || d.Dev != d.Value-tip.Nominal {
		t.Errorf("correction %d nm, want %d; value %s, deviation %s", d.To20, want, d.Value, d.Dev)
	}
	if !(j.Budget.Temperature > 0 && j.Budget.Temperature < before.Budget.Temperature/2) {
		t.Errorf("temperature part %g nm, was %g", j.Budget.Temperature, before.Budget.Temperature)
	}
	step := b.View().Current.Steps[0]
	if !strings.HasPrefix(step.To20, "+0.") || !strings.HasSuffix(step.To20, " mm to 20 °C") || b.View().Last.To20 != step.To20 {
		t.Errorf("shown %q and %q", step.To20, b.View().Last.To20)
	}
	// It was the bar that was warm too: what was measured is corrected again, to nothing.
	fixed := do(t, b, command.Order{Deed: command.ReadTemperature{Bar: "30", Tape: "30", Seq: first.Seq}})
	if d, _ := dev(); d.To20 != 0 || d.Temp.Seq != fixed.Seq || d.Value != l {
		t.Errorf("put right: %+v", d)
	}
	if step := b.View().Current.Steps[0]; step.To20 != "0 mm to 20 °C" || b.View().Current.Version != fixed.Seq {
		t.Errorf("shown after it was put right: %q, rib at %d", step.To20, b.View().Current.Version)
	}
	if v := b.View().Batch.Temperature; v == nil || v.Seq != fixed.Seq || v.Old || !strings.Contains(v.Text, "bar 30 °C, tape 30 °C") {
		t.Errorf("view %+v", v)
	}
	// A caliper is not the tape, and after two hours nobody knows how warm they are.
	clk.t = clk.t.Add(qc.TemperatureHolds)
	do(t, b, command.Order{Deed: command.Again{Char: "tip", Reason: "later"}})
	read(nominal)
	read(nominal)
	if d, j := dev(); d.Temp.Read() || d.To20 != 0 || j.Budget.Temperature != before.Budget.Temperature {
		t.Errorf("old temperatures counted: %+v", d)
	}
	if v := b.View().Batch.Temperature; v == nil || !v.Old {
		t.Errorf("view %+v", v)
	}
	live, err := b.Batch("B1")
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if _, err := Rebuild(t.Context(), testConfig(dir, clk), false); err != nil {
		t.Errorf("tables and record: %v", err)
	}
	b = openTest(t, dir, clk)
	if replayed, err := b.Batch("B1"); err != nil || len(replayed.Temps) != 2 || replayed.Temps[0].Replaced != fixed.Seq ||
		!reflect.DeepEqual(live.Ribs[0].Measurements[2].Temp, replayed.Ribs[0].Measurements[2].Temp) {
		t.Errorf("after opening again: %+v, %v", replayed.Temps, err)
	}
}

func TestTemperatureRefusals(t *testing.T) {
	b := openTest(t, t.TempDir(), newClock())
	if _, err := b.Do(context.Background(), command.Order{Deed: command.ReadTemperature{Bar: "20", Tape: "20"}}); !isCode(err,
		words.CodeNoBatch, "batch") {
		t.Errorf("no batch: %v", err)
	}
	setUp(t, b, 1)
	before := b.View().Seq
	for _, c := range []struct {
		c           command.ReadTemperature
		code, field string
	}{
		{command.ReadTemperature{Bar: "", Tape: "20"}, words.CodeBadValue, "bar"},
		{command.ReadTemperature{Bar: "20", Tape: "warm"}, words.CodeBadValue, "tape"},
		{command.ReadTemperature{Bar: "20", Tape: "NaN"}, words.CodeBadValue, "tape"},
		{command.ReadTemperature{Bar: "20", Tape: "1e1"}, words.CodeBadValue, "tape"},
		{command.ReadTemperature{Bar: "81", Tape: "20"}, words.CodeBadValue, "bar"},
		{command.ReadTemperature{Bar: "20", Tape: "-41"}, words.CodeBadValue, "bar"},
		{command.ReadTemperature{Bar: "20", Tape: "20", Doubt: "0"}, words.CodeBadValue, "bar"},
		{command.ReadTemperature{Bar: "20", Tape: "20", Doubt: "x"}, words.CodeBadValue, "doubt"},
		{command.ReadTemperature{Bar: "20", Tape: "20", Seq: 99}, words.CodeUnknown, "seq"},
	} {
		if _, err := b.Do(context.Background(), command.Order{Deed: c.c}); !isCode(err, c.code, c.field) {
			t.Errorf("%+v: %v", c.c, err)
		}
	}
	if b.View().Seq != before {
		t.Error("a refused command was recorded")
	}
}

func isCode(err error, code, field string) bool {
	var c *words.Refusal
	return errors.As(err, &c) && c.Code == code && c.Field == field
}

// A reading as old as the limit counts, one second more does not.
func TestTemperatureAgeLimit(t *testing.T) {
	at := time.Date(2026, 5, 4, 8, 0, 0, 0, time.UTC)
	o := &book.Batch{Temps: []qc.TemperatureRead{{Temperatures: qc.Temperatures{Seq: 1, Bar: 20, Tape: 20, Doubt: 1}, At: at}}}
	if _, ok := o.TemperatureAt(at.Add(qc.TemperatureHolds)); !ok {
		t.Error("at the limit it should count")
	}
	if _, ok := o.TemperatureAt(at.Add(qc.TemperatureHolds + time.Second)); ok {
		t.Error("past the limit it should not")
	}
}
