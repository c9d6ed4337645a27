// Package simbus is a tree of files in which USB adapters are plugged in and out, for tests that read it in
// place of the kernel's own.
package simbus

import (
	"fmt"
	"os"
	"path/filepath"
	"strconv"
	"sync"
)

// Adapter is what a USB serial adapter tells about itself.
type Adapter struct {
	Vendor, Product string // four hexadecimal digits
	Serial          string // "" if it has none
	Maker, Name     string
}

// Bus is a tree of files as the kernel shows its devices, and a folder of device names, both below one
// folder of the caller. Adapters are plugged into its sockets.
type Bus struct {
	Root string // to be read in place of /sys
	Dev  string // to be read in place of /dev

	mu      sync.Mutex
	devnum  int
	sockets map[string]string // device name -> socket folder
}

// New makes an empty bus below dir.
func New(dir string) (*Bus, error) {
	b := &Bus{Root: filepath.Join(dir, "sys"), Dev: filepath.Join(dir, "dev"), sockets: map[string]string{}}
	for _, d := range []string{b.Dev, filepath.Join(b.Root, "class", "tty"), filepath.Join(b.Root, "devices")} {
		if err := os.MkdirAll(d, 0o755); err != nil {
			return nil, fmt.Errorf("simulated bus: %w", err)
		}
	}
	return b, nil
}

// Plug puts an adapter into a socket (for example "1-1.2"). Its port gets the device name given, which
// leads to target, a pty. Each plugging has a new device number.
func (b *Bus) Plug(name, socket string, a Adapter, target string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	if _, taken := b.sockets[name]; taken {
		return fmt.Errorf("simulated bus: %s is plugged in already", name)
	}
	b.devnum++
	usb := filepath.Join(b.Root, "devices", "pci0000:00", "usb1", socket)
	hw := filepath.Join(usb, socket+":1.0", name)
	tty := filepath.Join(hw, "tty", name)
	if err := os.MkdirAll(tty, 0o755); err != nil {
		return fmt.Errorf("simulated bus: %w", err)
	}
	files := []struct{ path, text string }{
		{filepath.Join(usb, "idVendor"), a.Vendor}, {filepath.Join(usb, "idProduct"), a.Product},
		{filepath.Join(usb, "serial"), a.Serial}, {filepath.Join(usb, "manufacturer"), a.Maker},
		{filepath.Join(usb, "product"), a.Name}, {filepath.Join(usb, "busnum"), "1"},
		{filepath.Join(usb, "devnum"), strconv.Itoa(b.devnum)},
		{filepath.Join(usb, socket+":1.0", "bInterfaceNumber"), "00"}, {filepath.Join(hw, "port_number"), "0"},
	}
	for _, f := range files {
		if f.text == "" {
			continue // the kernel leaves out what the device does not tell
		}
		if err := os.WriteFile(f.path, []byte(f.text+"\n"), 0o644); err != nil {
			return fmt.Errorf("simulated bus: %w", err)
		}
	}
	if err := os.Symlink(hw, filepath.Join(tty, "device")); err != nil {
		return fmt.Errorf("simulated bus: %w", err)
	}
	if err := os.Symlink(target, filepath.Join(b.Dev, name)); err != nil {
		return fmt.Errorf("simulated bus: %w", err)
	}
	// Last, so that a listing never meets half an adapter.
	if err := os.Symlink(tty, filepath.Join(b.Root, "class", "tty", name)); err != nil {
		return fmt.Errorf("simulated bus: %w", err)
	}
	b.sockets[name] = usb
	return nil
}

// Unplug takes the adapter with this device name out.
func (b *Bus) Unplug(name string) error {
	b.mu.Lock()
	defer b.mu.Unlock()
	usb, ok := b.sockets[name]
	if !ok {
		return fmt.Errorf("simulated bus: %s is not plugged in", name)
	}
	delete(b.sockets, name)
	for _, p := range []string{filepath.Join(b.Root, "class", "tty", name), filepath.Join(b.Dev, name), usb} {
		if err := os.RemoveAll(p); err != nil {
			return fmt.Errorf("simulated bus: %w", err)
		}
	}
	return nil
}
