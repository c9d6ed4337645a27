package port

import (
	"testing"

	"golang.org/x/sys/unix"
)

func TestUeventMessages(t *testing.T) {
	for _, c := range []struct {
		msg  string
		want bool
	}{
		{"add@/devices/x/ttyUSB0\x00ACTION=add\x00SUBSYSTEM=tty\x00DEVNAME=ttyUSB0\x00", true},
		{"add@/devices/x\x00ACTION=add\x00SUBSYSTEM=usb\x00", false},
		{"libudev\x00SUBSYSTEM=tty\x00", false},
		{"", false}, {"add@/x", false}, {"\x00\x00\x00", false}, {"add@x\x00SUBSYSTEM=tty2\x00", false},
	} {
		if got := aboutTTY([]byte(c.msg)); got != c.want {
			t.Errorf("%q: %v", c.msg, got)
		}
	}
}

// Any local user may send to the group; only the kernel has port number 0.
func TestUeventsOfOtherProcessesAreDropped(t *testing.T) {
	for _, c := range []struct {
		from unix.Sockaddr
		want bool
	}{
		{&unix.SockaddrNetlink{Pid: 0, Groups: 1}, true},
		{&unix.SockaddrNetlink{Pid: 4711, Groups: 1}, false},
		{&unix.SockaddrUnix{}, false},
		{nil, false},
	} {
		if got := fromKernel(c.from); got != c.want {
			t.Errorf("%+v: %v", c.from, got)
		}
	}
}
