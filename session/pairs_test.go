package session

import (
	"context"
	"errors"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/pairing/certify"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/derive"
	"springline/session/show"
)

func TestPairs(t *testing.T) {
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	if b.View().Pairs != nil {
		t.Error("pairs without ribs")
	}
	// 01 and 03 are mirror images, 02 and 04 nearly equal, 05 is like nothing.
	passing(t, b, "3", "-2")
	passing(t, b, "1", "1")
	passing(t, b, "-2", "3")
	passing(t, b, "1", "1.5")
	passing(t, b, "-4", "-4")
	p := b.View().Pairs
	const free = "locking it now costs nothing against the ribs so far"
	want := []show.PairView{
		{A: "01", B: "03", Flip: true, How: "turn 03 end for end", Mismatch: "0.0 mm", Largest: "tip-to-tip 0.0 mm", At: "tip",
			Tag: "leg A of 01 with leg B of 03", Cost: free, Good: true},
		{A: "02", B: "04", How: "as they are", Mismatch: "0.2 mm", Largest: "station B1 0.5 mm", At: "B1",
			Tag: "leg A of 02 with leg A of 04", Cost: free},
	}
	if p.State != "provisional" || !p.CanFix || !cmp.Equal(p.Pairs, want) || !cmp.Equal(p.Spares, []string{"05"}) {
		t.Fatalf("%s\nspares %v", cmp.Diff(want, p.Pairs), p.Spares)
	}
	if r := b.View().Ribs; r[0].Pair != "03" || r[4].Pair != "spare" {
		t.Errorf("table: %q %q", r[0].Pair, r[4].Pair)
	}
	fails(t, b, words.CodeMissing, command.Order{Deed: command.ConfirmPairs{Token: p.Token}})
	fails(t, b, words.CodeConflict, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: "another"}})
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: p.Token}})
	for i := range want {
		want[i].Cost, want[i].Good = "", false
	}
	want[1].Turned, want[1].How, want[1].Tag = true, "turn both end for end", "leg B of 02 with leg B of 04" // as in the run order
	if v := b.View().Pairs; v.State != "confirmed" || v.CanFix || !cmp.Equal(v.Pairs, want) {
		t.Errorf("confirmed: %+v", v)
	}
	batch, _ := b.Batch("B1")
	if len(batch.Pairs) != 2 || batch.Pairs[0].ConfirmedBy != "Ines" || !batch.Pairs[0].Flip || !cmp.Equal(batch.Spares, []string{"05"}) {
		t.Errorf("on record: %+v %v", batch.Pairs, batch.Spares)
	}
	old := b.View().Pairs.Token
	passing(t, b, "-4", "-4")
	v := b.View().Pairs
	if v.State != "outdated" || len(v.Pairs) != 3 || !v.CanFix || v.Token == old {
		t.Errorf("after another rib: %+v", v)
	}
	fails(t, b, words.CodeConflict, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: old}})
	do(t, b, command.Order{Deed: command.Undo{Rib: "06"}})
	if v := b.View().Pairs; v.State != "confirmed" || len(v.Left) != 2 || v.Left[0].Rib != "06" || v.Left[1].Rib != "05" ||
		!strings.Contains(v.Left[1].Reason, "odd") {
		t.Errorf("with the rib open again: %+v", v)
	}
}

// five ribs with two stations: 01 and 03 are mirror images, 02 and 04 nearly equal, 05 is like nothing.
func fiveRibs(t *testing.T) *Bench {
	t.Helper()
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	for _, r := range [][2]string{{"3", "-2"}, {"1", "1"}, {"-2", "3"}, {"1", "1.5"}, {"-4", "-4"}} {
		passing(t, b, r[0], r[1])
	}
	return b
}

