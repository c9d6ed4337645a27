package port_test

import (
	"bytes"
	"encoding/binary"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"springline/device/port"
	"springline/device/simgauge"
)

func TestRawTCPBothWaysAndItsEnd(t *testing.T) {
	noLeak(t)
	g := sim(t, simgauge.Options{TCP: true, Reply: func([]byte) []byte { return []byte("\xff\x00 5.0\r") }})
	p := open(t, g.Address(), port.Options{LockDir: t.TempDir()})
	if err := p.Write([]byte("R\r")); err != nil {
		t.Fatal(err)
	}
	if got := read(t, p, 7); got != "\xff\x00 5.0\r" {
		t.Fatalf("got %q", got)
	}
	if err := g.Unplug(); err != nil {
		t.Fatal(err)
	}
	want(t, gone(t, p), port.Gone, "closed the connection")
	_, err := tryOpen(t, g.Address(), port.Options{})
	want(t, err, port.Unreachable, g.Address(), "no connection")
}

func TestCloseFreesASilentNetworkPort(t *testing.T) {
	noLeak(t)
	g := sim(t, simgauge.Options{TCP: true})
	p := open(t, g.Address(), port.Options{})
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
	_ = g.Close()
}

// comServer is the server end of RFC 2217 as far as a test needs it: 80 lines, no library.
type comServer struct {
	t      *testing.T
	ln     net.Listener
	refuse bool                            // DONT COM-PORT
	silent bool                            // no telnet answers at all
	answer func(cmd byte, v []byte) []byte // value to confirm with; nil: no answer
	after  []byte                          // sent, as it stands on the wire, after the parameters

	mu     sync.Mutex
	params map[byte][]byte
	data   bytes.Buffer
	conn   net.Conn
	done   sync.WaitGroup
}

func serveCom(t *testing.T, s *comServer) string {
	t.Helper()
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	s.t, s.ln, s.params = t, ln, map[byte][]byte{}
	s.done.Go(s.accept)
	t.Cleanup(func() {
		_ = ln.Close()
		s.mu.Lock()
		if s.conn != nil {
			_ = s.conn.Close()
		}
		s.mu.Unlock()
		s.done.Wait()
	})
	return "rfc2217://" + ln.Addr().String()
}

func (s *comServer) accept() {
	c, err := s.ln.Accept()
	if err != nil {
		return
	}
	s.mu.Lock()
	s.conn = c
	s.mu.Unlock()
	if s.silent {
		_, _ = c.Write(s.after)
	}
	var in []byte
	buf := make([]byte, 512)
	for {
		n, err := c.Read(buf)
		if err != nil {
			return
		}
		in = s.eat(c, append(in, buf[:n]...))
	}
}

// eat handles whole commands and gives back what is unfinished.
func (s *comServer) eat(c net.Conn, in []byte) []byte {
	for len(in) > 0 {
		if in[0] != 255 {
			s.keep(in[0])
			in = in[1:]
			continue
		}
		switch {
		case len(in) < 2:
			return in
		case in[1] == 255:
			s.keep(255)
			in = in[2:]
		case in[1] == 250:
			end := bytes.Index(in, []byte{255, 240})
			if end < 0 {
				return in
			}
			s.sub(c, bytes.ReplaceAll(in[3:end], []byte{255, 255}, []byte{255}))
			in = in[end+2:]
		case len(in) < 3:
			return in
		default:
			if in[2] == 44 && in[1] == 251 && !s.silent {
				verb := byte(253)
				if s.refuse {
					verb = 254
				}
				_, _ = c.Write([]byte{255, verb, 44})
			} else if !s.silent && in[1] == 251 {
				_, _ = c.Write([]byte{255, 253, in[2]})
			} else if !s.silent && in[1] == 253 {
				_, _ = c.Write([]byte{255, 251, in[2]})
			}
			in = in[3:]
		}
	}
	return in
}

func (s *comServer) keep(b byte) {
	s.mu.Lock()
	defer s.mu.Unlock()
	s.data.WriteByte(b)
}

func (s *comServer) sub(c net.Conn, body []byte) {
	s.mu.Lock()
	s.params[body[0]] = bytes.Clone(body[1:])
	s.mu.Unlock()
	if v := s.answer(body[0], body[1:]); v != nil {
		out := append([]byte{255, 250, 44, body[0] + 100}, bytes.ReplaceAll(v, []byte{255}, []byte{255, 255})...)
		_, _ = c.Write(append(out, 255, 240))
	}
	if body[0] == 5 {
		_, _ = c.Write(s.after)
	}
}

func echo(_ byte, v []byte) []byte { return v }

