package port

import (
	"bytes"
	"testing"
)

func TestTelnetReader(t *testing.T) {
	for _, c := range []struct {
		name, in, data string
		events         int
	}{
		{"plain", "12.5 mm\r\n", "12.5 mm\r\n", 0},
		{"doubled IAC", "a\xff\xffb", "a\xffb", 0},
		{"CR NUL is CR when not binary", "1\r\x002\r\n3\x00", "1\r2\r\n3\x00", 0},
		{"option", "1\xff\xfd\x2c2", "12", 1},
		{"subnegotiation with doubled IAC", "1\xff\xfa\x2c\x65\xff\xff\xff\xf02", "12", 1},
		{"broken subnegotiation", "1\xff\xfa\x2c\x65\xff\xfb\x002", "12", 1},
		{"NOP", "1\xff\xf12", "12", 0},
		{"overlong subnegotiation is thrown away", "1\xff\xfa\x2c" + string(bytes.Repeat([]byte("x"), 5000)) + "\xff\xf02", "12", 0},
	} {
		var r telnetReader
		data, events := r.feed([]byte(c.in), nil, nil)
		if string(data) != c.data || len(events) != c.events {
			t.Errorf("%s: data %q, %d events", c.name, data, len(events))
		}
	}
}

// Cutting the stream anywhere changes nothing, whatever the bytes; escaped data comes back unchanged.
func FuzzTelnet(f *testing.F) {
	for _, s := range []string{"12.5\r\n", "\xff\xff\r\x00", "\xff\xfa\x2c\x65\xff\xff\x00\xff\xf0x", "\xff\xfd\x2c", "\xff",
		"\xff\xfa\x2c\xff\xfa\x2c\xff\xf0"} {
		f.Add([]byte(s), uint8(1), true)
		f.Add([]byte(s), uint8(3), false)
	}
	f.Fuzz(func(t *testing.T, b []byte, cut uint8, binary bool) {
		whole := telnetReader{binary: binary}
		wantData, wantEvents := whole.feed(b, nil, nil)
		if len(wantData) > len(b) {
			t.Fatalf("%d bytes of data from %d", len(wantData), len(b))
		}
		parts := telnetReader{binary: binary}
		var data []byte
		var events []telnetEvent
		for rest := b; len(rest) > 0; {
			n := min(int(cut)%7+1, len(rest))
			data, events = parts.feed(rest[:n], data, events)
			rest = rest[n:]
			if len(parts.body) > maxSub+1 {
				t.Fatalf("%d bytes of a subnegotiation kept", len(parts.body))
			}
		}
		if !bytes.Equal(data, wantData) || len(events) != len(wantEvents) {
			t.Fatalf("cut by %d: %q, %v; whole: %q, %v", cut, data, events, wantData, wantEvents)
		}
		for i, e := range events {
			if w := wantEvents[i]; e.verb != w.verb || e.option != w.option || !bytes.Equal(e.body, w.body) {
				t.Fatalf("event %d: %v or %v", i, e, w)
			}
		}
		back := telnetReader{binary: binary}
		if got, ev := back.feed(telnetEscape(b, binary), nil, nil); !bytes.Equal(got, b) && len(b) > 0 || len(ev) != 0 {
			t.Fatalf("%q escaped comes back as %q with %v", b, got, ev)
		}
	})
}
