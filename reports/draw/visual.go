package draw

import (
	"slices"
	"unicode"
)

// steers reports whether r is invisible and only steers the writing direction or joining.
func steers(r rune) bool {
	return r == 0x200B || r == 0x200E || r == 0x200F || (r >= 0x202A && r <= 0x202E) || (r >= 0x2066 && r <= 0x2069) || r == 0xFEFF
}

// visual puts the right-to-left runs of a line in the order seen, on a line that runs left to right
// (the core of UAX 9 for a left-to-right paragraph without embeddings: a run reaches from one strong
// right-to-left letter to the last one before a strong left-to-right letter; numbers inside keep their
// order, brackets inside are mirrored). Letters are not joined.
func visual(s string) []rune {
	rs := []rune(s)
	for i := 0; i < len(rs); i++ {
		if !rightToLeft(rs[i]) {
			continue
		}
		last := i
		for j := i; j < len(rs) && !leftToRight(rs[j]); j++ {
			if rightToLeft(rs[j]) {
				last = j
			}
		}
		turn(rs[i : last+1])
		i = last
	}
	return rs
}

func turn(rs []rune) {
	slices.Reverse(rs)
	mirror := map[rune]rune{'(': ')', ')': '(', '[': ']', ']': '[', '{': '}', '}': '{', '<': '>', '>': '<', '«': '»', '»': '«'}
	for i := 0; i < len(rs); i++ {
		if m, ok := mirror[rs[i]]; ok {
			rs[i] = m
		}
		j := i
		for j < len(rs) && unicode.IsDigit(rs[j]) {
			j++
		}
		if j > i {
			slices.Reverse(rs[i:j])
			i = j - 1
		}
	}
}

func rightToLeft(r rune) bool {
	return unicode.In(r, unicode.Hebrew, unicode.Arabic, unicode.Syriac, unicode.Thaana, unicode.Nko) &&
		!unicode.IsDigit(r) && !unicode.IsPunct(r)
}

func leftToRight(r rune) bool { return unicode.IsLetter(r) && !rightToLeft(r) }