// Five equal ribs can be paired in 15 ways. What was confirmed stays in the next proposal, and the same in another
// process; a pair only shown does not count, since no record says so.
func TestConfirmedPairsAreKeptAmongEquals(t *testing.T) {
	dir, c := t.TempDir(), newClock()
	b := openTest(t, dir, c)
	setUp(t, b, 1)
	for range 4 {
		passing(t, b, "1", "1")
	}
	do(t, b, command.Order{Deed: command.LockPair{Rib: "01", With: "04"}})
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: b.View().Pairs.Token}})
	do(t, b, command.Order{Deed: command.ReleasePair{Rib: "01", With: "04"}})
	passing(t, b, "1", "1")
	v := b.View().Pairs
	if v.State != "outdated" || len(v.Pairs) != 2 || v.Pairs[0].A != "01" || v.Pairs[0].B != "04" || v.Pairs[1].A != "02" ||
		v.Pairs[1].B != "03" {
		t.Errorf("%s: %+v", v.State, v.Pairs)
	}
	proof, err := b.PairProof()
	if err != nil {
		t.Fatal(err)
	}
	var cert certify.Certificate
	if err := cert.UnmarshalText(proof); err != nil || len(cert.Prefer) != 2 {
		t.Fatalf("the proof prefers %v: %v", cert.Prefer, err)
	}
	if _, err := cert.Check(); err != nil {
		t.Error(err)
	}
	r, err := OpenReadOnly(t.Context(), testConfig(dir, c))
	if err != nil {
		t.Fatal(err)
	}
	defer r.Close()
	if d := cmp.Diff(v, r.View().Pairs); d != "" {
		t.Error(d)
	}
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: v.Token}})
}

// Offsets are 1 mm weight each of tip, crown, A1, B1: the mismatch of 02 and 05 is the root of (25+25)/4 mm.
// Locked, 01+03 (0) stays and 04 is left over, against 02+04 with the root of 0.25/4: it costs 3.536 - 0.250.
func TestLockingSaysWhatItCosts(t *testing.T) {
	b := fiveRibs(t)
	before := b.View()
	list, err := b.Partners("02")
	if err != nil {
		t.Fatal(err)
	}
	if len(list) != 4 || list[0].Partner != "04" || !strings.Contains(list[0].Cost, "nothing") || list[3].Partner != "05" ||
		!strings.Contains(list[3].Cost, "costs 3.29 mm in all") {
		t.Errorf("partners of 02: %+v", list)
	}
	fails(t, b, words.CodeMissing, command.Order{Deed: command.LockPair{Rib: "02"}})
	fails(t, b, words.CodeUnknown, command.Order{Deed: command.LockPair{Rib: "02", With: "77"}})
	fails(t, b, words.CodeBadValue, command.Order{Deed: command.LockPair{Rib: "02", With: "02"}})
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.LockPair{Rib: "05", With: "02"}})
	v := b.View().Pairs
	if len(v.Pairs) != 2 || v.Pairs[1].A != "02" || v.Pairs[1].B != "05" || !v.Pairs[1].Locked ||
		!strings.Contains(v.Pairs[1].Cost, "cost 3.29 mm in all") {
		t.Fatalf("with the lock: %+v", v.Pairs)
	}
	if !cmp.Equal(v.Spares, []string{"04"}) || !strings.Contains(v.Proof, "with the locked pairs as they are") ||
		v.Token == before.Pairs.Token {
		t.Errorf("spares %v, %q", v.Spares, v.Proof)
	}
	fails(t, b, words.CodeSettled, command.Order{Deed: command.LockPair{Rib: "05", With: "01"}})
	fails(t, b, words.CodeBadValue, command.Order{Deed: command.ForbidPair{Rib: "05", With: "02", Reason: "colours"}})
	fails(t, b, words.CodeSettled, command.Order{Deed: command.ReleasePair{Rib: "05", With: "01"}})
	do(t, b, command.Order{Deed: command.ReleasePair{Rib: "02", With: "05"}})
	if v := b.View().Pairs; !cmp.Equal(v.Pairs, before.Pairs.Pairs) || v.Token != before.Pairs.Token {
		t.Errorf("released: %s", cmp.Diff(before.Pairs.Pairs, v.Pairs))
	}
}

