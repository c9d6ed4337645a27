package wire

import (
	"bytes"
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"
)

// silentCase is a format with a generator of its frames.
type silentCase struct {
	name   string
	format Format
	frame  func(r *rand.Rand) []byte
	// may lists the kinds of damage that this format cannot notice. "digit" is a digit that became
	// another one, "sign" a plus that became a minus or the other way round.
	may map[string]bool
}

func silentCases(t *testing.T) []silentCase {
	t.Helper()
	mk := func(s string) Format {
		f, err := ParseFormat([]byte(s))
		if err != nil {
			t.Fatal(err)
		}
		return f
	}
	number := func(r *rand.Rand) string { return fmt.Sprintf("%+09.3f", float64(r.IntN(2_000_000)-1_000_000)/1000) }
	bcdLayout := "A5 S D1 D2 D3 K 5A; S bit7 minus, bit6 inch, bit5 hold, bit4 low battery, bits3-0 decimals; D six BCD digits high " +
		"first; K=(S+D1+D2+D3) mod 256"
	digit := map[string]bool{"digit": true, "sign": true}
	return []silentCase{
		{"line of known length", mk(`{"family": "line", "unit": "required:mm", "decimal": "point",` +
			` "number": "nr2", "decimals": 3, "sign": "required", "length": 12}`),
			func(r *rand.Rand) []byte { return []byte(number(r) + " mm\r\n") }, digit},
		{"line with xor", mk(`{"family": "line", "unit": "required:mm", "checksum": "xor", "length": 15}`),
			func(r *rand.Rand) []byte {
				s := number(r) + " mm"
				return fmt.Appendf(nil, "%s*%02X\r\n", s, checksum("xor", []byte(s)))
			}, nil},
		{"fixed", mk(`{"family": "fixed", "layout": "'#' CC ':' sign 8-char number 3-char unit CR", ` +
			`"unit": "required:mm", "sign": "required", "number": "nr2", "decimal": "point"}`),
			func(r *rand.Rand) []byte { return []byte("#01:" + number(r)[:1] + number(r)[1:] + " mm\r") }, digit},
		{"fixed with sum", mk(`{"family": "fixed", "layout": "STX sign 6-digit number with 3 decimals ETX 2-hex sum CR", "unit": "fixed:mm"}`),
			func(r *rand.Rand) []byte {
				s := fmt.Sprintf("\x02%+07d\x03", r.IntN(2_000_000)-1_000_000)
				return fmt.Appendf(nil, "%s%02X\r", s, checksum("sum", []byte(s)))
			}, nil},
		{"bcd", mk(`{"family": "bcd", "layout": "` + bcdLayout + `", "unit": "fixed:mm"}`),
			func(r *rand.Rand) []byte {
				n := r.IntN(1_000_000)
				b := []byte{0xa5, byte(r.IntN(2)<<7 | 3), byte(n/100000<<4 | n/10000%10), byte(n/1000%10<<4 | n/100%10), byte(n/10%10<<4 | n%10), 0,
					0x5a}
				b[5] = b[1] + b[2] + b[3] + b[4]
				return b
			}, nil},
		// The plainest line cannot notice much; what it cannot is counted and bounded by kind.
		{"plain line", mk(`{"family": "line", "unit": "required:mm"}`),
			func(r *rand.Rand) []byte { return []byte(number(r) + " mm\r\n") },
			map[string]bool{"digit": true, "sign": true, "other byte": true, "lost byte": true, "added byte": true}},
	}
}

// damage changes one byte of b, loses one or adds one, and says of which kind the change is.
func damage(r *rand.Rand, b []byte) ([]byte, string) {
	at := r.IntN(len(b))
	switch r.IntN(4) {
	case 0:
		return append(bytes.Clone(b[:at]), b[at+1:]...), "lost byte"
	case 1:
		return append(append(bytes.Clone(b[:at]), anyByte(r)), b[at:]...), "added byte"
	}
	c := bytes.Clone(b)
	for c[at] == b[at] {
		c[at] = anyByte(r)
	}
	switch {
	case isDigit(b[at]) && isDigit(c[at]):
		return c, "digit"
	case strings.IndexByte("+-", b[at]) >= 0 && strings.IndexByte("+-", c[at]) >= 0:
		return c, "sign"
	}
	return c, "other byte"
}

// anyByte prefers the bytes that could hide in a frame.
func anyByte(r *rand.Rand) byte {
	if r.IntN(2) == 0 {
		return "0123456789+-., mcinft\r\nEe*#:BH"[r.IntN(30)]
	}
	return byte(r.IntN(256))
}

// A damaged frame must not become another value that counts by itself, except in the ways that no
// parser can notice. Those are counted, not hidden.
func TestSilentWrongValue(t *testing.T) {
	const rounds = 100_000
	for _, c := range silentCases(t) {
		t.Run(c.name, func(t *testing.T) {
			r := rand.New(rand.NewPCG(4, 27))
			d, err := NewDecoder(c.format)
			if err != nil {
				t.Fatal(err)
			}
			// d runs for all rounds; each round is followed by enough silence to be in step again.
			at := 10 * time.Second
			decode := func(b []byte) (auto []string) {
				for _, e := range append(d.Feed(at, b), d.Tick(at+5*time.Second)...) {
					if e.Sample != nil && e.Sample.Accept == Auto {
						auto = append(auto, e.Sample.Value+" "+e.Sample.Unit)
					}
				}
				at += 10 * time.Second
				return auto
			}
			silent := map[string]int{}
			for range rounds {
				frame := c.frame(r)
				want := decode(frame)
				if len(want) != 1 {
					t.Fatalf("%q gives %q", frame, want)
				}
				bad, kind := damage(r, frame)
				for _, v := range decode(bad) {
					if v == want[0] {
						continue
					}
					if silent[kind]++; !c.may[kind] {
						t.Fatalf("%q became %q (%s): %s instead of %s", frame, bad, kind, v, want[0])
					}
				}
			}
			t.Logf("%d damaged frames, silently another value: %v", rounds, silent)
		})
	}
}
