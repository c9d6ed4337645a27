package port_test

import (
	"testing"

	"springline/device/port"
)

func TestParseAddress(t *testing.T) {
	for _, c := range []struct {
		text string
		want port.Address
	}{
		{"/dev/ttyUSB0", port.Address{Kind: port.TTY, Path: "/dev/ttyUSB0"}},
		{" /dev/pts/3 ", port.Address{Kind: port.TTY, Path: "/dev/pts/3"}},
		{"/dev/serial/by-id/../x", port.Address{Kind: port.TTY, Path: "/dev/serial/x"}},
		{"tcp://bridge.local:4001", port.Address{Kind: port.TCP, Host: "bridge.local:4001"}},
		{"tcp://[::1]:4001/", port.Address{Kind: port.TCP, Host: "[::1]:4001"}},
		{"rfc2217://10.0.0.9:2217", port.Address{Kind: port.RFC2217, Host: "10.0.0.9:2217"}},
		{"replay:old/tape.rec", port.Address{Kind: port.Replay, Path: "old/tape.rec"}},
		{"replay-fast:old/tape.rec", port.Address{Kind: port.Replay, Path: "old/tape.rec", Fast: true}},
	} {
		got, err := port.ParseAddress(c.text)
		if err != nil || got != c.want {
			t.Errorf("%q: got %+v, %v", c.text, got, err)
		}
	}
	for _, bad := range []string{"", "ttyUSB0", "tcp://", "tcp://host", "tcp://:4001", "tcp://host:0", "tcp://host:65536",
		"tcp://host:http", "rfc2217://host", "http://host:80", "replay:", "replay-fast:", "COM3"} {
		_, err := port.ParseAddress(bad)
		if port.CodeOf(err) != port.BadAddress {
			t.Errorf("%q: got %v, want code %s", bad, err, port.BadAddress)
		}
	}
}

func FuzzParseAddress(f *testing.F) {
	for _, s := range []string{"/dev/ttyS0", "tcp://a:1", "rfc2217://[::1]:22", "replay:x", "replay-fast:x", "x"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, s string) {
		a, err := port.ParseAddress(s)
		if err != nil {
			return
		}
		again, err := port.ParseAddress(a.String())
		if err != nil || again != a {
			t.Fatalf("%q gives %+v, whose text %q gives %+v, %v", s, a, a.String(), again, err)
		}
	})
}

func TestModeRefusesWhatNoLineCanBe(t *testing.T) {
	if err := (port.Mode{}).Validate(); err != nil {
		t.Fatalf("the zero mode: %v", err)
	}
	if got := (port.Mode{Baud: 4800, DataBits: 7, Parity: port.ParityEven, StopBits: 2}).String(); got != "4800 7E2" {
		t.Errorf("mode prints as %q", got)
	}
	for _, m := range []port.Mode{{Baud: -1}, {Baud: 49}, {Baud: 4_000_001}, {DataBits: 4}, {DataBits: 9}, {Parity: "E"},
		{StopBits: 3}, {StopBits: -1}, {SettleMS: -1}, {SettleMS: 3001}} {
		want(t, m.Validate(), port.BadMode)
	}
}
