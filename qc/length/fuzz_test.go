package length

import (
	"errors"
	"math/big"
	"math/rand/v2"
	"regexp"
	"strings"
	"testing"
	"unicode/utf8"
)

// FuzzRead: what is accepted must print as a text that reads back as the same length, and what is
// refused must carry a known code.
func FuzzRead(f *testing.F) {
	for _, s := range []string{"1850", "185 cm", "6' 11 3/4\"", "11¾\"", "1,234.5", "1\u00a0850", "-3.2", "1'850", "6.5' 3\"", "1/128\"",
		"5 mil", "１８", "1.2e3", "2m 15cm", "12\xff", "''", "6'-11", ".", "-", "1/0\"", "\u2033", "99999999999999999999 m"} {
		for unit := range uint8(7) {
			f.Add(s, unit, unit%3, unit%2 == 0)
		}
	}
	f.Fuzz(func(t *testing.T, text string, unit, sign uint8, signed bool) {
		o := Options{DefaultUnit: Unit(unit), Decimal: DecimalSign(sign % 3), Signed: signed}
		e, err := Read(text, o)
		if err != nil {
			var pe *ParseError
			if !errors.As(err, &pe) || pe.Code == "" || pe.Text != text {
				t.Fatalf("%q: error without code or text: %#v", text, err)
			}
			return
		}
		if e.Length > Limit || e.Length < -Limit || e.Length < 0 && !signed {
			t.Fatalf("%q: %d nm is outside the field", text, e.Length)
		}
		// Separators come out one way, so the reading back is in a point field.
		for _, again := range []string{e.Typed, e.MM + " mm"} {
			if utf8.RuneCountInString(again) > maxEntry {
				continue
			}
			b, err := Read(again, Options{Decimal: DecimalPoint, Signed: true})
			if err != nil || b.Length != e.Length || b.MM != e.MM {
				t.Fatalf("%q was understood as %q, which reads as %v (%v)", text, again, b, err)
			}
		}
		exact, err := Decimal(e.Length.String(), "mm")
		if err != nil || exact != e.Length {
			t.Fatalf("%q: %s mm reads back as %d nm (%v)", text, e.Length, exact, err)
		}
	})
}

type patterns map[string]*regexp.Regexp

func (p patterns) match(pattern, s string) []string {
	re, ok := p[pattern]
	if !ok {
		re = regexp.MustCompile(pattern)
		p[pattern] = re
	}
	return re.FindStringSubmatch(s)
}

// readings are independent, liberal ways in which a person may read a text, in millimetres. They are
// written with patterns and know nothing of the parser. A text that two of them read differently by
// more than 1 % must not be accepted.
func readings(text string, known patterns) []*big.Rat {
	num := func(s string) *big.Rat {
		r, ok := new(big.Rat).SetString(strings.TrimSuffix(s, "."))
		if !ok {
			return nil
		}
		return r
	}
	over := func(a, b string) *big.Rat { n := num(a); return n.Quo(n, num(b)) }
	inches := func(r *big.Rat) *big.Rat { return r.Mul(r, big.NewRat(254, 10)) }
	var out []*big.Rat
	add := func(r *big.Rat) {
		if r != nil {
			out = append(out, r)
		}
	}
	s := strings.TrimSpace(text)
	match := func(pattern string) []string { return known.match(pattern, s) }
	if match(`^[1-9]\d{0,2}(,\d{3})+(\.\d*)?$`) != nil {
		add(num(strings.ReplaceAll(s, ",", "")))
	}
	if match(`^[1-9]\d{0,2}(\.\d{3})+,\d*$`) != nil || match(`^[1-9]\d{0,2}(\.\d{3}){2,}$`) != nil {
		add(num(strings.Replace(strings.ReplaceAll(s, ".", ""), ",", ".", 1)))
	}
	if match(`^\d*\.\d*$`) != nil {
		add(num("0" + s))
	}
	if match(`^\d*,\d*$`) != nil {
		add(num("0" + strings.Replace(s, ",", ".", 1)))
	}
	if match(`^\d{1,3}( \d{3})+$`) != nil {
		add(num(strings.ReplaceAll(s, " ", "")))
	}
	if match(`^\d{1,3}('\d{3})+(\.\d*)?$`) != nil { // thousands as in Switzerland
		add(num(strings.ReplaceAll(s, "'", "")))
	}
	if m := match(`^(\d+)[' ](\d+)"?$`); m != nil { // feet and inches, the mark forgotten
		ft, in := num(m[1]), num(m[2])
		add(inches(ft.Add(ft.Mul(ft, big.NewRat(12, 1)), in)))
	}
	if m := match(`^(\d*)(\d)/(\d+)"$`); m != nil && m[3] != "0" && strings.Trim(m[3], "0") != "" {
		r := num("0" + m[1]) // 113/4": the space lost
		add(inches(r.Add(r, over(m[2], m[3]))))
		add(inches(over(m[1]+m[2], m[3])))
	}
	if m := match(`^(\d+) - (\d+)/(\d+)"$`); m != nil && strings.Trim(m[3], "0") != "" {
		f := over(m[2], m[3])
		a := num(m[1])
		add(inches(new(big.Rat).Sub(a, f)))
		add(inches(new(big.Rat).Add(a, f)))
	}
	if m := match(`^(\d+)-(\d+)$`); m != nil {
		a, b := num(m[1]), num(m[2])
		add(new(big.Rat).Sub(a, b))
		add(a)
	}
	return out
}