func TestForbiddenPairsAndReasons(t *testing.T) {
	b := fiveRibs(t)
	fails(t, b, words.CodeMissing, command.Order{Deed: command.ForbidPair{Rib: "01", With: "03"}})
	do(t, b, command.Order{Deed: command.ForbidPair{Rib: "03", With: "01", Reason: "both are bowed"}})
	fails(t, b, words.CodeSettled, command.Order{Deed: command.ForbidPair{Rib: "01", With: "03", Reason: "again"}})
	fails(t, b, words.CodeBadValue, command.Order{Deed: command.LockPair{Rib: "01", With: "03"}})
	for _, p := range b.View().Pairs.Pairs {
		if p.A == "01" && p.B == "03" {
			t.Error("a forbidden pair was proposed")
		}
	}
	do(t, b, command.Order{Deed: command.AllowPair{Rib: "01", With: "03"}})
	fails(t, b, words.CodeSettled, command.Order{Deed: command.AllowPair{Rib: "01", With: "03"}})
	if p := b.View().Pairs; p.Pairs[0].B != "03" || p.Left[len(p.Left)-1].Rib != "05" ||
		!strings.Contains(p.Left[len(p.Left)-1].Reason, "odd") {
		t.Errorf("%+v", p)
	}
}

func TestPairRule(t *testing.T) {
	b := fiveRibs(t)
	for field, c := range map[string]command.ChangePairRule{
		"metric": {Metric: "smallest"}, "objective": {Objective: "nicest"}, "few weights": {Weights: "1 2"}, "text weight": {Weights: "1 2 x"},
		"no weight": {Weights: "0 0 0"}, "negative weight": {Weights: "1 1 -1"}, "limit": {Limit: "much"}, "long limit": {Limit: "3 m"},
	} {
		t.Run(field, func(t *testing.T) { fails(t, b, words.CodeBadValue, command.Order{Deed: c}) })
	}
	do(t, b, command.Order{Deed: command.ChangePairRule{Limit: "0.2 mm", Metric: "max"}})
	v := b.View().Pairs
	if len(v.Pairs) != 1 || v.Pairs[0].A != "01" || v.Pairs[0].B != "03" || len(v.Spares) != 3 ||
		!strings.Contains(v.Rule, "no pair above 0.2 mm") {
		t.Errorf("with a limit: %+v", v)
	}
	if l := v.Left[len(v.Left)-1]; !strings.Contains(l.Reason, "limit") {
		t.Errorf("left: %+v", v.Left)
	}
	fails(t, b, words.CodeBadValue, command.Order{Deed: command.LockPair{Rib: "02", With: "04"}}) // 0.5 mm
	do(t, b, command.Order{Deed: command.ChangePairRule{Limit: "none"}})
	batch, err := b.Batch("B1")
	want := qc.PairRule{Metric: qc.PairMax, Objective: qc.PairSum, Tip: 1, Crown: 1, Station: 1}
	if err != nil || batch.PairRule != want {
		t.Errorf("%+v, %v", batch.PairRule, err)
	}
	seq := b.View().Seq
	if err := b.Set(context.Background(), command.PairRuleDeed(want)); err != nil || b.View().Seq != seq {
		t.Errorf("a rule in force was recorded again: %v", err)
	}
	want.OtherLot = length.Millimetre
	if err := b.Set(context.Background(), command.PairRuleDeed(want)); err != nil || b.View().Seq == seq {
		t.Errorf("another rule was not recorded: %v", err)
	}
}

// The same rib, alike enough in its own lot, stands with that lot: 02 and 04 differ by 0.250 mm, 02 and 06
// (another lot) by nothing.
func TestOneLotIsPreferred(t *testing.T) {
	for other, partner := range map[string]string{"none": "06", "0.2 mm": "06", "0.3 mm": "04"} {
		b := fiveRibs(t)
		do(t, b, command.Order{Deed: command.NextLot{Lot: "L2"}})
		passing(t, b, "1", "1")
		do(t, b, command.Order{Deed: command.ForbidPair{Rib: "04", With: "05", Reason: "of this test"}})
		do(t, b, command.Order{Deed: command.ForbidPair{Rib: "05", With: "06", Reason: "of this test"}})
		do(t, b, command.Order{Deed: command.ChangePairRule{OtherLot: other}})
		list, err := b.Partners("02")
		if err != nil || list[0].Partner != partner {
			t.Errorf("other lot %s: 02 is best with %q, want %q (%v)", other, list[0].Partner, partner, err)
		}
	}
}

