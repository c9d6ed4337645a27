package port

import (
	"fmt"
	"net"
	"path/filepath"
	"strconv"
	"strings"
)

// Kind says what stands behind an address.
type Kind string

// The kinds of address, each with its text form.
const (
	TTY     Kind = "tty"     // /dev/ttyUSB0, /dev/pts/3, /dev/serial/by-id/...
	TCP     Kind = "tcp"     // tcp://host:port, the bytes as they are
	RFC2217 Kind = "rfc2217" // rfc2217://host:port, telnet with the COM-PORT option
	Replay  Kind = "replay"  // replay:FILE, a recording in its own time, or replay-fast:FILE, without waiting; opened by package device
)

// Address is where the bytes of a gauge come from.
type Address struct {
	Kind Kind
	Path string // device path (tty) or file (replay)
	Host string // host:port (tcp, rfc2217)
	Fast bool   // replay: without waiting
}

// ParseAddress reads the text forms listed at Kind. The error has code BadAddress.
func ParseAddress(text string) (Address, error) {
	s := strings.TrimSpace(text)
	bad := func(why string) (Address, error) {
		return Address{}, &Error{Code: BadAddress, Addr: text, Cause: why,
			Do: "write a device path such as /dev/ttyUSB0, tcp://host:port, rfc2217://host:port, replay:FILE or replay-fast:FILE"}
	}
	switch {
	case s == "":
		return bad("the address is empty")
	case strings.HasPrefix(s, "tcp://"):
		return network(TCP, s, s[len("tcp://"):])
	case strings.HasPrefix(s, "rfc2217://"):
		return network(RFC2217, s, s[len("rfc2217://"):])
	case strings.HasPrefix(s, "replay:"), strings.HasPrefix(s, "replay-fast:"):
		how, file, _ := strings.Cut(s, ":")
		if file == "" {
			return bad("no file is named after " + how + ":")
		}
		return Address{Kind: Replay, Path: file, Fast: how == "replay-fast"}, nil
	case strings.Contains(s, "://"):
		return bad(fmt.Sprintf("%q is not a known scheme", s[:strings.Index(s, "://")]))
	case filepath.IsAbs(s):
		path := filepath.Clean(s)
		if path != strings.TrimSpace(path) {
			return bad("the device path ends in a space") // and would be another one when read again
		}
		return Address{Kind: TTY, Path: path}, nil
	}
	return bad("it is neither a full path nor a known scheme")
}

func network(k Kind, text, hostport string) (Address, error) {
	host, port, err := net.SplitHostPort(strings.TrimSuffix(hostport, "/"))
	n, numErr := strconv.Atoi(port)
	if err != nil || host == "" || numErr != nil || n < 1 || n > 65535 {
		return Address{}, &Error{Code: BadAddress, Addr: text, Cause: "host or port number is missing or wrong",
			Do: fmt.Sprintf("write %s://host:port with a port number from 1 to 65535", k)}
	}
	return Address{Kind: k, Host: net.JoinHostPort(host, strconv.Itoa(n))}, nil
}

// String gives the text form that ParseAddress reads.
func (a Address) String() string {
	switch a.Kind {
	case TCP, RFC2217:
		return string(a.Kind) + "://" + a.Host
	case Replay:
		if a.Fast {
			return "replay-fast:" + a.Path
		}
		return "replay:" + a.Path
	}
	return a.Path
}
