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
	return &Error{Code: Gone, Addr: name, Cause: "the port does not open: " + err.Error(), Do: "unplug the gauge and plug it in again", Err: err}
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
	e := &Error{Code: NoPermission, Addr: name, Err: err}
	who, group, mode, member := access(name)
	e.Cause = fmt.Sprintf("user %q may not open it (group %q, mode %04o)", who, group, mode)
	switch {
	case mode&0o060 != 0o060:
		e.Do = fmt.Sprintf("its group has no read and write access: have the administrator set a device rule that gives group %q mode 0660", group)
	case member:
		e.Do = fmt.Sprintf("the user is in group %q already, but not since this login: log out and in again", group)
	default:
		e.Do = fmt.Sprintf("add the user to group %q (usermod -aG %s %s) and log in again", group, group, who)
	}
	return e
}

// access tells who we are and what the device's group and mode are; member is true if the user
// database lists us in the group though this process does not have it.
func access(name string) (who, group string, mode fs.FileMode, member bool) {
	who, group = strconv.Itoa(os.Getuid()), "unknown"
	u, err := user.Current()
	if err == nil {
		who = u.Username
	}
	st, statErr := os.Stat(name)
	if statErr != nil {
		return who, group, 0, false
	}
	mode = st.Mode().Perm()
	sys, ok := st.Sys().(*syscall.Stat_t)
	if !ok {
		return who, group, mode, false
	}
	group = strconv.Itoa(int(sys.Gid))
	if g, err := user.LookupGroupId(group); err == nil {
		group = g.Name
	}
	if u != nil {
		if ids, err := u.GroupIds(); err == nil {
			member = slices.Contains(ids, strconv.Itoa(int(sys.Gid)))
		}
	}
	return who, group, mode, member
}
