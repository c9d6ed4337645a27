package device

import (
	"fmt"
	"os"
	"path/filepath"
	"syscall"

	"springline/device/port"
)

// nodeOf tells device nodes apart without opening them; "" if there is none or the address is no path.
func nodeOf(a port.Address) string {
	name, st := stat(a)
	if st == nil {
		return ""
	}
	return fmt.Sprintf("%s %x %d", name, st.Rdev, st.Ino)
}

// nodeChange changes when the node is made anew or its owner, group or mode changes, which a system
// often does a moment after the node appeared.
func nodeChange(a port.Address) string {
	_, st := stat(a)
	if st == nil {
		return ""
	}
	return fmt.Sprintf(" %d.%d %o", st.Ctim.Sec, st.Ctim.Nsec, st.Mode)
}

func stat(a port.Address) (string, *syscall.Stat_t) {
	if a.Kind != port.TTY {
		return "", nil
	}
	name, err := filepath.EvalSymlinks(a.Path)
	if err != nil {
		return "", nil
	}
	fi, err := os.Stat(name)
	if err != nil {
		return "", nil
	}
	st, ok := fi.Sys().(*syscall.Stat_t)
	if !ok {
		return "", nil
	}
	return name, st
}
