package port

import (
	"errors"
	"slices"
	"strings"
	"testing"

	"go.bug.st/serial"
)

// lineRecorder notes which control lines are set; everything else of a port is not used here.
type lineRecorder struct {
	serial.Port
	set  []string
	fail error
}

func (l *lineRecorder) SetDTR(on bool) error {
	l.set = append(l.set, "DTR "+map[bool]string{true: "on", false: "off"}[on])
	return l.fail
}

func (l *lineRecorder) SetRTS(on bool) error {
	l.set = append(l.set, "RTS "+map[bool]string{true: "on", false: "off"}[on])
	return l.fail
}

// Some gauges draw their power from the control lines, so they are set as the mode says and else left as
// the opening leaves them. That a real adapter does so is checked by hand, see the failures file.
func TestControlLinesAreSetAsTheModeSays(t *testing.T) {
	on, off := true, false
	for _, c := range []struct {
		mode Mode
		want []string
	}{
		{Mode{}, nil},
		{Mode{DTR: &on, RTS: &on}, []string{"DTR on", "RTS on"}},
		{Mode{DTR: &on, RTS: &off}, []string{"DTR on", "RTS off"}},
		{Mode{RTS: &off}, []string{"RTS off"}},
	} {
		l := &lineRecorder{}
		if notes := setLines(l, c.mode); !slices.Equal(l.set, c.want) || len(notes) > 0 {
			t.Errorf("%+v: set %q, notes %q; want %q", c.mode, l.set, notes, c.want)
		}
	}
	l := &lineRecorder{fail: errors.New("no such line")}
	if notes := setLines(l, Mode{DTR: &on}); len(notes) != 1 || !strings.Contains(notes[0], "DTR was not set: no such line") {
		t.Errorf("notes %q", notes)
	}
}
