package port

import (
	"errors"
	"fmt"
	"io/fs"
	"os"
	"os/user"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"syscall"

	"go.bug.st/serial"
	"golang.org/x/sys/unix"
)

// explainOpen turns what the system or the serial library says into one error with what to do.
func explainOpen(name string, err error) error {
	if e, ok := errors.AsType[*Error](err); ok {
		return e
	}
	var code serial.PortErrorCode = -1
	if pe, ok := errors.AsType[*serial.PortError](err); ok {
		code = pe.Code()
	}
	switch {
	case errors.Is(err, fs.ErrNotExist), code == serial.PortNotFound:
		return &Error{Code: Missing, Addr: name, Cause: "there is no such port",
			Do: "plug the gauge in, or list the ports and bind the right one", Err: err}
	case errors.Is(err, unix.EBUSY), code == serial.PortBusy:
		return busy(name, err)
	case errors.Is(err, fs.ErrPermission), code == serial.PermissionDenied:
		return noPermission(name, err)
	case errors.Is(err, unix.ENOTTY), errors.Is(err, unix.EISDIR):
		return notSerial(name, "it is not a serial line")
	case code == serial.InvalidSpeed, code == serial.InvalidDataBits, code == serial.InvalidParity, code == serial.InvalidStopBits:
		return &Error{Code: BadMode, Addr: name, Cause: "the port cannot be set so: " + err.Error(),
			Do: "set speed, data bits, parity and stop bits as the gauge's manual says", Err: err}
	}
	return &Error{Code: Gone, Addr: name, Cause: "the port does not open: " + err.Error(), Do: "unplug the gauge and plug it in again",
		Err: err}
}

func notSerial(name, why string) *Error {
	return &Error{Code: NotATTY, Addr: name, Cause: why, Do: "list the ports and bind the one of the gauge"}
}

// refuseNonSerial looks at the kind of file before anything is opened: opening some devices (a
// watchdog, a tape drive) does things by itself.
func refuseNonSerial(name string) error {
	st, err := os.Stat(name)
	if err != nil {
		return explainOpen(name, err)
	}
	if st.Mode()&os.ModeCharDevice == 0 {
		return notSerial(name, "it is a "+fileKind(st.Mode())+", not a serial port")
	}
	sys, ok := st.Sys().(*syscall.Stat_t)
	if !ok {
		return nil
	}
	major, minor := unix.Major(uint64(sys.Rdev)), unix.Minor(uint64(sys.Rdev))
	// Numbers from the kernel's list of assigned devices (admin-guide/devices.txt): 4:0-63 virtual
	// consoles, 5:0-2 own terminal, console, pty maker; 128-135 pty masters.
	if major == 5 && minor <= 2 || major == 4 && minor < 64 || major >= 128 && major <= 135 {
		return notSerial(name, "it is a terminal or console of this computer")
	}
	sub, err := os.Readlink(fmt.Sprintf("/sys/dev/char/%d:%d/subsystem", major, minor))
	if err == nil && filepath.Base(sub) != "tty" {
		return notSerial(name, fmt.Sprintf("it is a device of class %q, not a serial port", filepath.Base(sub)))
	}
	return nil
}

func fileKind(m fs.FileMode) string {
	switch {
	case m.IsDir():
		return "folder"
	case m.IsRegular():
		return "file"
	case m&fs.ModeNamedPipe != 0:
		return "pipe"
	case m&fs.ModeSocket != 0:
		return "socket"
	}
	return "disk or other device"
}

func busy(name string, err error) *Error {
	who := "another program has this port"
	if pids := openers(name); len(pids) > 0 {
		who += " (process " + strings.Join(pids, ", ") + ")"
	}
	return &Error{Code: Busy, Addr: name, Cause: who,
		Do: "stop that program; if it is a modem prober, tell it to ignore this adapter", Err: err}
}

// openers finds which processes hold the device, as far as this user may look.
func openers(name string) (pids []string) {
	self := strconv.Itoa(os.Getpid())
	links, _ := filepath.Glob("/proc/[0-9]*/fd/*")
	for _, l := range links {
		if target, err := os.Readlink(l); err != nil || target != name {
			continue
		}
		pid := strings.Split(l, "/")[2]
		if pid != self && !slices.Contains(pids, pid) {
			pids = append(pids, pid)
		}
	}
	return pids
}

func noPermission(name string, err error) *Error {
	a := lookAccess(name)
	return &Error{Code: NoPermission, Addr: name, Err: err, Do: a.advice(),
		Cause: fmt.Sprintf("user %q may not open it (group %q, mode %04o)", a.user, a.group, a.mode)}
}

// access is who we are and what the device lets in. listed is true if the user database has us in the
// device's group, though this process may not have it.
type access struct {
	user, group string
	mode        fs.FileMode
	listed      bool
}

// advice gives the exact remedy. Membership of group root and a mode open to everybody are none.
func (a access) advice() string {
	switch {
	case a.group == "root" || a.group == "0":
		return fmt.Sprintf("have the administrator set a device rule that gives the port to a group of its own (often dialout or uucp) "+
			"with mode 0660, add user %q to that group and log in again", a.user)
	case a.mode&0o060 != 0o060:
		return fmt.Sprintf("its group may not read and write: have the administrator set a device rule that gives group %q mode 0660", a.group)
	case a.listed:
		return fmt.Sprintf("the user is in group %q already, but not yet in this login: log out and in again", a.group)
	}
	return fmt.Sprintf("add the user to group %q (usermod -aG %s %s) and log in again", a.group, a.group, a.user)
}

func lookAccess(name string) access {
	a := access{user: strconv.Itoa(os.Getuid()), group: "unknown"}
	u, err := user.Current()
	if err == nil {
		a.user = u.Username
	}
	st, statErr := os.Stat(name)
	if statErr != nil {
		return a
	}
	a.mode = st.Mode().Perm()
	sys, ok := st.Sys().(*syscall.Stat_t)
	if !ok {
		return a
	}
	gid := strconv.Itoa(int(sys.Gid))
	a.group = gid
	if g, err := user.LookupGroupId(gid); err == nil {
		a.group = g.Name
	}
	if u != nil {
		if ids, err := u.GroupIds(); err == nil {
			a.listed = slices.Contains(ids, gid)
		}
	}
	return a
}
