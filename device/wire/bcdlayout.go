package wire

import (
	"encoding/hex"
	"fmt"
	"slices"
	"strconv"
	"strings"
)

// bcdRole says what one byte of a BCD frame is.
type bcdRole uint8

const (
	bcdLiteral bcdRole = iota
	bcdStatus
	bcdDigits
	bcdCheck
	bcdChannel
)

type bcdByte struct {
	role  bcdRole
	name  string
	value byte // of a literal
}

// bcdBits is a meaning of one bit or, for decimals, of a run of bits.
type bcdBits struct {
	high, low int
	means     string
}

// bcdLayout is a binary frame of decimal digits, two to a byte.
type bcdLayout struct {
	bytes    []bcdByte
	bits     []bcdBits
	lowFirst bool
	decimals int // -1 = sent in the status byte
	checkOf  []int
	checkXor bool
}

// parseBCDLayout reads the description of a BCD frame: clauses separated by semicolons.
//
//	A5 S D1 D2 D3 K 5A            the bytes in order: two hexadecimal digits for a byte that never
//	                              changes, names for the others
//	S bit7 minus, bits3-0 decimals   the bits of a status byte: minus, inch, hold, low battery, over
//	                              range, unused, and a run of bits for the number of decimals
//	D six BCD digits high first   D1, D2, ... hold that many digits, first byte first; low first turns
//	                              the bytes round; ", 2 decimals" where the status byte has none
//	C channel                     a byte that names the channel, given as two hexadecimal digits
//	K=(S+D1+D2+D3) mod 256        check byte: the sum, or K=S xor D1 xor D2
//
// It returns a *[FieldError] for the field layout that says which clause is wrong.
func parseBCDLayout(s string) (*bcdLayout, error) {
	clauses := strings.Split(s, ";")
	l := &bcdLayout{decimals: -1}
	named := map[string]bcdRole{}
	for _, c := range clauses[1:] {
		if c = strings.TrimSpace(c); c == "" {
			continue
		}
		name, role, err := clauseRole(c)
		if err != nil {
			return nil, err
		}
		if _, twice := named[name]; twice {
			return nil, fieldErr("layout", "%s is described twice", name)
		}
		named[name] = role
	}
	if err := l.order(strings.Fields(clauses[0]), named); err != nil {
		return nil, err
	}
	for _, c := range clauses[1:] {
		if c = strings.TrimSpace(c); c == "" {
			continue
		}
		if err := l.clause(c); err != nil {
			return nil, err
		}
	}
	return l, l.check()
}

// clauseRole tells from its words what a clause describes.
func clauseRole(c string) (string, bcdRole, error) {
	name := c
	if k := strings.IndexAny(c, " ="); k > 0 {
		name = c[:k]
	}
	rest := strings.TrimSpace(c[len(name):])
	switch {
	case name == "" || strings.Trim(name, "ABCDEFGHIJKLMNOPQRSTUVWXYZ") != "":
	case strings.HasPrefix(rest, "="):
		return name, bcdCheck, nil
	case strings.HasPrefix(rest, "bit"):
		return name, bcdStatus, nil
	case strings.Contains(rest, "digits"):
		return name, bcdDigits, nil
	case rest == "channel":
		return name, bcdChannel, nil
	}
	return "", 0, fieldErr("layout", "clause %q is not understood; give bits of a status byte, digits, a channel or a check", c)
}

func (l *bcdLayout) order(toks []string, named map[string]bcdRole) error {
	for _, t := range toks {
		letters := strings.TrimRight(t, "0123456789")
		if role, ok := named[letters]; ok && (letters == t || role == bcdDigits) {
			l.bytes = append(l.bytes, bcdByte{role: role, name: t})
			continue
		}
		b, err := hex.DecodeString(t)
		if err != nil || len(b) != 1 {
			return fieldErr("layout", "%q is neither a byte in hexadecimal nor described by a later clause", t)
		}
		l.bytes = append(l.bytes, bcdByte{role: bcdLiteral, value: b[0]})
	}
	for name, role := range named {
		if !slices.ContainsFunc(l.bytes, func(b bcdByte) bool { return b.role == role && strings.TrimRight(b.name, "0123456789") == name }) {
			return fieldErr("layout", "%s is described but is not in the frame", name)
		}
	}
	return nil
}

func (l *bcdLayout) clause(c string) error {
	name, role, err := clauseRole(c)
	if err != nil {
		return err
	}
	rest := strings.TrimSpace(c[len(name):])
	switch role {
	case bcdStatus:
		return l.statusClause(rest)
	case bcdDigits:
		return l.digitsClause(name, rest)
	case bcdCheck:
		return l.checkClause(name, rest[1:])
	}
	return nil
}

