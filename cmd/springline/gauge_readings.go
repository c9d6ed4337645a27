package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"strings"

	"springline/cmd/springline/rig"
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
		return "", "not counted: " + u.Reading.Event.Err.Detail
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
	b, err := session.OpenReadOnly(ctx, session.Config{Dir: data, Software: software(), Now: sys.now, Log: logger(sys)})
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
		locks, err := rig.PortLocks()
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