// TestAmbiguityFuzz accepts no text among 50,000 that has two likely readings more than 1 % apart.
func TestAmbiguityFuzz(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 20))
	pieces := []string{"1", "2", "6", "11", "12", "850", "011", "234", "0", "0.5", ",", ".", " ", " ", "'", "\"", "/", "4", "-", " - ",
		"3/4", "567", "00"}
	templates := []string{"9,999", "99,99", "9.999,9", "9 999", "99'999", "9'99", "999/4\"", "9 9/8\"", "9-9", "9 - 9/4\"", "9,999,999"}
	known := patterns{}
	ambiguous, accepted, refusedAmbiguous := 0, 0, 0
	for range 50_000 {
		var b strings.Builder
		if rng.IntN(2) == 0 {
			for _, r := range templates[rng.IntN(len(templates))] {
				if r == '9' {
					r = '0' + rng.Int32N(10)
				}
				b.WriteRune(r)
			}
		}
		for range rng.IntN(6) {
			b.WriteString(pieces[rng.IntN(len(pieces))])
		}
		text := b.String()
		rs := readings(text, known)
		spread := false
		for _, r := range rs {
			d := new(big.Rat).Sub(r, rs[0])
			if d.Abs(d).Cmp(new(big.Rat).Mul(new(big.Rat).Abs(rs[0]), big.NewRat(1, 100))) > 0 {
				spread = true
			}
		}
		e, err := Read(text, Options{})
		switch {
		case err == nil && spread:
			t.Errorf("%q was accepted as %s though it may be read as %v", text, e, rs)
		case err == nil:
			accepted++
			if len(rs) > 0 {
				mm, _ := new(big.Rat).SetString(e.MM)
				if mm.Cmp(rs[0]) != 0 {
					t.Errorf("%q was read as %s, a person reads %s", text, e, rs[0].FloatString(6))
				}
			}
		case spread:
			refusedAmbiguous++
		}
		if spread {
			ambiguous++
		}
	}
	if ambiguous < 2000 || accepted < 2000 {
		t.Errorf("the texts do not try enough: %d ambiguous, %d accepted", ambiguous, accepted)
	}
	t.Logf("%d ambiguous texts all refused: %d; %d accepted", ambiguous, refusedAmbiguous, accepted)
}

func BenchmarkRead(b *testing.B) {
	for b.Loop() {
		if _, err := Read("6' 11 3/4\"", Options{}); err != nil {
			b.Fatal(err)
		}
	}
}
