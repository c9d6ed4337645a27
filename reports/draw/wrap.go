package draw

import "strings"

// Wrap cuts a text into lines that fit: at spaces, and inside a word only where the word alone is too
// wide. A text of nothing is one empty line.
func (f Faces) Wrap(s string, width, size float64, bold bool) []string {
	fits := func(s string) bool { return f.Width(s, size, bold) <= width }
	var lines []string
	line := ""
	for _, word := range strings.Fields(s) {
		if line != "" && fits(line+" "+word) {
			line += " " + word
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		line = word
		for !fits(line) {
			rs := []rune(line)
			n := len(rs) - 1
			for n > 1 && !fits(string(rs[:n])) {
				n--
			}
			if n < 1 {
				break
			}
			lines = append(lines, string(rs[:n]))
			line = string(rs[n:])
		}
	}
	return append(lines, line)
}

// LongestWord is the width of the widest word: what a column needs so that no word is cut.
func (f Faces) LongestWord(s string, size float64, bold bool) float64 {
	w := 0.0
	for _, word := range strings.Fields(s) {
		w = max(w, f.Width(word, size, bold))
	}
	return w
}

// Shorten is s cut to so many characters, with the cut marked. A drawing has room for no more; tables carry names whole.
func Shorten(s string, most int) string {
	if rs := []rune(s); len(rs) > most {
		return string(rs[:most-1]) + "…"
	}
	return s
}
