package port

import (
	"fmt"
	"time"
)

// Mode is how a serial line is set. The zero value means 9600 baud, 8 data bits, no parity, 1 stop bit,
// control lines left as the system sets them, no settling time.
type Mode struct {
	Baud     int    `json:"baud,omitempty"`      // bit/s
	DataBits int    `json:"data_bits,omitempty"` // 5 to 8
	Parity   string `json:"parity,omitempty"`    // none odd even mark space
	StopBits int    `json:"stop_bits,omitempty"` // 1 or 2
	DTR      *bool  `json:"dtr,omitempty"`       // nil leaves the line alone
	RTS      *bool  `json:"rts,omitempty"`
	SettleMS int    `json:"settle_ms,omitempty"` // bytes in this time after opening are dropped, 0 to 3000
}

// Parity names.
const (
	ParityNone  = "none"
	ParityOdd   = "odd"
	ParityEven  = "even"
	ParityMark  = "mark"
	ParitySpace = "space"
)

// maxBaud bounds a typing error, not the hardware: no gauge is near it.
const maxBaud = 4_000_000

// WithDefaults fills what was left out.
func (m Mode) WithDefaults() Mode {
	if m.Baud == 0 {
		m.Baud = 9600
	}
	if m.DataBits == 0 {
		m.DataBits = 8
	}
	if m.Parity == "" {
		m.Parity = ParityNone
	}
	if m.StopBits == 0 {
		m.StopBits = 1
	}
	return m
}

// Validate refuses what no line can be set to. The error has code BadMode.
func (m Mode) Validate() error {
	m = m.WithDefaults()
	bad := func(field string, got any, want string) error {
		return &Error{Code: BadMode, Addr: "", Cause: fmt.Sprintf("%s %v is not possible", field, got), Do: "use " + want}
	}
	switch {
	case m.Baud < 50 || m.Baud > maxBaud:
		return bad("baud", m.Baud, "50 to 4000000, as the gauge's manual says")
	case m.DataBits < 5 || m.DataBits > 8:
		return bad("data_bits", m.DataBits, "5 to 8")
	case m.StopBits != 1 && m.StopBits != 2:
		return bad("stop_bits", m.StopBits, "1 or 2")
	case m.SettleMS < 0 || m.SettleMS > 3000:
		return bad("settle_ms", m.SettleMS, "0 to 3000")
	}
	if _, ok := parities[m.Parity]; !ok {
		return bad("parity", fmt.Sprintf("%q", m.Parity), "none, odd, even, mark or space")
	}
	return nil
}

func (m Mode) settle() time.Duration { return time.Duration(m.SettleMS) * time.Millisecond }

// String gives the form that [ParseMode] reads, for example "9600 8N1" or "4800 7E1, DTR on".
func (m Mode) String() string {
	m = m.WithDefaults()
	letter := "?"
	if p, ok := parities[m.Parity]; ok {
		letter = p.letter
	}
	text := fmt.Sprintf("%d %d%s%d", m.Baud, m.DataBits, letter, m.StopBits)
	for _, line := range []struct {
		name string
		on   *bool
	}{{"DTR", m.DTR}, {"RTS", m.RTS}} {
		if line.on != nil {
			text += ", " + line.name + map[bool]string{true: " on", false: " off"}[*line.on]
		}
	}
	if m.SettleMS > 0 {
		text += fmt.Sprintf(", settle %d ms", m.SettleMS)
	}
	return text
}
