package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"strings"
	"time"

	"springline/cmd/springline/wiring"
	"springline/device"
	"springline/device/wire"
	"springline/session"
)

// takeReadings asks for so many readings of a gauge: those that it sends, where it is connected and no other
// program holds its port, and those that are typed, one a line. Nothing of it touches a rib.
func takeReadings(ctx context.Context, sys system, data, id string, count int) ([]string, error) {
	ctx, cancel := context.WithCancel(ctx)
	defer cancel()
	updates, stop, err := listenTo(ctx, sys, data, id)
	if err != nil {
		return nil, err
	}
	defer stop()
	typed := make(chan string)
	go func() {
		defer close(typed)
		for sc := bufio.NewScanner(sys.in); sc.Scan(); {
			select {
			case typed <- strings.TrimSpace(sc.Text()):
			case <-ctx.Done():
				return
			}
		}
	}()
	var got []string
	ask := func() { fmt.Fprintf(sys.err, "reading %d of %d: ", len(got)+1, count) }
	for ask(); len(got) < count; {
		select {
		case <-ctx.Done():
			return nil, ctx.Err()
		case text, ok := <-typed:
			if !ok && updates == nil {
				return nil, fmt.Errorf("check gauge %q: %d of %d readings came: %w", id, len(got), count, io.ErrUnexpectedEOF)
			} else if !ok {
				typed = nil // nobody types; the gauge may still send
			} else if text != "" {
				got = append(got, text)
				ask()
			}
		case u, ok := <-updates:
			if !ok {
				return nil, fmt.Errorf("check gauge %q: it was disconnected", id)
			}
			text, why := sentText(u)
			if why != "" {
				fmt.Fprintf(sys.err, "\n%s\n", why)
				ask()
			} else if text != "" {
				fmt.Fprintln(sys.err, text)
				got = append(got, text)
				ask()
			}
		}
	}
	fmt.Fprintln(sys.err, "enough")
	return got, nil
}

// sentText is a clean value that a gauge sent, or why what happened is none.
func sentText(u device.Update) (text, why string) {
	switch {
	case u.Reading == nil && u.State != device.StateConnecting && u.State != device.StateReading:
		return "", string(u.State) + ": " + u.Reason
	case u.Reading == nil:
		return "", ""
	case u.Reading.Event.Err != nil:
		return "", "not counted: " + u.Reading.Event.Err.Detail()
	}
	s := u.Reading.Event.Sample
	if s == nil {
		return "", ""
	}
	if s.Accept != wire.Auto {
		return "", fmt.Sprintf("not counted: %s %s, marked %s", s.Value, s.Unit, strings.Join(s.Flags, ", "))
	}
	return strings.TrimSpace(s.Value + " " + s.Unit), ""
}

// listenTo connects the gauge as the record has it; nil updates where it is typed from.
func listenTo(ctx context.Context, sys system, data, id string) (<-chan device.Update, func(), error) {
	nothing := func() {}
	b, err := session.OpenReadOnly(ctx, recordIn(sys, data))
	if err != nil {
		return nil, nothing, err
	}
	list := b.Connections()
	if err := b.Close(); err != nil {
		return nil, nothing, err
	}
	for _, c := range list {
		if c.ID != id || c.Address == "" {
			continue
		}
		g, err := c.Device()
		if err != nil {
			return nil, nothing, err
		}
		locks, err := wiring.PortLocks()
		if err != nil {
			return nil, nothing, err
		}
		hub, err := device.NewHub(device.Config{Clock: device.Clock{Now: sys.now, Start: sys.start}, LockDir: locks})
		if err != nil {
			return nil, nothing, err
		}
		if err := hub.Add(g, nil); err != nil {
			_ = hub.Stop() // the first error tells more
			return nil, nothing, err
		}
		return hub.Updates(), func() { _ = hub.Stop() }, nil // all that was wanted came
	}
	return nil, nothing, nil
}

// watched is one line of watch --json.
type watched struct {
	Time    time.Time   `json:"time"`
	State   string      `json:"state,omitempty"`
	Reason  string      `json:"reason,omitempty"`
	Value   string      `json:"value,omitempty"`
	Unit    string      `json:"unit,omitempty"`
	Channel string      `json:"channel,omitempty"`
	Flags   []string    `json:"flags,omitempty"`
	Accept  wire.Accept `json:"accept,omitempty"`
	Error   string      `json:"error,omitempty"`
	Raw     string      `json:"raw,omitempty"` // the frame, with what cannot be printed escaped
}

func watchedOf(u device.Update, now time.Time) watched {
	if u.Reading == nil {
		return watched{Time: now, State: string(u.State), Reason: u.Reason}
	}
	w := watched{Time: u.Reading.Wall, Raw: strings.Trim(fmt.Sprintf("%q", u.Reading.Raw), `"`)}
	if e := u.Reading.Event.Err; e != nil {
		w.Error, w.Reason = e.Code, e.Detail()
		return w
	}
	s := u.Reading.Event.Sample
	w.Value, w.Unit, w.Channel, w.Flags, w.Accept, w.Reason = s.Value, s.Unit, s.Channel, s.Flags, s.Accept, u.Unsure.Doubt()
	return w
}

func (w watched) show(sys system, asJSON bool) error {
	if asJSON {
		return writeJSONLine(sys.out, w)
	}
	p := &printer{w: sys.out}
	at := w.Time.Format("15:04:05.000")
	switch {
	case w.State != "":
		p.line("%s  %s", at, strings.TrimRight(strings.ReplaceAll(w.State, "_", " ")+"  "+w.Reason, " "))
	case w.Error != "":
		p.line("%s  refused: %s  %s  [%s]", at, strings.ReplaceAll(w.Error, "_", " "), w.Reason, w.Raw)
	default:
		doubt := ""
		if w.Accept != wire.Auto {
			doubt = "  would wait: " + strings.ReplaceAll(strings.Join(w.Flags, ", "), "_", " ")
		} else if len(w.Flags) > 0 {
			doubt = "  " + strings.ReplaceAll(strings.Join(w.Flags, ", "), "_", " ")
		}
		p.line("%s  %s%s%s  [%s]", at, strings.TrimSpace(w.Value+" "+w.Unit), channelText(w.Channel), doubt, w.Raw)
	}
	return p.err
}

func channelText(c string) string {
	if c == "" {
		return ""
	}
	return "  channel " + c
}
