package wire

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
	"time"
)

// Observation is one value that a gauge sent while a person looked at it.
type Observation struct {
	Shown string // as typed from the display: "12.34", "-0.120 mm", "0,486 in"
	Bytes []byte // what arrived for it, terminator included
}

// Candidate is a format that explains all observations.
type Candidate struct {
	Format Format
	// Ambiguous says in plain words what the observations leave open and how it was taken.
	Ambiguous []string
}

// InferError says why no format explains the observations.
type InferError struct {
	Observation int // counted from 0; -1 = all together
	Problem     string
}

func (e *InferError) Error() string {
	if e.Observation < 0 {
		return "learn the gauge's format: " + e.Problem
	}
	return fmt.Sprintf("learn the gauge's format: value %d: %s", e.Observation+1, e.Problem)
}

// Infer finds formats that explain what a gauge sent for values that a person read from its display,
// best first: the strictest that leaves least open. base gives the family (line, query, stream or
// keyboard) and all settings that the frames do not show, such as times and query_hex; see
// [DefaultFormat]. When the gauge sends no decimal mark but the display shows one, a format of the
// fixed family results. Every candidate has decoded every observation to exactly what was shown.
// Two values, one of them negative, are enough for most gauges; it returns an *[InferError] when
// nothing fits.
func Infer(base Format, seen []Observation) ([]Candidate, error) {
	if !slices.Contains([]string{Line, Query, Stream, Keyboard}, base.Family) {
		return nil, fieldErr("family", "%q cannot be learned; give one of line, query, stream, keyboard", base.Family)
	}
	if len(seen) == 0 {
		return nil, &InferError{-1, "no value was sent; send two or three different ones"}
	}
	looks := make([]look, len(seen))
	for i, o := range seen {
		var err error
		if looks[i], err = lookAt(o); err != nil {
			return nil, &InferError{i, err.Error()}
		}
	}
	end := looks[0].end
	for i, l := range looks {
		if l.end != end {
			return nil, &InferError{i, fmt.Sprintf("ends with %q, the first with %q", l.end, end)}
		}
	}
	var out []Candidate
	for _, first := range looks[0].places {
		if places, ok := alike(looks, first); ok {
			out = append(out, textCandidates(base, looks, places)...)
		}
	}
	if len(out) == 0 {
		out = impliedCandidates(base, looks)
	}
	out = slices.DeleteFunc(out, func(c Candidate) bool { return !explains(c.Format, looks) })
	if len(out) == 0 {
		return nil, &InferError{-1, "the values shown do not stand in the frames in one and the same way; check what was typed, or " +
			"describe the format by hand"}
	}
	slices.SortStableFunc(out, func(a, b Candidate) int { return cmp.Compare(len(a.Ambiguous), len(b.Ambiguous)) })
	return out, nil
}

// look is an observation taken apart.
type look struct {
	value  shownNumber // as shown
	unit   string      // as shown, "" if none
	frame  string      // the last complete frame, without terminator
	end    string
	places []place
}

// place is where the shown number may stand in a frame.
type place struct {
	before, after string // the text around the number and its sign, spaces trimmed
	number        string // the number as sent, sign included
	sign          byte   // '+', '-' or 0
	behind        bool   // the sign stands behind
	mark          byte
	exponent      bool
	decimals      int
}

// shownNumber is a number as a person typed it.
type shownNumber struct {
	neg    bool
	digits string // without mark and leading zeros
	places int    // decimals
}

// isSent reports whether digits with places decimals are the number shown: a gauge may send zeros behind
// that its display does not show, as instruments do that send an exponent.
func (s shownNumber) isSent(digits string, places int) bool {
	return places >= s.places && (digits == s.digits+strings.Repeat("0", places-s.places) || digits == "" && s.digits == "")
}

func readShown(s string) (shownNumber, string, error) {
	t := strings.TrimSpace(s)
	var n shownNumber
	if strings.HasPrefix(t, "-") || strings.HasPrefix(t, "\u2212") {
		n.neg = true
		t = strings.TrimPrefix(strings.TrimPrefix(t, "-"), "\u2212")
	} else {
		t = strings.TrimPrefix(t, "+")
	}
	b := []byte(strings.TrimSpace(t))
	var at numberAt
	if !scanNumber(b, 0, &at) || at.hasExp {
		return n, "", fmt.Errorf("%q is not a number as a display shows it", s)
	}
	unit := ""
	if rest := strings.TrimSpace(string(b[at.end:])); rest != "" {
		u, k := unitAt(knownUnits(), []byte(rest))
		if k != len(rest) {
			return n, "", fmt.Errorf("%q: %q is no known unit", s, rest)
		}
		unit = u
	}
	whole, frac := string(b[at.whole.from:at.whole.to]), string(b[at.frac.from:at.frac.to])
	n.digits, n.places = strings.TrimLeft(whole+frac, "0"), len(frac)
	if len(n.digits) > maxDigits {
		return n, "", fmt.Errorf("%q has more digits than any display", s)
	}
	n.neg = n.neg && n.digits != ""
	return n, unit, nil
}

