package wire

import (
	"fmt"
	"maps"
	"slices"
	"strings"
)

// textCandidates makes formats of frames whose numbers stand at the given places: the strictest that
// the observations support and the one that takes more.
func textCandidates(base Format, looks []look, places []place) []Candidate {
	c := Candidate{Format: base}
	f := &c.Format
	f.Terminator = terminatorWord(looks[0].end)
	f.Prefix, f.Channel = places[0].before, "none"
	if f.Prefix != "" && strings.ContainsAny(f.Prefix, "0123456789") {
		c.open("%q in front of every number is taken as fixed text; if it names a channel, set channel", f.Prefix)
	}
	c.sign(places)
	c.number(places)
	rests := make([]string, len(places))
	for i, p := range places {
		rests[i] = p.after
	}
	var out []Candidate
	sums := checksums(looks)
	for _, sum := range sums {
		c := c.copy()
		if c.Format.Checksum = sum; len(sums) > 1 {
			c.open("the check digits fit %s; send another value", strings.Join(sums, " and "))
		}
		after := rests
		if sum != "none" {
			after = make([]string, len(rests))
			for i, r := range rests {
				after[i] = strings.TrimRight(r[:strings.LastIndexByte(r, '*')], " \t")
			}
		}
		if !c.unitAndStatus(looks, after) {
			continue
		}
		out = append(out, c.strict(looks, places)...)
	}
	return out
}

func (c *Candidate) open(format string, args ...any) {
	c.Ambiguous = append(c.Ambiguous, fmt.Sprintf(format, args...))
}

func (c Candidate) copy() Candidate {
	c.Ambiguous = append([]string(nil), c.Ambiguous...)
	return c
}

func terminatorWord(end string) string {
	if end == "\t" {
		return "tab"
	}
	return "any"
}

func (c *Candidate) sign(places []place) {
	f := &c.Format
	f.Sign = "front"
	signed, negative, behind := 0, 0, false
	for _, p := range places {
		if p.sign != 0 {
			signed++
		}
		if p.sign == '-' {
			negative++
		}
		behind = behind || p.behind
	}
	switch {
	case behind:
		f.Sign = "behind"
	case signed == len(places) && signed > negative:
		f.Sign = "required"
	}
	if negative == 0 {
		c.open("no negative value was sent; its sign is taken to stand %s",
			map[string]string{"front": "in front", "required": "in front", "behind": "behind the number"}[f.Sign])
	}
}

func (c *Candidate) number(places []place) {
	f := &c.Format
	f.Number, f.Decimal = "plain", "either"
	if places[0].exponent {
		f.Number = "nr3"
	}
	seen := map[byte]bool{}
	for _, p := range places {
		seen[p.mark] = true
	}
	switch {
	case seen['.'] && !seen[',']:
		f.Decimal = "point"
	case seen[','] && !seen['.']:
		f.Decimal = "comma"
	case !seen['.'] && !seen[',']:
		c.open("no value with decimals was sent; point and comma are both taken")
	}
}

// checksums lists the check digits that fit all frames, best first.
func checksums(looks []look) (out []string) {
	for _, kind := range []string{"xor", "sum"} {
		s := textSpec{checksum: kind}
		fits := true
		for _, l := range looks {
			var p parsed
			s.checked([]byte(l.frame), &p)
			fits = fits && p.code == ""
		}
		if fits {
			out = append(out, kind)
		}
	}
	if out == nil {
		out = []string{"none"}
	}
	return out
}

// unitAndStatus explains what stands behind the numbers.
func (c *Candidate) unitAndStatus(looks []look, after []string) bool {
	f := &c.Format
	f.UnitMap, f.Status, f.StatusMap = nil, "none", nil
	words, rests := make([]string, len(after)), make([]string, len(after))
	own := map[string]string{}
	for i, a := range after {
		u, n := unitAt(knownUnits(), []byte(a))
		if n > 0 && (looks[i].unit == "" || looks[i].unit == u) {
			words[i], rests[i] = u, strings.TrimLeft(a[n:], " \t")
			continue
		}
		word, rest, _ := strings.Cut(a, " ")
		if a != "" && looks[i].unit != "" {
			own[word] = looks[i].unit
			words[i], rests[i] = looks[i].unit, strings.TrimLeft(rest, " \t")
			continue
		}
		rests[i] = a
	}
	if len(own) > 0 {
		f.UnitMap = own
		for i, a := range after { // the words that are known need an entry too
			if word, _, _ := strings.Cut(a, " "); own[word] == "" {
				own[word] = words[i]
			}
		}
	}
	for i := range words {
		if (words[i] == "") != (words[0] == "") {
			return false
		}
	}
	switch bound := looks[0].unit; {
	case words[0] != "":
		f.Unit = "required:" + words[0]
	case bound != "":
		f.Unit = "fixed:" + bound
	default:
		f.Unit = "none"
		c.open("the gauge sends no unit; set unit to fixed:mm or fixed:in")
	}
	return c.status(rests)
}

// status takes words left behind unit and number as "all is well": they stood there while it was.
func (c *Candidate) status(rests []string) bool {
	f := &c.Format
	empty := 0
	for _, r := range rests {
		if r == "" {
			empty++
			continue
		}
		if f.StatusMap == nil {
			f.Status, f.StatusMap = "suffix", map[string]string{}
		}
		f.StatusMap[r] = "ok"
	}
	if f.StatusMap != nil {
		c.open("what stands behind (%s) is taken to mean that all is well; add the gauge's other status letters to status_map",
			strings.Join(slices.Sorted(maps.Keys(f.StatusMap)), ", "))
	}
	return len(f.StatusMap) <= 2
}

// strict returns the candidate with decimals and length as seen, where there is reason for it, and
// then the one that takes any.
func (c Candidate) strict(looks []look, places []place) []Candidate {
	loose := c.copy()
	loose.Format.Decimals, loose.Format.Length = -1, 0
	if len(looks) < 2 {
		loose.open("only one value was sent")
		return []Candidate{loose}
	}
	f := &c.Format
	f.Decimals, f.Length = places[0].decimals, len(looks[0].frame)
	for i, p := range places {
		if p.decimals != places[0].decimals || p.exponent {
			f.Decimals = -1
		}
		if len(looks[i].frame) != f.Length {
			f.Length = 0
			break
		}
	}
	if places[0].exponent || !padded(looks, places) {
		f.Length = 0
	}
	if f.Decimals < 0 && f.Length == 0 {
		return []Candidate{loose}
	}
	loose.open("numbers with other decimals or frames of another length than those sent are taken too")
	return []Candidate{c, loose}
}

// padded reports whether frames of one length carry numbers that take different room, whether or not
// a sign takes room. Equal lengths of equally long numbers prove nothing.
func padded(looks []look, places []place) bool {
	room := func(i int) (digits, signed int) {
		n := looks[i].value
		digits = max(len(n.digits), n.places+1) // a zero stands in front of the mark
		if signed = digits; places[i].sign != 0 {
			signed++
		}
		return digits, signed
	}
	for i := range looks {
		for k := range i {
			d1, s1 := room(i)
			d2, s2 := room(k)
			if d1 != d2 && s1 != s2 {
				return true
			}
		}
	}
	return false
}
