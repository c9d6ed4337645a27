package simgauge

import (
	"fmt"
	"os"
	"time"

	"github.com/creack/pty"
	"golang.org/x/sys/unix"
)

// ptyLine holds both ends of a pty. The slave is kept open so that the line stays raw with nobody on it
// and so that the kernel can be asked whether the reader has taken everything.
type ptyLine struct {
	master, slave *os.File
	name          string
}

// settle is how long the kernel is given to move bytes from the master to the slave, which it does in
// a worker of its own.
// A busy machine takes longer than an idle one: the slave has to be found empty several times.
const (
	settle = 20 * time.Millisecond
	looks  = 5
)

func newPTYLine() (*ptyLine, error) {
	m, s, err := pty.Open()
	if err != nil {
		return nil, fmt.Errorf("open a pty: %w", err)
	}
	l := &ptyLine{master: m, slave: s, name: s.Name()}
	if l.master, err = pollable(m); err != nil {
		_ = s.Close()
		return nil, fmt.Errorf("open a pty: %w", err)
	}
	if err := l.raw(); err != nil {
		_ = l.close()
		return nil, fmt.Errorf("set pty %s raw: %w", s.Name(), err)
	}
	return l, nil
}

// pollable opens the descriptor of f anew without blocking and closes f: the pty library leaves the
// master blocking, and then closing it waits for a read that never ends.
func pollable(f *os.File) (*os.File, error) {
	defer f.Close()
	fd, err := unix.FcntlInt(f.Fd(), unix.F_DUPFD_CLOEXEC, 0)
	if err != nil {
		return nil, err
	}
	if err := unix.SetNonblock(fd, true); err != nil {
		_ = unix.Close(fd)
		return nil, err
	}
	return os.NewFile(uintptr(fd), f.Name()), nil
}

// raw turns echo and line editing off: a pty starts as a terminal for a person.
func (l *ptyLine) raw() error {
	return l.control(func(fd int) error {
		t, err := unix.IoctlGetTermios(fd, unix.TCGETS)
		if err != nil {
			return err
		}
		t.Iflag, t.Oflag, t.Lflag = 0, 0, 0
		t.Cflag = t.Cflag&^(unix.CSIZE|unix.PARENB) | unix.CS8 | unix.CREAD | unix.CLOCAL
		t.Cc[unix.VMIN], t.Cc[unix.VTIME] = 1, 0
		return unix.IoctlSetTermios(fd, unix.TCSETS, t)
	})
}

func (l *ptyLine) control(f func(fd int) error) error {
	rc, err := l.slave.SyscallConn()
	if err != nil {
		return err
	}
	var inner error
	if err := rc.Control(func(fd uintptr) { inner = f(int(fd)) }); err != nil {
		return err
	}
	return inner
}

func (l *ptyLine) address() string { return l.name }

func (l *ptyLine) send(b []byte) error {
	_, err := l.master.Write(b)
	return err
}

// readerOpen asks whether the line is held exclusively, which every reader of ours does.
func (l *ptyLine) readerOpen() bool {
	held := 0
	_ = l.control(func(fd int) (err error) { held, err = unix.IoctlGetInt(fd, unix.TIOCGEXCL); return err })
	return held != 0
}

// drained asks how many bytes wait at the slave, each time after the settling time.
func (l *ptyLine) drained() bool {
	for range looks {
		time.Sleep(settle)
		waiting := -1
		_ = l.control(func(fd int) (err error) { waiting, err = unix.IoctlGetInt(fd, unix.TIOCINQ); return err })
		if waiting != 0 {
			return false
		}
	}
	return true
}

func (l *ptyLine) receive(take func([]byte)) error {
	buf := make([]byte, 4096)
	for {
		n, err := l.master.Read(buf)
		if n > 0 {
			take(buf[:n])
		}
		if err != nil {
			return err
		}
	}
}

// close shuts the master first: that is what an unplug looks like from the slave.
func (l *ptyLine) close() error {
	err := l.master.Close()
	if e := l.slave.Close(); err == nil {
		err = e
	}
	return err
}
