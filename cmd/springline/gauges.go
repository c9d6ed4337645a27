package main

import (
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"

	"github.com/spf13/cobra"

	"springline/cmd/springline/access"
	"springline/cmd/springline/job"
	"springline/cmd/springline/wiring"
	"springline/device"
	"springline/device/port"
	"springline/device/wire"
	"springline/session/command"
)

// onRecord are the flags of the verbs that read or change the record of a data folder.
type onRecord struct {
	data, by string
	json     bool
}

func (f *onRecord) flags(c *cobra.Command) {
	c.Flags().StringVar(&f.data, "data", defaultData(), "data folder with the record")
	c.Flags().StringVar(&f.by, "by", "", "who does it")
	c.Flags().BoolVar(&f.json, "json", false, "answer in JSON")
}

// do carries a deed about a gauge out and shows how the gauge stands then.
func (f *onRecord) do(ctx context.Context, sys system, gauge string, deed command.Deed) error {
	return withBench(ctx, sys, f.data, func(d access.Way) error {
		if _, err := d.Do(ctx, command.Order{Sent: command.Sent{By: f.by}, Deed: deed}); err != nil {
			return err
		}
		v, err := d.View(ctx)
		if err != nil {
			return err
		}
		for _, g := range v.Gauges {
			if g.ID != gauge {
				continue
			}
			if f.json {
				return writeJSON(sys.out, g)
			}
			_, err := fmt.Fprintf(sys.out, "%s (%s): %s\n", g.Name, g.ID, g.Check)
			if len(v.Notices) > 0 && err == nil {
				_, err = fmt.Fprintln(sys.out, v.Notices[0])
			}
			return err
		}
		return fmt.Errorf("gauge %q is not on record", gauge)
	})
}

// lastingName is the name that the system keeps for what is plugged in, "" if there is none.
func lastingName(path string) string {
	for _, dir := range []string{"/dev/serial/by-id", "/dev/serial/by-path"} {
		links, err := os.ReadDir(dir)
		if err != nil {
			continue // the system makes no such names
		}
		for _, l := range links {
			name := filepath.Join(dir, l.Name())
			if to, err := filepath.EvalSymlinks(name); err == nil && to == path {
				return name
			}
		}
	}
	return ""
}

// gaugePort is what watch and learn are told about a port.
type gaugePort struct {
	format string
	line   string
	record string
}

func (g *gaugePort) flags(c *cobra.Command, format string) {
	c.Flags().StringVar(&g.format, "format", format, "a named shape (see springline gauge watch --help) or a format as JSON")
	c.Flags().StringVar(&g.line, "line", "9600 8N1", "how the serial line is set")
	c.Flags().StringVar(&g.record, "record", "", "file for a timed recording of what comes")
}

// gauge is what stands at an address, read as the flags say.
func (g *gaugePort) gauge(address string) (device.Gauge, error) {
	text, err := formatText(g.format)
	if err != nil {
		return device.Gauge{}, usageError{err}
	}
	format, err := job.ParseFormat(text)
	if err != nil {
		return device.Gauge{}, usageError{err}
	}
	line, err := port.ParseMode(g.line)
	if err != nil {
		return device.Gauge{}, usageError{err}
	}
	out := device.Gauge{ID: "gauge", Kind: device.Caliper, Address: address, Format: format, Mode: line}
	if err := out.Validate(); err != nil {
		return out, usageError{err}
	}
	return out, nil
}

// connect opens the gauge alone. The returned function disconnects it.
func (g *gaugePort) connect(sys system, gauge device.Gauge) (*device.Hub, func() error, error) {
	locks, err := wiring.PortLocks()
	if err != nil {
		return nil, nil, err
	}
	hub, err := device.NewHub(device.Config{Clock: device.Clock{Now: sys.now, Start: sys.start}, LockDir: locks})
	if err != nil {
		return nil, nil, err
	}
	closers := []func() error{hub.Stop}
	closeAll := func() error {
		var errs []error
		for _, f := range closers {
			errs = append(errs, f())
		}
		return errors.Join(errs...)
	}
	var rec *device.Recorder
	if g.record != "" {
		f, err := os.OpenFile(g.record, os.O_CREATE|os.O_EXCL|os.O_WRONLY, 0o644)
		if err != nil {
			return nil, nil, errors.Join(fmt.Errorf("record the gauge: %w", err), closeAll())
		}
		closers = append(closers, f.Close)
		text, err := gauge.Format.MarshalJSON()
		if err == nil {
			rec, err = device.NewRecorder(f, sys.now(), device.RecordingHead{Gauge: gauge.Address, Format: string(text)})
		}
		if err != nil {
			return nil, nil, errors.Join(err, closeAll())
		}
		closers = append(closers, rec.Err)
	}
	if err := hub.Add(gauge, rec); err != nil {
		return nil, nil, errors.Join(err, closeAll())
	}
	return hub, closeAll, nil
}

// formatText is a format as a job file holds it; what names a file is read from there.
func formatText(text string) (string, error) {
	if text == "" || strings.HasPrefix(strings.TrimSpace(text), "{") {
		return text, nil
	}
	if _, named := wire.NamedFormat(text); named {
		return text, nil
	}
	file, err := os.ReadFile(text)
	if errors.Is(err, os.ErrNotExist) {
		return text, nil // neither: whoever reads it says so
	}
	return strings.TrimSpace(string(file)), err
}
