package wire

import (
	"math/big"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// The response forms of IEEE 488.2, clauses 8.7.2 to 8.7.4 (syntax from memory): NR1 is an optional sign and
// digits, NR2 has digits on both sides of a point, NR3 is such a number with E, a sign and digits. What
// they mean is held against the number reader of math/big, which is not ours.
func TestNumberFormsAgainstBigRat(t *testing.T) {
	digits := rapid.StringMatching(`[0-9]{1,5}`)
	decode := map[string]*Decoder{}
	for _, form := range []string{"nr1", "nr2", "nr3", "nrf"} {
		f := DefaultFormat(Line)
		f.Unit, f.Number, f.DupWindowMS = "fixed:m", form, 0
		d, err := NewDecoder(f)
		if err != nil {
			t.Fatal(err)
		}
		decode[form] = d
	}
	at, seen := time.Second, map[string]int{}
	rapid.Check(t, func(t *rapid.T) {
		sign := rapid.SampledFrom([]string{"", "+", "-"}).Draw(t, "sign")
		text := map[string]string{
			"nr1": sign + digits.Draw(t, "whole"),
			"nr2": sign + digits.Draw(t, "before") + "." + digits.Draw(t, "behind"),
		}
		text["nr3"] = text["nr2"] + "E" + rapid.SampledFrom([]string{"+", "-"}).Draw(t, "exponent") +
			rapid.StringMatching(`0?[0-9]`).Draw(t, "power")
		for _, is := range []string{"nr1", "nr2", "nr3"} {
			want, ok := new(big.Rat).SetString(text[is])
			if !ok {
				t.Fatalf("math/big does not read %q", text[is])
			}
			for form, d := range decode {
				at += time.Second
				ev := d.Feed(at, []byte(text[is]+"\n"))
				if len(ev) != 1 {
					t.Fatalf("%s %q gives %v", form, text[is], shown(ev))
				}
				taken := form == is || form == "nrf"
				if s := ev[0].Sample; taken != (s != nil) {
					t.Fatalf("%q as %s: %v", text[is], form, shown(ev))
				} else if s == nil {
					continue
				}
				got, ok := new(big.Rat).SetString(ev[0].Sample.Value)
				if !ok || got.Cmp(want) != 0 {
					t.Fatalf("%q as %s is %s, math/big says %s", text[is], form, ev[0].Sample.Value, want.FloatString(20))
				}
				if strings.ContainsAny(ev[0].Sample.Value, "eE+") {
					t.Fatalf("%q gives %q, not plain decimal text", text[is], ev[0].Sample.Value)
				}
				seen[is]++
			}
		}
	})
	if kinds := len(seen); kinds != 3 || slices.Contains([]int{seen["nr1"], seen["nr2"], seen["nr3"]}, 0) {
		t.Fatalf("read %v", seen)
	}
}