// Numbers from RFC 2217 section 3: 1 SET-BAUDRATE (4 bytes, network order), 2 SET-DATASIZE, 3 SET-PARITY
// (3 = even), 4 SET-STOPSIZE, 5 SET-CONTROL (1 = no flow control).
func TestRFC2217SetsTheLineAndEscapesBothWays(t *testing.T) {
	noLeak(t)
	s := &comServer{answer: echo, after: []byte("a\xff\xffb\xff\xf1c\r\nd")} // doubled IAC is data, IAC NOP is nothing
	p := open(t, serveCom(t, s), port.Options{Mode: port.Mode{Baud: 0x00FF2580 % 4_000_000, DataBits: 7, Parity: port.ParityEven,
		StopBits: 2}})
	if n := p.Notes(); len(n) != 0 {
		t.Fatalf("notes %q though all was confirmed", n)
	}
	if got := read(t, p, 7); got != "a\xffbc\r\nd" {
		t.Fatalf("got %q", got)
	}
	if err := p.Write([]byte("R\xff\r")); err != nil {
		t.Fatal(err)
	}
	deadline := time.Now().Add(limit)
	for {
		s.mu.Lock()
		got := s.data.String()
		s.mu.Unlock()
		if got == "R\xff\r" {
			break
		}
		if time.Now().After(deadline) {
			t.Fatalf("the server got %q", got)
		}
		time.Sleep(time.Millisecond)
	}
	s.mu.Lock()
	defer s.mu.Unlock()
	if got := binary.BigEndian.Uint32(s.params[1]); got != 0x00FF2580%4_000_000 {
		t.Errorf("speed %d", got)
	}
	for cmd, v := range map[byte]byte{2: 7, 3: 3, 4: 2, 5: 1} {
		if got := s.params[cmd]; len(got) != 1 || got[0] != v {
			t.Errorf("command %d has value %v, want %d", cmd, got, v)
		}
	}
}

func TestRFC2217SpeedWithIACByteIsEscaped(t *testing.T) {
	s := &comServer{answer: echo}
	p := open(t, serveCom(t, s), port.Options{Mode: port.Mode{Baud: 0xFFFF}})
	if n := p.Notes(); len(n) != 0 {
		t.Fatalf("notes %q", n)
	}
}

func TestRFC2217DefaultsAre9600And8N1(t *testing.T) {
	s := &comServer{answer: echo}
	open(t, serveCom(t, s), port.Options{})
	s.mu.Lock()
	defer s.mu.Unlock()
	if got := s.params[1]; !bytes.Equal(got, []byte{0, 0, 0x25, 0x80}) {
		t.Errorf("speed % x", got)
	}
	for cmd, v := range map[byte]byte{2: 8, 3: 1, 4: 1} {
		if got := s.params[cmd]; len(got) != 1 || got[0] != v {
			t.Errorf("command %d has value %v, want %d", cmd, got, v)
		}
	}
}

func TestRFC2217UnconfirmedIsToldNotFatal(t *testing.T) {
	for _, c := range []struct {
		name  string
		s     *comServer
		notes []string
	}{
		{"other speed set", &comServer{answer: func(cmd byte, v []byte) []byte {
			if cmd == 1 {
				return []byte{0, 0, 0x4B, 0}
			}
			return v
		}}, []string{"speed: asked 9600, the network port set 19200"}},
		{"parity never answered", &comServer{answer: func(cmd byte, v []byte) []byte {
			if cmd == 3 {
				return nil
			}
			return v
		}}, []string{"parity not confirmed"}},
		{"option refused", &comServer{refuse: true, answer: echo}, []string{"refused the line parameters"}},
		{"no telnet at all", &comServer{silent: true, answer: echo, after: []byte("7.5\r")}, []string{"did not answer the line parameters"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			noLeak(t)
			p := open(t, serveCom(t, c.s), port.Options{})
			if got := strings.Join(p.Notes(), "\n"); len(p.Notes()) != len(c.notes) || !strings.Contains(got, c.notes[0]) {
				t.Fatalf("notes %q, want %q", p.Notes(), c.notes)
			}
			if c.s.silent {
				if got := read(t, p, 4); got != "7.5\r" {
					t.Fatalf("bytes that came meanwhile: %q", got)
				}
			}
			if p.Err() != nil {
				t.Fatal(p.Err())
			}
		})
	}
}

// FLOWCONTROL-SUSPEND (108 from the server) holds our writing; the write bound ends the wait.
func TestRFC2217SuspendedWriteIsBounded(t *testing.T) {
	noLeak(t)
	s := &comServer{answer: echo, after: []byte{255, 250, 44, 108, 255, 240, '!'}}
	p := open(t, serveCom(t, s), port.Options{WriteBound: 50 * time.Millisecond})
	read(t, p, 1)
	want(t, p.Write([]byte("R\r")), port.WriteStuck)
	if err := p.Close(); err != nil {
		t.Fatal(err)
	}
}

func TestRFC2217ServerThatHangsUp(t *testing.T) {
	noLeak(t)
	ln, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	defer ln.Close()
	go func() {
		if c, err := ln.Accept(); err == nil {
			_ = c.Close()
		}
	}()
	_, err = tryOpen(t, "rfc2217://"+ln.Addr().String(), port.Options{})
	want(t, err, port.Unreachable, "broke while agreeing")
	_ = ln.Close()
}
