package port

import (
	"os"
	"path/filepath"
	"slices"
	"strings"
	"unicode"
)

// Sysfs says where the kernel tells about its devices. The zero value is the running system; tests and
// simulations give a tree of their own.
type Sysfs struct {
	Root string // holds class/tty; "" is /sys
	Dev  string // holds the device nodes; "" is /dev
}

// Device is one serial port as listed. Nothing is opened to find it.
type Device struct {
	Name         string   `json:"name"`     // kernel name, for example ttyUSB0: changes from plug to plug
	Path         string   `json:"path"`     // device path to open
	Identity     Identity `json:"identity"` // what stays the same
	Manufacturer string   `json:"manufacturer,omitempty"`
	Product      string   `json:"product,omitempty"`
	Driver       string   `json:"driver,omitempty"`
	// Plugged changes each time the device is plugged in (bus and device number); "" if not USB.
	Plugged string `json:"plugged,omitempty"`
}

// List gives the serial ports that have hardware behind them, sorted by name. A port that disappears
// while it is being listed is left out; the others are still listed.
func (s Sysfs) List() ([]Device, error) {
	class := filepath.Join(s.root(), "class", "tty")
	entries, err := os.ReadDir(class)
	if err != nil {
		return nil, &Error{Code: Missing, Addr: class, Cause: "serial ports cannot be listed: " + err.Error(),
			Do: "give the device path of the gauge instead", Err: err}
	}
	var all []Device
	for _, e := range entries {
		if d, ok := s.device(filepath.Join(class, e.Name()), e.Name()); ok {
			all = append(all, d)
		}
	}
	slices.SortFunc(all, func(a, b Device) int { return compareNames(a.Name, b.Name) })
	return all, nil
}

func (s Sysfs) root() string {
	if s.Root == "" {
		return "/sys"
	}
	return s.Root
}

func (s Sysfs) dev() string {
	if s.Dev == "" {
		return "/dev"
	}
	return s.Dev
}

// device reads one entry of class/tty; ok is false for terminals without hardware.
func (s Sysfs) device(entry, name string) (d Device, ok bool) {
	hw, err := filepath.EvalSymlinks(filepath.Join(entry, "device"))
	if err != nil {
		return d, false
	}
	// A UART of type 0 is a place on the board where no chip is.
	if strings.HasPrefix(name, "ttyS") && attr(entry, "type") == "0" {
		return d, false
	}
	d = Device{Name: name, Path: filepath.Join(s.dev(), name), Driver: linkName(hw, "driver")}
	root, err := filepath.EvalSymlinks(s.root())
	if err != nil {
		return d, false
	}
	usb := usbParent(hw, root)
	if usb == "" {
		rel, err := filepath.Rel(filepath.Join(root, "devices"), hw)
		if err != nil || strings.HasPrefix(rel, "..") {
			rel = name
		}
		d.Identity = Identity{Path: clean(rel)}
		return d, true
	}
	d.Identity = Identity{Vendor: hexID(attr(usb, "idVendor")), Product: hexID(attr(usb, "idProduct")),
		Serial: clean(attr(usb, "serial")), Path: clean(filepath.Base(usb)), Port: usbPort(hw, usb)}
	d.Manufacturer, d.Product = clean(attr(usb, "manufacturer")), clean(attr(usb, "product"))
	if n := attr(usb, "devnum"); n != "" {
		d.Plugged = clean(attr(usb, "busnum") + "." + n)
	}
	return d, true
}

// usbParent climbs from the port to the USB device it belongs to.
func usbParent(hw, root string) string {
	for dir := hw; dir != root && len(dir) > 1; dir = filepath.Dir(dir) {
		if _, err := os.Stat(filepath.Join(dir, "idVendor")); err == nil {
			return dir
		}
	}
	return ""
}

// usbPort tells apart the ports of one adapter: interface number and the adapter's own port number.
func usbPort(hw, usb string) string {
	iface, number := "", attr(hw, "port_number")
	for dir := hw; dir != usb && len(dir) > len(usb); dir = filepath.Dir(dir) {
		if v := attr(dir, "bInterfaceNumber"); v != "" {
			iface = v
			break
		}
	}
	if number == "" || number == "0" {
		return clean(iface)
	}
	return clean(iface + "." + number)
}

// attr reads a one-line attribute, "" if it is not there.
func attr(dir, name string) string {
	f, err := os.Open(filepath.Join(dir, name))
	if err != nil {
		return ""
	}
	defer f.Close()
	b := make([]byte, 4096) // a page: no attribute is longer
	n, err := f.Read(b)
	if err != nil {
		return ""
	}
	return strings.TrimSpace(string(b[:n]))
}

func linkName(dir, name string) string {
	t, err := os.Readlink(filepath.Join(dir, name))
	if err != nil {
		return ""
	}
	return clean(filepath.Base(t))
}

// maxText is the longest text taken from a device; a USB string has at most 126 characters.
const maxText = 126

// clean makes text that a device sent about itself safe to print: anything not printable (controls,
// line breaks, direction marks, broken UTF-8) becomes '?', runs of spaces one space.
func clean(s string) string {
	var b strings.Builder
	n := 0
	for _, r := range strings.Join(strings.FieldsFunc(s, func(r rune) bool { return r == ' ' }), " ") {
		if n++; n > maxText {
			break
		}
		if r == unicode.ReplacementChar || !unicode.IsPrint(r) {
			r = '?'
		}
		b.WriteRune(r)
	}
	return b.String()
}

// hexID keeps a vendor or product number only if it is four hexadecimal digits.
func hexID(s string) string {
	s = strings.ToLower(s)
	if len(s) != 4 || strings.Trim(s, "0123456789abcdef") != "" {
		return ""
	}
	return s
}

// compareNames sorts ttyUSB2 before ttyUSB10.
func compareNames(a, b string) int {
	pa, na := splitNumber(a)
	pb, nb := splitNumber(b)
	if pa != pb {
		return strings.Compare(pa, pb)
	}
	if len(na) != len(nb) {
		return len(na) - len(nb)
	}
	return strings.Compare(na, nb)
}

func splitNumber(s string) (head, digits string) {
	i := len(s)
	for i > 0 && s[i-1] >= '0' && s[i-1] <= '9' {
		i--
	}
	return s[:i], s[i:]
}
