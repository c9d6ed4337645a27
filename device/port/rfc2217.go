package port

import (
	"context"
	"encoding/binary"
	"fmt"
	"slices"
	"sync"
	"time"
)

// COM-PORT commands, client to server; the server answers with the number plus 100 (RFC 2217 section 3).
const (
	cpBaud     byte = 1
	cpDataSize byte = 2
	cpParity   byte = 3
	cpStopSize byte = 4
	cpControl  byte = 5
	cpSuspend  byte = 8
	cpResume   byte = 9
	cpAnswer   byte = 100

	controlNoFlow byte = 1 // SET-CONTROL values
	controlDTROn  byte = 8
	controlDTROff byte = 9
	controlRTSOn  byte = 11
	controlRTSOff byte = 12
)

const (
	negotiateBound = time.Second // what is not confirmed by then is reported, not waited for
	maxEarly       = 64 << 10    // data bytes kept while negotiating
)

// comParam is one line parameter asked of the server.
type comParam struct {
	name    string
	command byte
	value   []byte
	got     []byte
	done    bool
}

// comPort is the client end of RFC 2217 as a Link.
type comPort struct {
	conn
	in     telnetReader
	early  []byte // data that came before the negotiation ended
	buf    []byte
	params []*comParam
	server string // what is known of the server's COM-PORT option: "", "yes", "no"

	mu        sync.Mutex // guards writing and what is below
	binaryOut bool
	resume    chan struct{} // non-nil and open while the server has suspended us
	cut       bool          // interrupted: no more suspending
}

func openRFC2217(ctx context.Context, c conn, m Mode) (Link, []string, error) {
	l := &comPort{conn: c, buf: make([]byte, 4096), params: comParams(m)}
	hello := []byte{tnIAC, tnWILL, optComPort, tnIAC, tnWILL, optBinary, tnIAC, tnDO, optBinary, tnIAC, tnWILL, optSGA, tnIAC, tnDO, optSGA}
	if err := l.raw(hello); err != nil {
		return nil, nil, fmt.Errorf("the connection broke while agreeing on the line: %w", err)
	}
	ctx, cancel := context.WithTimeout(ctx, negotiateBound)
	defer cancel()
	for l.server != "no" && !l.confirmed() && len(l.early) < maxEarly {
		n, timedOut, err := readWithin(ctx, c, l.buf, negotiateBound)
		var takeErr error
		l.early, takeErr = l.take(l.buf[:n], l.early)
		switch {
		case timedOut || ctx.Err() != nil:
			return l, l.unconfirmed(), nil
		case err != nil:
			return nil, nil, fmt.Errorf("the connection broke while agreeing on the line: %w", err)
		case takeErr != nil:
			return nil, nil, fmt.Errorf("the connection broke while agreeing on the line: %w", takeErr)
		}
	}
	return l, l.unconfirmed(), nil
}

func comParams(m Mode) []*comParam {
	one := func(name string, command byte, value ...byte) *comParam {
		return &comParam{name: name, command: command, value: value}
	}
	ps := []*comParam{
		one("speed", cpBaud, binary.BigEndian.AppendUint32(nil, uint32(m.Baud))...),
		one("data bits", cpDataSize, byte(m.DataBits)),
		one("parity", cpParity, parities[m.Parity].rfc2217),
		one("stop bits", cpStopSize, byte(m.StopBits)),
		one("flow control", cpControl, controlNoFlow),
	}
	onOff := func(name string, want *bool, on, off byte) {
		if want == nil {
			return
		}
		if *want {
			ps = append(ps, one(name, cpControl, on))
		} else {
			ps = append(ps, one(name, cpControl, off))
		}
	}
	onOff("DTR", m.DTR, controlDTROn, controlDTROff)
	onOff("RTS", m.RTS, controlRTSOn, controlRTSOff)
	return ps
}

func (l *comPort) confirmed() bool {
	return !slices.ContainsFunc(l.params, func(p *comParam) bool { return !p.done })
}

// unconfirmed lists what the server did not set as asked. Many servers answer only some commands, so
// this is told, not fatal.
func (l *comPort) unconfirmed() (notes []string) {
	if l.server != "yes" {
		why := "did not answer"
		if l.server == "no" {
			why = "refused"
		}
		return []string{"the network port " + why + " the line parameters: speed and parity are what is set there"}
	}
	for _, p := range l.params {
		switch {
		case !p.done:
			notes = append(notes, p.name+" not confirmed by the network port")
		case !slices.Equal(p.got, p.value):
			notes = append(notes, fmt.Sprintf("%s: asked %d, the network port set %d", p.name, number(p.value), number(p.got)))
		}
	}
	return notes
}

