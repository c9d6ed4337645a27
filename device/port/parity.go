package port

import "go.bug.st/serial"

// parity is one row of the table that ties a name to the serial library and to RFC 2217 section 3,
// SET-PARITY (1 none, 2 odd, 3 even, 4 mark, 5 space).
type parity struct {
	letter  string
	serial  serial.Parity
	rfc2217 byte
}

var parities = map[string]parity{
	ParityNone:  {"N", serial.NoParity, 1},
	ParityOdd:   {"O", serial.OddParity, 2},
	ParityEven:  {"E", serial.EvenParity, 3},
	ParityMark:  {"M", serial.MarkParity, 4},
	ParitySpace: {"S", serial.SpaceParity, 5},
}
