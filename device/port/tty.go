package port

import (
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"syscall"
	"time"

	"go.bug.st/serial"
	"golang.org/x/sys/unix"
)

// readTimeout is how long a silent read waits. It bounds Close, because the descriptor is closed only
// when the reader is out of the kernel.
const readTimeout = 250 * time.Millisecond

// ttyLink reads through the serial library, which sets the line, and writes through a descriptor of its
// own that does not block: a blocked write of the library is not ended by closing the port.
type ttyLink struct {
	port serial.Port
	out  *os.File
}

func openTTY(addr Address, o Options) (*Port, error) {
	name, err := filepath.EvalSymlinks(addr.Path)
	if err != nil {
		return nil, explainOpen(addr.Path, err)
	}
	if err := refuseNonSerial(name); err != nil {
		return nil, err
	}
	lock, err := takeLock(o.LockDir, name)
	if err != nil {
		return nil, err
	}
	link, notes, err := openLine(name, o.Mode)
	if err != nil {
		lock.release()
		return nil, err
	}
	return wrap(addr, link, o, lock, notes), nil
}

func openLine(name string, m Mode) (_ *ttyLink, notes []string, err error) {
	out, err := os.OpenFile(name, os.O_WRONLY|syscall.O_NOCTTY|syscall.O_NONBLOCK, 0)
	if err != nil {
		return nil, nil, explainOpen(name, err)
	}
	defer func() {
		if err != nil {
			_ = out.Close()
		}
	}()
	if err := prepare(name, out); err != nil {
		return nil, nil, err
	}
	p, err := serial.Open(name, &serial.Mode{BaudRate: m.Baud, DataBits: m.DataBits,
		Parity: parities[m.Parity].serial, StopBits: stopBits(m.StopBits)})
	if err != nil {
		return nil, nil, explainOpen(name, err)
	}
	// Set once, before the reader starts: the library keeps it in an unguarded field.
	if err := p.SetReadTimeout(readTimeout); err != nil {
		_ = p.Close()
		return nil, nil, explainOpen(name, err)
	}
	return &ttyLink{port: p, out: out}, setLines(p, m), nil
}

// prepare checks that the device is a terminal line that nobody holds exclusively, and drops what the
// kernel kept from before: it may be the tail of an older line.
func prepare(name string, f *os.File) error {
	rc, err := f.SyscallConn()
	if err != nil {
		return explainOpen(name, err)
	}
	var taken int
	var ttyErr error
	if err := rc.Control(func(fd uintptr) {
		if _, ttyErr = unix.IoctlGetTermios(int(fd), unix.TCGETS); ttyErr != nil {
			return
		}
		taken, _ = unix.IoctlGetInt(int(fd), unix.TIOCGEXCL) // old kernels have no such call: then 0
		if taken == 0 {
			ttyErr = unix.IoctlSetInt(int(fd), unix.TCFLSH, unix.TCIFLUSH)
		}
	}); err != nil {
		return explainOpen(name, err)
	}
	switch {
	case errors.Is(ttyErr, unix.ENOTTY):
		return notSerial(name, "it does not answer as a serial line")
	case ttyErr != nil:
		return explainOpen(name, ttyErr)
	case taken != 0:
		return busy(name, unix.EBUSY)
	}
	return nil
}

func stopBits(n int) serial.StopBits {
	if n == 2 {
		return serial.TwoStopBits
	}
	return serial.OneStopBit
}

// setLines sets DTR and RTS if the mode names them. A port without the lines is still a port.
func setLines(p serial.Port, m Mode) (notes []string) {
	try := func(name string, want *bool, set func(bool) error) {
		if want == nil {
			return
		}
		if err := set(*want); err != nil {
			notes = append(notes, fmt.Sprintf("%s was not set: %v", name, err))
		}
	}
	try("DTR", m.DTR, p.SetDTR)
	try("RTS", m.RTS, p.SetRTS)
	return notes
}

func (l *ttyLink) Read(b []byte) (int, error) { return l.port.Read(b) }

func (l *ttyLink) Write(b []byte) (int, error) { return l.out.Write(b) }

// Interrupt frees a blocked write; the reader comes back by its timeout.
func (l *ttyLink) Interrupt() { _ = l.out.SetWriteDeadline(time.Unix(1, 0)) }

func (l *ttyLink) Close() error { return errors.Join(l.out.Close(), l.port.Close()) }
