package port

import (
	"fmt"
	"strconv"
	"strings"
)

// ParseMode reads how a serial line is set, as people write it: the speed, then data bits, parity letter
// (N O E M S) and stop bits in one word, then what differs from leaving the control lines alone; all but
// the speed may be left out.
//
//	4800
//	4800 7E1
//	9600 8N1, DTR on, RTS off, settle 500 ms
//
// The error has code BadMode.
func ParseMode(text string) (Mode, error) {
	var m Mode
	bad := func(word string) (Mode, error) {
		return Mode{}, &Error{Code: BadMode, Cause: fmt.Sprintf("%q in the line setting %q is not understood", word, text),
			Do: "write for example 4800 7E1, or 9600 8N1, DTR on, RTS off, settle 500 ms"}
	}
	words := strings.Fields(strings.ReplaceAll(text, ",", " "))
	if len(words) == 0 {
		return bad("")
	}
	for i := 0; i < len(words); i++ {
		w, next := words[i], ""
		if i+1 < len(words) {
			next = words[i+1]
		}
		n, notNumber := strconv.Atoi(w)
		switch {
		case i == 0 && notNumber == nil:
			m.Baud = n
		case i == 1 && m.frame(w):
		case strings.EqualFold(w, "DTR") && m.DTR == nil && onOff(next) != nil:
			m.DTR = onOff(next)
			i++
		case strings.EqualFold(w, "RTS") && m.RTS == nil && onOff(next) != nil:
			m.RTS = onOff(next)
			i++
		case strings.EqualFold(w, "settle") && m.SettleMS == 0:
			ms, err := strconv.Atoi(strings.TrimSuffix(next, "ms"))
			if err != nil || ms < 1 {
				return bad(w + " " + next)
			}
			m.SettleMS = ms
			if i++; i+1 < len(words) && words[i+1] == "ms" {
				i++
			}
		default:
			return bad(w)
		}
	}
	if m.Baud == 0 {
		return bad(words[0])
	}
	return m, m.Validate()
}

// frame takes a word such as 8N1.
func (m *Mode) frame(w string) bool {
	if len(w) != 3 || w[0] < '1' || w[0] > '9' || w[2] < '1' || w[2] > '9' {
		return false
	}
	for name, p := range parities {
		if strings.EqualFold(p.letter, w[1:2]) {
			m.DataBits, m.Parity, m.StopBits = int(w[0]-'0'), name, int(w[2]-'0')
			return true
		}
	}
	return false
}

func onOff(w string) *bool {
	on := strings.EqualFold(w, "on")
	if !on && !strings.EqualFold(w, "off") {
		return nil
	}
	return &on
}
