package port

import (
	"strings"
	"testing"
)

func TestPermissionAdvice(t *testing.T) {
	for _, c := range []struct {
		a          access
		say, never string
	}{
		{access{user: "ana", group: "dialout", mode: 0o660}, "usermod -aG dialout ana", "log out"},
		{access{user: "ana", group: "dialout", mode: 0o660, listed: true}, "log out and in again", "usermod"},
		{access{user: "ana", group: "dialout", mode: 0o600}, `gives group "dialout" mode 0660`, "usermod"},
		{access{user: "ana", group: "root", mode: 0o660}, "group of its own", "-aG root"},
	} {
		if got := c.a.advice(); !strings.Contains(got, c.say) || strings.Contains(got, c.never) {
			t.Errorf("%+v: %s", c.a, got)
		}
	}
}