// A locked rib that no longer passes lets its partner go, and says so.
func TestLooseLock(t *testing.T) {
	b := fiveRibs(t)
	do(t, b, command.Order{Deed: command.LockPair{Rib: "02", With: "04"}})
	do(t, b, command.Order{Deed: command.Again{Rib: "04", Char: "B1", Reason: "slipped"}})
	v := b.View().Pairs
	if len(v.Loose) != 1 || !strings.Contains(v.Loose[0], "rib 04 no longer passes") || len(v.Pairs) != 2 {
		t.Errorf("%+v", v)
	}
}

// The order of three pairs by hand: their mean offsets at A1 and B1 are (3,-2), (1,1.25) and (-4,-4), so the
// middle one stands between the others. The file of the proof is checked by the code that shares nothing
// with the solver.
func TestRunOrderAndProof(t *testing.T) {
	b := fiveRibs(t)
	passing(t, b, "-4", "-4")
	if _, err := b.RunOrder("", ""); err == nil {
		t.Error("an order without confirmed pairs")
	}
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: b.View().Pairs.Token}})
	o := b.View().Pairs.Order
	for _, p := range b.View().Pairs.Pairs {
		for _, s := range o.Stands {
			if s.A == p.A && (s.Tag != p.Tag || s.Turned != p.Turned || p.A == "01" && strings.Contains(p.How, "turn 01") != s.Turned) {
				t.Errorf("the pair ties its tag at %q, in the run order at %q", p.Tag, s.Tag)
			}
		}
	}
	if o == nil || o.State != "provisional" || len(o.Stands) != 3 || o.Stands[1].A != "02" || !strings.Contains(o.Proof, "proven shortest") {
		t.Fatalf("%+v", o)
	}
	fixed, err := b.RunOrder("04", "")
	if err != nil || fixed.Stands[0].A != "02" || fixed.First != "04" {
		t.Errorf("with 04 first: %+v, %v", fixed, err)
	}
	if _, err := b.RunOrder("77", ""); err == nil {
		t.Error("an unknown rib stands first")
	}
	if _, err := b.RunOrder("02", "04"); err == nil {
		t.Error("one pair stands at both ends")
	}
	fails(t, b, words.CodeMissing, command.Order{Deed: command.ConfirmOrder{Token: o.Token}})
	fails(t, b, words.CodeConflict, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmOrder{Token: "other"}})
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmOrder{Token: fixed.Token, First: "04"}})
	if v := b.View().Pairs.Order; v.State != "confirmed" || v.Stands[0].A != "02" || v.Confirmed == "" {
		t.Errorf("%+v", v)
	}
	batch, err := b.Batch("B1")
	if err != nil || batch.Order == nil || len(batch.Order.Stands) != 3 || batch.Order.By != "Ines" || batch.Order.Length < batch.Order.Bound {
		t.Errorf("%+v, %v", batch.Order, err)
	}
	text, err := b.PairProof()
	if err != nil {
		t.Fatal(err)
	}
	if v, err := certify.CheckText(text); err != nil || v.Count != 3 {
		t.Errorf("%+v, %v", v, err)
	}
	do(t, b, command.Order{Deed: command.Undo{Rib: "06"}})
	fails(t, b, words.CodeConflict, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmOrder{Token: fixed.Token, First: "04"}})
}

