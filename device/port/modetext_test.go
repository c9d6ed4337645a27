package port_test

import (
	"reflect"
	"testing"

	"springline/device/port"
)

func TestParseMode(t *testing.T) {
	on, off := true, false
	for text, want := range map[string]port.Mode{
		"4800":        {Baud: 4800},
		"4800 7E1":    {Baud: 4800, DataBits: 7, Parity: port.ParityEven, StopBits: 1},
		" 2400  8o2 ": {Baud: 2400, DataBits: 8, Parity: port.ParityOdd, StopBits: 2},
		"9600 8N1, DTR on, RTS off, settle 500 ms": {Baud: 9600, DataBits: 8, Parity: port.ParityNone, StopBits: 1, DTR: &on, RTS: &off,
			SettleMS: 500},
		"9600 rts on settle 20ms": {Baud: 9600, RTS: &on, SettleMS: 20},
	} {
		got, err := port.ParseMode(text)
		if err != nil || !reflect.DeepEqual(got, want) {
			t.Errorf("%q: %+v %v, want %+v", text, got, err, want)
		}
	}
	for _, bad := range []string{"", "fast", "8N1", "9600 9N1", "9600 8X1", "9600 8N3", "9600 8N1 8N1", "49", "-9600", "9600 DTR",
		"9600 DTR maybe",
		"9600 DTR on DTR off", "9600 settle", "9600 settle 4000 ms", "9600 settle x", "9600 xon", "9600 8N", "9600 \u00388N1"} {
		if m, err := port.ParseMode(bad); port.CodeOf(err) != port.BadMode {
			t.Errorf("%q: %+v %v", bad, m, err)
		}
	}
}

// What is read is written again with nothing lost.
func FuzzParseMode(f *testing.F) {
	for _, s := range []string{"4800 7E1", "9600 8N1, DTR on, RTS off, settle 500 ms", "1 1N1"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		m, err := port.ParseMode(s)
		if err != nil {
			return
		}
		again, err := port.ParseMode(m.String())
		if err != nil || !reflect.DeepEqual(again, m.WithDefaults()) {
			t.Fatalf("%q is %q, and that is %q: %v", s, m, again, err)
		}
	})
}