func number(b []byte) (n uint64) {
	for _, c := range b {
		n = n<<8 | uint64(c)
	}
	return n
}

// take runs bytes from the wire through the telnet reader, answers commands and appends data to out.
func (l *comPort) take(b, out []byte) ([]byte, error) {
	out, events := l.in.feed(b, out, nil)
	for _, e := range events {
		if err := l.answer(e); err != nil {
			return out, err
		}
	}
	return out, nil
}

func (l *comPort) answer(e telnetEvent) error {
	switch {
	case e.verb == tnSB && e.option == optComPort:
		l.comAnswer(e.body)
	case e.verb == tnDO && e.option == optComPort:
		if l.server == "yes" {
			return nil
		}
		l.server = "yes"
		return l.raw(l.request())
	case e.verb == tnDONT && e.option == optComPort:
		l.server = "no"
	case e.option == optBinary && (e.verb == tnDO || e.verb == tnDONT):
		l.mu.Lock()
		l.binaryOut = e.verb == tnDO
		l.mu.Unlock()
	case e.option == optBinary && (e.verb == tnWILL || e.verb == tnWONT):
		l.in.binary = e.verb == tnWILL
	case e.option == optSGA, e.option == optComPort: // asked for by us: no answer, or it would loop (RFC 854)
	case e.verb == tnDO:
		return l.raw([]byte{tnIAC, tnWONT, e.option})
	case e.verb == tnWILL:
		return l.raw([]byte{tnIAC, tnDONT, e.option})
	}
	return nil
}

// request is every line parameter as a subnegotiation.
func (l *comPort) request() (out []byte) {
	for _, p := range l.params {
		out = append(out, tnIAC, tnSB, optComPort, p.command)
		out = append(out, telnetEscape(p.value, true)...)
		out = append(out, tnIAC, tnSE)
	}
	return out
}

func (l *comPort) comAnswer(body []byte) {
	if len(body) == 0 || body[0] < cpAnswer {
		return
	}
	command, value := body[0]-cpAnswer, body[1:]
	switch command {
	case cpSuspend, cpResume:
		l.suspend(command == cpSuspend)
		return
	}
	for _, p := range l.params {
		// SET-CONTROL carries several settings: its answers come in the order asked.
		if p.command == command && !p.done {
			p.got, p.done = slices.Clone(value), true
			return
		}
	}
}

func (l *comPort) suspend(on bool) {
	l.mu.Lock()
	defer l.mu.Unlock()
	switch {
	case on && l.resume == nil && !l.cut:
		l.resume = make(chan struct{})
	case !on && l.resume != nil:
		close(l.resume)
		l.resume = nil
	}
}

// Read gives data only; 0, nil means that only commands came.
func (l *comPort) Read(b []byte) (int, error) {
	if len(l.early) == 0 {
		n, err := l.conn.Read(l.buf)
		var takeErr error
		l.early, takeErr = l.take(l.buf[:n], l.early[:0])
		if len(l.early) == 0 {
			if err == nil {
				err = takeErr
			}
			return 0, err
		}
	}
	n := copy(b, l.early)
	l.early = l.early[n:]
	return n, nil
}

// Write escapes b. While the server has us suspended it waits; Port bounds the wait.
func (l *comPort) Write(b []byte) (int, error) {
	l.mu.Lock()
	wait, bin := l.resume, l.binaryOut
	l.mu.Unlock()
	if wait != nil {
		<-wait
	}
	if err := l.raw(telnetEscape(b, bin)); err != nil {
		return 0, err
	}
	return len(b), nil
}

// Interrupt also frees a write that waits for the server to let us go on; the connection is past use.
func (l *comPort) Interrupt() {
	l.conn.Interrupt()
	l.mu.Lock()
	l.cut = true
	l.mu.Unlock()
	l.suspend(false)
}

func (l *comPort) raw(b []byte) error {
	l.mu.Lock()
	defer l.mu.Unlock()
	_, err := l.conn.Write(b)
	return err
}