// Pairs confirmed by one rule are not shown as proven by another; what is forbidden or locked afterwards
// asks for another look, and the report keeps the rule that the proof is about.
func TestConfirmedPairsAreOutdatedByDecisions(t *testing.T) {
	for name, c := range map[string]struct {
		do  command.Order
		why string
	}{
		"rule":      {command.Order{Deed: command.ChangePairRule{Objective: qc.PairWorst, Metric: qc.PairMax}}, "the pairing rule changed"},
		"forbidden": {command.Order{Deed: command.ForbidPair{Rib: "01", With: "03", Reason: "both bowed"}}, "01 and 03 was forbidden"},
		"locked":    {command.Order{Deed: command.LockPair{Rib: "02", With: "05"}}, "02 and 05 were locked together"},
	} {
		t.Run(name, func(t *testing.T) {
			b := fiveRibs(t)
			do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: b.View().Pairs.Token}})
			do(t, b, c.do)
			if v := b.View().Pairs; v.State != "outdated" || !strings.Contains(v.Note, c.why) || !v.CanFix {
				t.Fatalf("%q: %+v", c.why, v)
			}
			if batch, err := b.Batch("B1"); err != nil || batch.PairRule != qc.DefaultPairRule ||
				!cmp.Equal(batch.SpareWhy, []string{"the number of ribs is odd; of all that could be left over, leaving this one is best"}) {
				t.Errorf("%+v %v, %v", batch.PairRule, batch.SpareWhy, err)
			}
			do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: b.View().Pairs.Token}})
			v := b.View().Pairs
			if v.State != "confirmed" || strings.Contains(v.Proof, "largest mismatch") != (name == "rule") ||
				strings.Contains(v.Proof, "locked pairs") != (name == "locked") {
				t.Errorf("confirmed again: %s, %q", v.State, v.Proof)
			}
		})
	}
	b := fiveRibs(t)
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: b.View().Pairs.Token}})
	do(t, b, command.Order{Deed: command.LockPair{Rib: "01", With: "03"}})
	if v := b.View().Pairs; v.State != "confirmed" {
		t.Errorf("locking a confirmed pair: %s, %s", v.State, v.Note)
	}
}

// A rib that does not pass is not locked, nor is one that is not measured to the end.
func TestOnlyPassedRibsAreLocked(t *testing.T) {
	b := fiveRibs(t)
	do(t, b, command.Order{Deed: command.Again{Rib: "04", Char: "B1", Reason: "slipped"}})
	_, err := b.Do(context.Background(), command.Order{Deed: command.LockPair{Rib: "02", With: "04"}})
	var ce *words.Refusal
	if !errors.As(err, &ce) || ce.Code != words.CodeBadValue || !strings.Contains(ce.Error(), `rib "04" is OPEN`) {
		t.Errorf("%v", err)
	}
}

// A long run is not worked out while others wait for it: it is asked for, and confirmed as it was shown.
func TestLongRunOrder(t *testing.T) {
	b := openTest(t, t.TempDir(), newClock())
	setUp(t, b, 1)
	for i := range 2 * (derive.ShortRun + 1) {
		passing(t, b, words.Fixed(length.Length(i*7%11-5)*length.Millimetre/2, show.TenthMM),
			words.Fixed(length.Length(i*5%13-6)*length.Millimetre/2, show.TenthMM))
	}
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: b.View().Pairs.Token}})
	if o := b.View().Pairs.Order; o != nil {
		t.Fatalf("worked out unasked: %+v", o)
	}
	fails(t, b, words.CodeConflict, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmOrder{Token: "any"}})
	o, err := b.RunOrder("", "")
	if err != nil || len(o.Stands) != derive.ShortRun+1 || o.State != "provisional" || !strings.Contains(o.Proof, "proven shortest") {
		t.Fatalf("%+v, %v", o, err)
	}
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmOrder{Token: o.Token}})
	v := b.View().Pairs.Order
	if v == nil || v.State != "confirmed" || !cmp.Equal(v.Stands, o.Stands) || v.Length != o.Length {
		t.Errorf("confirmed: %s", cmp.Diff(&o, v))
	}
	if again, err := b.RunOrder("", ""); err != nil || again.State != "confirmed" {
		t.Errorf("asked again: %s, %v", again.State, err)
	}
}
