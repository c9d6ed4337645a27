package port_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"springline/device/port"
	"springline/device/simgauge/simbus"
)

func bus(t *testing.T) (*simbus.Bus, port.Sysfs) {
	t.Helper()
	b, err := simbus.New(t.TempDir())
	if err != nil {
		t.Fatal(err)
	}
	return b, port.Sysfs{Root: b.Root, Dev: b.Dev}
}

func plug(t *testing.T, b *simbus.Bus, name, socket string, a simbus.Adapter) {
	t.Helper()
	if err := b.Plug(name, socket, a, "/dev/null"); err != nil {
		t.Fatal(err)
	}
}

func list(t *testing.T, s port.Sysfs) []port.Device {
	t.Helper()
	d, err := s.List()
	if err != nil {
		t.Fatal(err)
	}
	return d
}

var (
	plain  = simbus.Adapter{Vendor: "1a86", Product: "7523", Name: "USB Serial"}
	unique = simbus.Adapter{Vendor: "0403", Product: "6001", Serial: "A50285BI", Maker: "Maker", Name: "Adapter"}
)

func TestListReadsIdentityWithoutOpening(t *testing.T) {
	b, s := bus(t)
	plug(t, b, "ttyUSB10", "1-1.2", unique)
	plug(t, b, "ttyUSB2", "1-1.10", simbus.Adapter{Vendor: "1A86", Product: "zz", Serial: "a\nb\x1b[31m\u202ec",
		Name: strings.Repeat("n", 500)})
	board := filepath.Join(b.Root, "devices", "platform", "uart0")
	for _, d := range []string{filepath.Join(board, "tty", "ttyS0"), filepath.Join(board, "tty", "ttyS1"),
		filepath.Join(b.Root, "devices", "virtual", "tty", "tty1")} {
		if err := os.MkdirAll(d, 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.Symlink(d, filepath.Join(b.Root, "class", "tty", filepath.Base(d))); err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(filepath.Base(d), "ttyS") {
			kind := "4"
			if filepath.Base(d) == "ttyS1" {
				kind = "0"
			}
			if err := os.WriteFile(filepath.Join(d, "type"), []byte(kind+"\n"), 0o644); err != nil {
				t.Fatal(err)
			}
			if err := os.Symlink(board, filepath.Join(d, "device")); err != nil {
				t.Fatal(err)
			}
		}
	}
	// An adapter pulled out during the listing leaves a link to nothing.
	if err := os.Symlink(filepath.Join(b.Root, "devices", "gone"), filepath.Join(b.Root, "class", "tty", "ttyUSB7")); err != nil {
		t.Fatal(err)
	}
	got := list(t, s)
	if len(got) != 3 || got[0].Name != "ttyS0" || got[1].Name != "ttyUSB2" || got[2].Name != "ttyUSB10" {
		t.Fatalf("listed %+v", got)
	}
	if id := got[0].Identity; id.Path != "platform/uart0" || id.Vendor != "" {
		t.Errorf("board port: %+v", id)
	}
	want := port.Identity{Vendor: "0403", Product: "6001", Serial: "A50285BI", Path: "1-1.2", Port: "00"}
	if d := got[2]; d.Identity != want || d.Manufacturer != "Maker" || d.Product != "Adapter" || d.Plugged != "1.1" ||
		d.Path != filepath.Join(b.Dev, "ttyUSB10") {
		t.Errorf("adapter: %+v", d)
	}
	if d := got[1]; d.Identity.Vendor != "1a86" || d.Identity.Product != "" || strings.ContainsAny(d.Identity.Serial, "\n\x1b\u202e") ||
		len(d.Product) > 126 {
		t.Errorf("text from the device is not made safe: %+v", d)
	}
}

func TestListingTheRunningSystem(t *testing.T) {
	if _, err := (port.Sysfs{}).List(); err != nil {
		t.Fatal(err)
	}
	_, err := port.Sysfs{Root: t.TempDir()}.List()
	want(t, err, port.Missing, "cannot be listed", "device path")
}

func TestResolve(t *testing.T) {
	at := func(id port.Identity, path string) port.Identity { id.Path = path; return id }
	noSerial := port.Identity{Vendor: "1a86", Product: "7523", Path: "1-1.1", Port: "00"}
	serial := port.Identity{Vendor: "0403", Product: "6001", Serial: "A50285BI", Path: "1-1.1", Port: "00"}
	fake := noSerial
	fake.Serial = "0000"
	board := port.Identity{Path: "platform/uart0"}
	dev := func(name string, id port.Identity) port.Device { return port.Device{Name: name, Identity: id} }
	for _, c := range []struct {
		name   string
		id     port.Identity
		list   []port.Device
		want   string // device name; "" means Missing
		socket bool
		words  string
	}{
		{"serial number, same socket", serial, []port.Device{dev("a", serial)}, "a", false, ""},
		{"serial number, other socket", serial, []port.Device{dev("a", noSerial), dev("b", at(serial, "2-1"))}, "b", false, ""},
		{"serial number twice, one in the socket", serial, []port.Device{dev("a", at(serial, "2-1")), dev("b", serial)}, "b", true,
			"2 adapters carry"},
		{"serial number twice, none in the socket", serial, []port.Device{dev("a", at(serial, "2-1")), dev("b", at(serial, "3-1"))}, "", false,
			"like adapter is at 2-1"},
		{"no serial number, in its socket", noSerial, []port.Device{dev("a", noSerial), dev("b", at(noSerial, "1-1.2"))}, "a", true,
			"no serial number"},
		{"no serial number, moved", noSerial, []port.Device{dev("b", at(noSerial, "1-1.2"))}, "", false, "like adapter is at 1-1.2"},
		{"a serial number of zeros is none", fake, []port.Device{dev("b", at(fake, "1-1.2"))}, "", false, "like adapter"},
		{"other make in the socket", noSerial, []port.Device{dev("a", serial)}, "", false, "not plugged in"},
		{"second port of the adapter", serial, []port.Device{dev("a",
			port.Identity{Vendor: "0403", Product: "6001", Serial: "A50285BI", Path: "1-1.1", Port: "01"})}, "", false, "not plugged in"},
		{"soldered", board, []port.Device{dev("a", serial), dev("ttyS0", board)}, "ttyS0", false, ""},
		{"soldered, not there", board, []port.Device{dev("a", serial)}, "", false, "no port at this place"},
		{"nothing", port.Identity{}, []port.Device{dev("a", serial)}, "", false, "bound to nothing"},
		{"empty list", serial, nil, "", false, "plug it in"},
	} {
		m, err := port.Resolve(c.id, c.list)
		if c.want == "" {
			want(t, err, port.Missing, c.words)
			continue
		}
		if err != nil || m.Device.Name != c.want || m.BySocket != c.socket || !strings.Contains(m.Why, c.words) {
			t.Errorf("%s: %+v, %v", c.name, m, err)
		}
	}
}

func TestWatcherSeesPlugAndReplug(t *testing.T) {
	noLeak(t)
	b, s := bus(t)
	w := port.Watch(s, 5*time.Millisecond)
	news, end := w.Subscribe()
	next := func(what string) {
		t.Helper()
		select {
		case <-news:
		case <-time.After(limit):
			t.Fatalf("no news of %s", what)
		}
	}
	plug(t, b, "ttyUSB0", "1-1", plain)
	next("the plug")
	time.Sleep(20 * time.Millisecond)
	if err := b.Unplug("ttyUSB0"); err != nil {
		t.Fatal(err)
	}
	next("the unplug")
	end()
	w.Close()
	w.Close()
}

func TestWatcherOfTheRunningSystemEnds(t *testing.T) {
	noLeak(t)
	w := port.Watch(port.Sysfs{}, 0)
	news, end := w.Subscribe()
	defer end()
	// The administrator can make the kernel tell about a device again.
	if err := os.WriteFile("/sys/class/tty/tty0/uevent", []byte("change"), 0); err == nil {
		select {
		case <-news:
		case <-time.After(limit):
			t.Error("a kernel event was not seen")
		}
	}
	w.Close()
}