func lookAt(o Observation) (look, error) {
	var l look
	var err error
	if l.value, l.unit, err = readShown(o.Shown); err != nil {
		return l, err
	}
	text := string(o.Bytes)
	body := strings.TrimRight(text, "\r\n\t")
	l.end = text[len(body):]
	if l.end == "" {
		return l, fmt.Errorf("%q has no terminator at its end; wait until the gauge has finished", brief(o.Bytes))
	}
	if k := strings.LastIndexAny(body, "\r\n"); k >= 0 {
		body = body[k+1:] // sent twice, or a stream
	}
	if len(l.end) > 2 || strings.Contains(l.end, "\t") && l.end != "\t" {
		l.end = l.end[len(l.end)-1:]
	}
	for i := range len(body) {
		if c := body[i]; c > 0x7e || c < 0x20 && c != '\t' {
			return l, fmt.Errorf("%q holds bytes that are not text; check speed and parity, or describe a binary frame by hand", brief([]byte(body)))
		}
	}
	l.frame = body
	l.places = placesOf(body, l.value)
	return l, nil
}

// placesOf finds every number in the frame that equals the shown one.
func placesOf(frame string, shown shownNumber) (out []place) {
	b := []byte(frame)
	for i := 0; i < len(b); i++ {
		if !isDigit(b[i]) && b[i] != '.' && b[i] != ',' || i > 0 && (isDigit(b[i-1]) || b[i-1] == '.' || b[i-1] == ',') {
			continue
		}
		for _, exponent := range []bool{false, true} {
			var n numberAt
			if !scanNumber(b, i, &n) || exponent != n.hasExp || n.overflowed {
				continue
			}
			out = append(out, signedPlaces(b, i, &n, shown)...)
		}
	}
	return out
}

// signedPlaces tries the number at b[i:] with the sign in front and behind.
func signedPlaces(b []byte, i int, n *numberAt, shown shownNumber) (out []place) {
	var w strings.Builder
	n.neg = false
	if n.tooManyDigits(b) || n.exp > 30 || n.exp < -30 {
		return nil
	}
	n.write(&w, b)
	whole, frac, _ := strings.Cut(w.String(), ".")
	if !shown.isSent(strings.TrimLeft(whole+frac, "0"), len(frac)) {
		return nil
	}
	p := place{mark: n.mark, exponent: n.hasExp, decimals: len(frac)}
	from := i
	for from > 0 && (b[from-1] == ' ' || b[from-1] == '\t') {
		from--
	}
	if from > 0 && (b[from-1] == '+' || b[from-1] == '-') {
		from--
		p.sign = b[from]
	} else {
		from = i
	}
	if shown.digits == "" || shown.neg == (p.sign == '-') {
		front := p
		front.before, front.number, front.after = trim(b[:from]), string(b[from:n.end]), trim(b[n.end:])
		if !strings.HasPrefix(front.after, "+") && !strings.HasPrefix(front.after, "-") {
			out = append(out, front) // a sign behind it would be part of the number
		}
	}
	end := skipSpace(b, n.end)
	if p.sign == 0 && end < len(b) && (b[end] == '+' || b[end] == '-') && (shown.digits == "" || shown.neg == (b[end] == '-')) {
		p.sign, p.behind = b[end], true
		p.before, p.number, p.after = trim(b[:i]), string(b[i:end+1]), trim(b[end+1:])
		out = append(out, p)
	}
	return out
}

func trim(b []byte) string { return strings.Trim(string(b), " \t") }

// alike picks in every frame the place that has the same text in front as first.
func alike(looks []look, first place) ([]place, bool) {
	out := []place{first}
	for _, l := range looks[1:] {
		k := slices.IndexFunc(l.places, func(p place) bool {
			return p.before == first.before && p.exponent == first.exponent && (p.behind == first.behind || p.sign == 0 || first.sign == 0)
		})
		if k < 0 {
			return nil, false
		}
		out = append(out, l.places[k])
	}
	return out, true
}

// explains decodes every observation with the format.
func explains(f Format, looks []look) bool {
	if f.Family != Fixed {
		f.Family = Line
	}
	f.QueryHex = ""
	d, err := NewDecoder(f)
	if err != nil {
		return false
	}
	at := 10 * time.Second
	for _, l := range looks {
		at += 10 * time.Second
		ev := d.Feed(at, []byte(l.frame+l.end))
		if len(ev) != 1 || ev[0].Sample == nil {
			return false
		}
		s := ev[0].Sample
		got, _, err := readShown(s.Value)
		if err != nil || got.neg != l.value.neg || !l.value.isSent(got.digits, got.places) || l.unit != "" && s.Unit != l.unit ||
			slices.ContainsFunc(s.Flags, func(f string) bool { return f != FlagUnitChanged }) {
			return false
		}
	}
	return true
}
