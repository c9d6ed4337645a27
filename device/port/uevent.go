package port

import (
	"bytes"
	"fmt"
	"os"
	"time"

	"golang.org/x/sys/unix"
)

// uevents listens to the kernel's device events over netlink (socket family NETLINK_KOBJECT_UEVENT,
// multicast group 1: events of the kernel itself).
type uevents struct{ f *os.File }

func listenUevents() (*uevents, error) {
	fd, err := unix.Socket(unix.AF_NETLINK, unix.SOCK_RAW|unix.SOCK_CLOEXEC|unix.SOCK_NONBLOCK, unix.NETLINK_KOBJECT_UEVENT)
	if err != nil {
		return nil, fmt.Errorf("device events: open netlink socket: %w", err)
	}
	if err := unix.Bind(fd, &unix.SockaddrNetlink{Family: unix.AF_NETLINK, Groups: 1}); err != nil {
		_ = unix.Close(fd)
		return nil, fmt.Errorf("device events: bind netlink socket: %w", err)
	}
	return &uevents{os.NewFile(uintptr(fd), "uevents")}, nil
}

// run calls change for each event about a serial port until the socket is closed.
func (u *uevents) run(change func()) {
	rc, err := u.f.SyscallConn()
	if err != nil {
		return
	}
	buf := make([]byte, 16<<10)
	for {
		var n int
		var from unix.Sockaddr
		var recvErr error
		err := rc.Read(func(fd uintptr) bool {
			n, from, recvErr = unix.Recvfrom(int(fd), buf, 0)
			return recvErr != unix.EAGAIN
		})
		switch {
		case err != nil: // closed
			return
		case recvErr == unix.ENOBUFS: // events were lost: something changed
			change()
		case recvErr == unix.EINTR:
		case recvErr != nil:
			return
		case fromKernel(from) && aboutTTY(buf[:n]):
			change()
		}
	}
}

// fromKernel drops messages of other processes: any local user may send to the group.
func fromKernel(from unix.Sockaddr) bool {
	nl, ok := from.(*unix.SockaddrNetlink)
	return ok && nl.Pid == 0
}

// aboutTTY reads a message: "action@devpath", then KEY=value fields, each ended by NUL.
func aboutTTY(msg []byte) bool {
	head, rest, ok := bytes.Cut(msg, []byte{0})
	if !ok || !bytes.Contains(head, []byte{'@'}) {
		return false
	}
	for field := range bytes.SplitSeq(rest, []byte{0}) {
		if string(field) == "SUBSYSTEM=tty" {
			return true
		}
	}
	return false
}

func (u *uevents) close() {
	_ = u.f.SetDeadline(time.Unix(1, 0))
	_ = u.f.Close()
}
