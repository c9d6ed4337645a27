package port

import (
	"fmt"
	"strings"
)

// Identity is what a gauge's adapter keeps when it is unplugged and comes back under another name.
// Path is the socket (for USB the chain of hub ports, for example 1-1.4); Port tells the ports of one
// adapter apart.
type Identity struct {
	Vendor  string `json:"vendor,omitempty"`  // four hexadecimal digits
	Product string `json:"product,omitempty"` // four hexadecimal digits
	Serial  string `json:"serial,omitempty"`
	Path    string `json:"path,omitempty"`
	Port    string `json:"port,omitempty"`
}

// IsZero reports that nothing is known.
func (i Identity) IsZero() bool { return i == Identity{} }

// String is for people: "0403:6001 serial A1 at 1-1.4".
func (i Identity) String() string {
	var parts []string
	if i.Vendor != "" || i.Product != "" {
		parts = append(parts, i.Vendor+":"+i.Product)
	}
	if i.Serial != "" {
		parts = append(parts, "serial "+i.Serial)
	}
	if i.Path != "" {
		parts = append(parts, "at "+i.Path)
	}
	if i.Port != "" {
		parts = append(parts, "port "+i.Port)
	}
	if len(parts) == 0 {
		return "unknown"
	}
	return strings.Join(parts, " ")
}

// Alike reports that two identities differ at most by the socket: the same kind of adapter with the
// same serial number or none. Such twins can only be told apart by where they are plugged in.
func (i Identity) Alike(o Identity) bool {
	return i.Vendor == o.Vendor && i.Product == o.Product && i.Serial == o.Serial && i.Port == o.Port && i.Vendor != ""
}

// hasSerial refuses texts that cheap adapters carry in place of a serial number: every piece has the
// same one (common practice, no source).
func (i Identity) hasSerial() bool {
	switch strings.Trim(strings.ToLower(i.Serial), "0 ") {
	case "", "123456789", "123456", "1234", "12345678", "none", "n/a", "serial", "default":
		return false
	}
	return true
}

// Match is the outcome of Resolve. BySocket says that nothing but the socket tells this gauge from
// another, so that moving the plug would go unnoticed; Why says it in words.
type Match struct {
	Device   Device
	BySocket bool
	Why      string
}

// Resolve finds the device with identity id in a listing. Missing is returned when it is not there; if
// an adapter of the same kind sits in another socket that is said, but it is never taken instead unless
// its serial number proves it to be the same piece.
func Resolve(id Identity, list []Device) (Match, error) {
	missing := func(cause, do string) (Match, error) {
		return Match{}, &Error{Code: Missing, Addr: id.String(), Cause: cause, Do: do}
	}
	if id.IsZero() {
		return missing("the gauge is bound to nothing", "bind it to a port")
	}
	if id.Vendor == "" {
		for _, d := range list {
			if d.Identity.Vendor == "" && d.Identity.Path == id.Path {
				return Match{Device: d}, nil // soldered to the board: it cannot be moved
			}
		}
		return missing("no port at this place", "list the ports and bind the right one")
	}
	var alike []Device
	for _, d := range list {
		if d.Identity.Alike(id) {
			alike = append(alike, d)
		}
	}
	if id.hasSerial() && len(alike) == 1 {
		return Match{Device: alike[0]}, nil
	}
	for _, d := range alike {
		if d.Identity.Path != id.Path {
			continue
		}
		why := "the adapter has no serial number"
		if id.hasSerial() {
			why = fmt.Sprintf("%d adapters carry the serial number %q", len(alike), id.Serial)
		}
		return Match{Device: d, BySocket: true, Why: why + ": it is known by its socket " + id.Path}, nil
	}
	if len(alike) > 0 {
		return missing(fmt.Sprintf("nothing in socket %s, but a like adapter is at %s", id.Path, alike[0].Identity.Path),
			"plug the gauge into its own socket, or bind it anew where it is")
	}
	return missing("the gauge's adapter is not plugged in", "plug it in")
}
