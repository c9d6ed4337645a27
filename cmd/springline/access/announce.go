package access

import (
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"
	"strings"
)

// announcement is the file in the data folder that names the page of the bench that holds it.
const announcement = "page-address"

// Announce leaves the address of the page in the data folder and returns what takes it away again. A bench
// that was killed leaves it behind: it is only looked at while somebody holds the folder.
func Announce(dir string, addr net.Addr) (withdraw func() error, err error) {
	name := filepath.Join(dir, announcement)
	if err := os.WriteFile(name, []byte(addr.String()+"\n"), 0o600); err != nil {
		return nil, fmt.Errorf("say where the page is, in %q: %w; make the folder writable", name, err)
	}
	return func() error {
		if err := os.Remove(name); err != nil && !errors.Is(err, fs.ErrNotExist) {
			return fmt.Errorf("take the page's address away: %w", err)
		}
		return nil
	}, nil
}

// announced is the address left in dir. What is no loopback address is not followed: the page of this
// machine is the only one there is.
func announced(dir string) (string, bool) {
	text, err := os.ReadFile(filepath.Join(dir, announcement))
	if err != nil || len(text) > 100 {
		return "", false
	}
	addr := strings.TrimSpace(string(text))
	host, port, err := net.SplitHostPort(addr)
	if err != nil || port == "" {
		return "", false
	}
	if ip := net.ParseIP(host); ip == nil || !ip.IsLoopback() {
		return "", false
	}
	return addr, true
}
