package certify

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
)

const (
	heading = "springline pairing proof 1"
	ending  = "end of proof"
)

// MarshalText writes a certificate as lines of words, for a file that anyone can check:
//
//	springline pairing proof 1
//	metric rms                     or max
//	objective sum                  or worst_then_sum
//	weights 1 1 2 2                tip, crown, stations
//	limit none                     or nanometres
//	lot-penalty 0                  nanometres
//	factor 1
//	alone 904000                   dual of a rib left over
//	rib "R-7" "lot 3" 81000 ...    id, lot, dual, deviations in micrometres; numbered from 0 as they come
//	forbidden 0 1                  a pair of ribs; so are locked, prefer and pair
//	blossom 1200 4 5 9             dual, ribs
//	more 3 8                       barrier: see [Certificate]; so is better
//	end of proof
func (c *Certificate) MarshalText() ([]byte, error) {
	var b bytes.Buffer
	line := func(word string, numbers ...int64) {
		b.WriteString(word)
		for _, n := range numbers {
			b.WriteByte(' ')
			b.Write(strconv.AppendInt(b.AvailableBuffer(), n, 10))
		}
		b.WriteByte('\n')
	}
	line(heading)
	line("metric " + c.Metric)
	line("objective " + c.Objective)
	line("weights", append([]int64{c.Tip, c.Crown}, c.Stations...)...)
	if c.Limit < 0 {
		line("limit none")
	} else {
		line("limit", c.Limit)
	}
	line("lot-penalty", c.LotPenalty)
	line("factor", c.Factor)
	line("alone", c.Alone)
	if len(c.Rib) != len(c.Ribs) {
		return nil, fmt.Errorf("write a pairing proof: %d duals for %d ribs", len(c.Rib), len(c.Ribs))
	}
	var row []int64
	for i, r := range c.Ribs {
		row = append(row[:0], c.Rib[i])
		for _, d := range r.Dev {
			row = append(row, int64(d))
		}
		line("rib "+strconv.Quote(r.ID)+" "+strconv.Quote(r.Lot), row...)
	}
	for _, l := range []struct {
		word string
		list [][2]int
	}{{"forbidden", c.Forbidden}, {"locked", c.Locked}, {"prefer", c.Prefer}, {"pair", c.Pairs}} {
		for _, q := range l.list {
			line(l.word, int64(q[0]), int64(q[1]))
		}
	}
	for _, s := range c.Blossoms {
		line("blossom", append([]int64{s.Dual}, wide(s.Ribs)...)...)
	}
	line("more", wide(c.More)...)
	line("better", wide(c.Better)...)
	line(ending)
	return b.Bytes(), nil
}

func wide(list []int) []int64 {
	out := make([]int64, len(list))
	for i, x := range list {
		out[i] = int64(x)
	}
	return out
}

// UnmarshalText reads what MarshalText wrote. It does not check the proof.
func (c *Certificate) UnmarshalText(text []byte) error {
	*c = Certificate{}
	lines := strings.Split(strings.TrimSuffix(string(text), "\n"), "\n")
	if len(lines) < 2 || lines[0] != heading || lines[len(lines)-1] != ending {
		return fmt.Errorf("read a pairing proof: the text does not run from %q to %q: it is another kind of file or was cut short", heading,
			ending)
	}
	seen := map[string]bool{}
	for i, l := range lines[1 : len(lines)-1] {
		if err := c.readLine(l, seen); err != nil {
			return fmt.Errorf("read a pairing proof: line %d, %.60q: %w", i+2, l, err)
		}
	}
	for _, w := range []string{"metric", "objective", "weights", "limit", "lot-penalty", "factor", "alone", "more", "better"} {
		if !seen[w] {
			return fmt.Errorf("read a pairing proof: there is no line %q", w)
		}
	}
	return nil
}

func (c *Certificate) readLine(l string, seen map[string]bool) error {
	word, rest, _ := strings.Cut(l, " ")
	switch word {
	case "rib", "forbidden", "locked", "prefer", "pair", "blossom":
	default:
		if seen[word] {
			return fmt.Errorf("%q stands twice", word)
		}
		seen[word] = true
	}
	switch word {
	case "metric":
		c.Metric = rest
		return nil
	case "objective":
		c.Objective = rest
		return nil
	case "limit":
		if rest == "none" {
			c.Limit = -1
			return nil
		}
	case "rib":
		return c.readRib(rest)
	}
	n, err := numbers(rest)
	if err != nil {
		return err
	}
	one := func(to *int64) error {
		if len(n) != 1 {
			return fmt.Errorf("%d numbers, not one", len(n))
		}
		*to = n[0]
		return nil
	}
	two := func(to *[][2]int) error {
		if len(n) != 2 {
			return fmt.Errorf("%d numbers, not two", len(n))
		}
		*to = append(*to, [2]int{int(n[0]), int(n[1])})
		return nil
	}
	switch word {
	case "weights":
		if len(n) < 2 {
			return fmt.Errorf("tip and crown need a weight each")
		}
		c.Tip, c.Crown, c.Stations = n[0], n[1], n[2:]
	case "limit":
		return one(&c.Limit)
	case "lot-penalty":
		return one(&c.LotPenalty)
	case "factor":
		return one(&c.Factor)
	case "alone":
		return one(&c.Alone)
	case "forbidden":
		return two(&c.Forbidden)
	case "locked":
		return two(&c.Locked)
	case "prefer":
		return two(&c.Prefer)
	case "pair":
		return two(&c.Pairs)
	case "blossom":
		if len(n) < 1 {
			return fmt.Errorf("a blossom needs a dual")
		}
		c.Blossoms = append(c.Blossoms, Blossom{n[0], narrow(n[1:])})
	case "more":
		c.More = narrow(n)
	case "better":
		c.Better = narrow(n)
	default:
		return fmt.Errorf("no line starts with %q", word)
	}
	return nil
}

func (c *Certificate) readRib(s string) error {
	var words [2]string
	for i := range words {
		q, err := strconv.QuotedPrefix(s)
		if err != nil {
			return fmt.Errorf("a rib starts with its id and lot in quotes")
		}
		if words[i], err = strconv.Unquote(q); err != nil {
			return err
		}
		s = strings.TrimPrefix(s[len(q):], " ")
	}
	n, err := numbers(s)
	if err != nil {
		return err
	}
	if len(n) == 0 {
		return fmt.Errorf("a rib needs a dual")
	}
	r := Rib{ID: words[0], Lot: words[1]}
	for _, d := range n[1:] {
		if d != int64(int32(d)) {
			return fmt.Errorf("deviation %d is out of range", d)
		}
		r.Dev = append(r.Dev, int32(d))
	}
	c.Ribs, c.Rib = append(c.Ribs, r), append(c.Rib, n[0])
	return nil
}

func numbers(s string) ([]int64, error) {
	var list []int64
	for _, w := range strings.Fields(s) {
		n, err := strconv.ParseInt(w, 10, 64)
		if err != nil {
			return nil, fmt.Errorf("%q is not a whole number in range", w)
		}
		list = append(list, n)
	}
	return list, nil
}

func narrow(list []int64) []int {
	out := make([]int, len(list))
	for i, x := range list {
		out[i] = int(x)
	}
	return out
}

// CheckText checks a proof as read from a file: all that a stand-alone checker needs.
func CheckText(text []byte) (Verdict, error) {
	var c Certificate
	if err := c.UnmarshalText(text); err != nil {
		return Verdict{}, err
	}
	return c.Check()
}
