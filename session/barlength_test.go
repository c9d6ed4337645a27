package session

import (
	"testing"

	"springline/qc/words"
	"springline/session/command"
)

// A rib on a longer bar is wanted taller by what its legs are longer, is judged so, and says so; the same rib
// after a restart as well.
func TestRibOnALongerBar(t *testing.T) {
	dir, c := t.TempDir(), newClock()
	b := openTest(t, dir, c)
	target := setUp(t, b, 1)
	fails(t, b, words.CodeBadValue, command.Order{Deed: command.Start{Text: "12 m"}})
	fails(t, b, "bad-value", command.Order{Deed: command.Start{Text: "long"}})
	do(t, b, command.Order{Deed: command.Start{Text: "6030 mm"}})
	v := b.View().Current
	if v.Bar != "bar 6030 mm: legs 915.0 mm each" {
		t.Errorf("%q", v.Bar)
	}
	own := target.ForBar(6030 * mm)
	tip, _ := own.Characteristic("tip")
	crown, _ := own.Characteristic("crown")
	if plain, _ := target.Characteristic("tip"); tip.Nominal == plain.Nominal {
		t.Fatal("15 mm of leg move nothing")
	}
	values(t, b, tip.Nominal.String(), tip.Nominal.String(), crown.Nominal.String(), "0.5", "0.5")
	if v := b.View().Current; v.Verdict != "PASS" || v.Steps[0].Dev != "0.0 mm" || v.Steps[1].Dev != "0.0 mm" {
		t.Errorf("%s: %s, %+v", v.Verdict, v.Reason, v.Steps)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	again := openTest(t, dir, c)
	if v := again.View().Ribs[0]; v.Verdict != "PASS" || v.Cells[0].DevUM != 0 {
		t.Errorf("after a restart: %+v", v)
	}
}
