package reports

import "strings"

// wrap cuts a text into lines that fit: at spaces, and inside a word only where the word alone is too
// wide. A text of nothing is one empty line.
func (t *typesetter) wrap(s string, width, size float64, bold bool) []string {
	fits := func(s string) bool { return t.faces.Width(s, size, bold) <= width }
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

// longestWord is the width of the widest word: what a column needs so that no word is cut.
func (t *typesetter) longestWord(s string, size float64, bold bool) float64 {
	w := 0.0
	for _, word := range strings.Fields(s) {
		w = max(w, t.faces.Width(word, size, bold))
	}
	return w
}
