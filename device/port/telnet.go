package port

// Telnet command bytes (RFC 854) and options (RFC 856 binary, RFC 858 suppress go-ahead, RFC 2217).
const (
	tnSE   byte = 240
	tnSB   byte = 250
	tnWILL byte = 251
	tnWONT byte = 252
	tnDO   byte = 253
	tnDONT byte = 254
	tnIAC  byte = 255

	optBinary  byte = 0
	optSGA     byte = 3
	optComPort byte = 44
)

// maxSub bounds a subnegotiation; longer ones are read to their end and thrown away.
const maxSub = 256

// telnetEvent is one command found among the data: an option verb, or a subnegotiation (verb tnSB).
type telnetEvent struct {
	verb, option byte
	body         []byte
}

type telnetState uint8

const (
	tnData telnetState = iota
	tnCommand
	tnOption
	tnSubOption
	tnSub
	tnSubCommand
)

// telnetReader takes commands out of a byte stream. It keeps its place between calls, so the cutting
// of the stream does not matter.
type telnetReader struct {
	state  telnetState
	verb   byte
	option byte
	body   []byte
	binary bool // the peer sends binary: CR is data, else CR NUL stands for CR (RFC 854)
	sawCR  bool
}

// feed appends the data bytes of b to data and the commands to events.
func (t *telnetReader) feed(b, data []byte, events []telnetEvent) ([]byte, []telnetEvent) {
	for _, c := range b {
		switch t.state {
		case tnData:
			switch {
			case c == tnIAC:
				t.state = tnCommand
			case c == 0 && t.sawCR && !t.binary:
				t.sawCR = false
			default:
				data = append(data, c)
				t.sawCR = c == '\r'
			}
		case tnCommand:
			switch c {
			case tnIAC:
				data = append(data, tnIAC)
				t.state, t.sawCR = tnData, false
			case tnWILL, tnWONT, tnDO, tnDONT:
				t.state, t.verb = tnOption, c
			case tnSB:
				t.state, t.body = tnSubOption, nil
			default: // NOP, data mark, ...: no meaning for a gauge
				t.state = tnData
			}
		case tnOption:
			events = append(events, telnetEvent{verb: t.verb, option: c})
			t.state = tnData
		case tnSubOption:
			t.option, t.state = c, tnSub
		case tnSub:
			if c == tnIAC {
				t.state = tnSubCommand
			} else {
				t.keep(c)
			}
		case tnSubCommand:
			switch c {
			case tnSE:
				if len(t.body) <= maxSub {
					events = append(events, telnetEvent{verb: tnSB, option: t.option, body: t.body})
				}
				t.body, t.state = nil, tnData
			case tnIAC:
				t.keep(tnIAC)
				t.state = tnSub
			default: // a broken subnegotiation: leave it and take the command for what it is
				t.body, t.state = nil, tnData
				switch c {
				case tnWILL, tnWONT, tnDO, tnDONT:
					t.state, t.verb = tnOption, c
				case tnSB:
					t.state = tnSubOption
				}
			}
		}
	}
	return data, events
}

func (t *telnetReader) keep(c byte) {
	if len(t.body) <= maxSub { // one more than allowed marks the overrun
		t.body = append(t.body, c)
	}
}

// telnetEscape doubles IAC and, unless the line is binary, follows CR by NUL.
func telnetEscape(b []byte, binary bool) []byte {
	out := make([]byte, 0, len(b)+8)
	for _, c := range b {
		out = append(out, c)
		switch {
		case c == tnIAC:
			out = append(out, tnIAC)
		case c == '\r' && !binary:
			out = append(out, 0)
		}
	}
	return out
}