func (l *bcdLayout) statusClause(rest string) error {
	taken := 0
	for _, part := range strings.Split(rest, ",") {
		where, means, _ := strings.Cut(strings.TrimSpace(part), " ")
		b := bcdBits{means: strings.ReplaceAll(strings.TrimSpace(means), " ", "_")}
		var err, err2 error
		if d, ok := strings.CutPrefix(where, "bits"); ok {
			hi, lo, _ := strings.Cut(d, "-")
			b.high, err = strconv.Atoi(hi)
			b.low, err2 = strconv.Atoi(lo)
		} else if d, ok := strings.CutPrefix(where, "bit"); ok {
			b.high, err = strconv.Atoi(d)
			b.low = b.high
		} else {
			err = fmt.Errorf("no bit")
		}
		if err != nil || err2 != nil || b.high > 7 || b.low < 0 || b.low > b.high {
			return fieldErr("layout", "%q is no bit; write bit7 minus or bits3-0 decimals", part)
		}
		for i := b.low; i <= b.high; i++ {
			if taken&(1<<i) != 0 {
				return fieldErr("layout", "bit %d is described twice", i)
			}
			taken |= 1 << i
		}
		known := []string{"minus", "inch", "hold", "low_battery", "over_range", "decimals", "unused"}
		if !slices.Contains(known, b.means) || (b.high > b.low && b.means != "decimals" && b.means != "unused") {
			return fieldErr("layout", "%q: a bit means one of %s", part, strings.ReplaceAll(strings.Join(known, ", "), "_", " "))
		}
		l.bits = append(l.bits, b)
	}
	return nil
}

func (l *bcdLayout) digitsClause(name, rest string) error {
	what, decimals, hasDecimals := strings.Cut(rest, ",")
	w := strings.Fields(what)
	numbers := []string{"zero", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"}
	count := -1
	if len(w) > 0 {
		if count = slices.Index(numbers, w[0]); count < 0 {
			if n, err := strconv.Atoi(w[0]); err == nil {
				count = n
			}
		}
		w = w[1:]
	}
	if len(w) > 0 && w[0] == "BCD" {
		w = w[1:]
	}
	order := strings.Join(w, " ")
	bytes := 0
	for _, b := range l.bytes {
		if b.role != bcdDigits {
			continue
		}
		if bytes++; b.name != name+strconv.Itoa(bytes) {
			return fieldErr("layout", "the digit bytes must stand in order %s1, %s2, ...; found %s", name, name, b.name)
		}
	}
	if count != 2*bytes {
		return fieldErr("layout", "%d bytes %s hold %d digits, not %d", bytes, name, 2*bytes, count)
	}
	switch order {
	case "digits high first", "digits":
	case "digits low first":
		l.lowFirst = true
	default:
		return fieldErr("layout", "%q is not understood; write, for example, six BCD digits high first", rest)
	}
	if hasDecimals {
		d := strings.Fields(decimals)
		n := -1
		if len(d) == 2 && strings.HasPrefix(d[1], "decimal") {
			if v, err := strconv.Atoi(d[0]); err == nil {
				n = v
			}
		}
		if n < 0 || n > count {
			return fieldErr("layout", "%q is no number of decimals for %d digits", decimals, count)
		}
		l.decimals = n
	}
	return nil
}

func (l *bcdLayout) checkClause(name, rest string) error {
	rest = strings.TrimSpace(rest)
	sum, isSum := strings.CutSuffix(rest, "mod 256")
	sum = strings.Trim(strings.TrimSpace(sum), "()")
	terms := strings.Split(sum, "+")
	if !isSum {
		l.checkXor = true
		terms = strings.Split(strings.ReplaceAll(sum, "^", " xor "), " xor ")
	}
	for _, t := range terms {
		t = strings.TrimSpace(t)
		at := slices.IndexFunc(l.bytes, func(b bcdByte) bool { return b.role != bcdLiteral && b.name == t })
		if at < 0 {
			if v, err := hex.DecodeString(t); err == nil && len(v) == 1 {
				at = slices.IndexFunc(l.bytes, func(b bcdByte) bool { return b.role == bcdLiteral && b.value == v[0] })
			}
		}
		if at < 0 || l.bytes[at].name == name {
			return fieldErr("layout", "check %s: %q is no other byte of the frame", name, t)
		}
		l.checkOf = append(l.checkOf, at)
	}
	return nil
}

func (l *bcdLayout) check() error {
	count := map[bcdRole]int{}
	for _, b := range l.bytes {
		count[b.role]++
	}
	hasDecimals := slices.ContainsFunc(l.bits, func(b bcdBits) bool { return b.means == "decimals" })
	switch {
	case len(l.bytes) < 2 || l.bytes[0].role != bcdLiteral:
		return fieldErr("layout", "must start with a byte that never changes, in hexadecimal")
	case count[bcdDigits] == 0 || count[bcdDigits] > 6:
		return fieldErr("layout", "holds %d bytes of digits; 1 to 6 are possible", count[bcdDigits])
	case count[bcdStatus] > 1 || count[bcdCheck] > 1 || count[bcdChannel] > 1:
		return fieldErr("layout", "status, check and channel may stand once each")
	case hasDecimals == (l.decimals >= 0):
		return fieldErr("layout", "the number of decimals must be given once: by bits of the status byte or with the digits")
	}
	return nil
}

func compileBCD(f Format) (*bcdLayout, error) {
	l, err := parseBCDLayout(f.Layout)
	if err != nil {
		return nil, err
	}
	if f.Length != 0 && f.Length != len(l.bytes) {
		return nil, fieldErr("length", "%d does not agree with the layout, which has %d bytes", f.Length, len(l.bytes))
	}
	return l, nil
}
