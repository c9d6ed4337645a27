package device

import (
	"bufio"
	"encoding/hex"
	"fmt"
	"io"
	"strconv"
	"strings"
	"time"
)

// recordingMark is the first line of a recording. After it come header lines "name: text" (gauge, date,
// format, remarks; any order, remarks may repeat), an empty line, and one line for each thing that
// happened: the milliseconds since the recording began and then the bytes in hexadecimal, the word
// "open" or "gone", or "ask" when the gauge was asked. Lines that start with '#' are for people.
const recordingMark = "springline recording 1"

const (
	wordOpen = "open"
	wordGone = "gone"
	wordAsk  = "ask"
)

// RecordingHead describes a recording.
type RecordingHead struct {
	Gauge   string
	Date    string // as the maker wrote it, RFC 3339 by Recorder
	Format  string // the gauge's [wire.Format] as JSON, so that the recording can be decoded alone; may be ""
	Remarks []string
}

// Step is one thing in a recording: bytes, or the port opened or gone, or the gauge asked.
type Step struct {
	At              time.Duration // since the recording began, whole milliseconds
	Data            []byte
	Open, Gone, Ask bool
}

// Recording is what a port sent, with its timing.
type Recording struct {
	Head  RecordingHead
	Steps []Step
}

// ReadRecording reads the text form. Errors name the line.
func ReadRecording(r io.Reader) (Recording, error) {
	var rec Recording
	sc := bufio.NewScanner(r)
	sc.Buffer(nil, 1<<20)
	n, inHead, last := 0, true, time.Duration(0)
	fail := func(why string) (Recording, error) {
		return Recording{}, fmt.Errorf("recording: line %d: %q: %s", n, sc.Text(), why)
	}
	for sc.Scan() {
		n++
		line := strings.TrimRight(sc.Text(), "\r")
		switch {
		case n == 1:
			if line != recordingMark {
				return fail("the first line must be " + strconv.Quote(recordingMark))
			}
		case strings.HasPrefix(line, "#"):
		case inHead && line == "":
			inHead = false
		case inHead:
			if !rec.Head.take(line) {
				return fail("not a header line gauge:, date:, format: or remarks:")
			}
		case line == "":
		default:
			st, why := parseStep(line)
			if why != "" {
				return fail(why)
			}
			if st.At < last {
				return fail("time goes back")
			}
			last = st.At
			rec.Steps = append(rec.Steps, st)
		}
	}
	if err := sc.Err(); err != nil {
		return Recording{}, fmt.Errorf("recording: after line %d: %w", n, err)
	}
	if n == 0 || inHead {
		return Recording{}, fmt.Errorf("recording: it ends within its header after line %d: an empty line and the bytes must follow", n)
	}
	return rec, nil
}

func (h *RecordingHead) take(line string) bool {
	name, text, ok := strings.Cut(line, ":")
	text = strings.TrimSpace(text)
	switch {
	case !ok:
		return false
	case name == "gauge":
		h.Gauge = text
	case name == "date":
		h.Date = text
	case name == "format":
		h.Format = text
	case name == "remarks":
		h.Remarks = append(h.Remarks, text)
	default:
		return false
	}
	return true
}

// maxStepMS is a year: a later time is a typing error and would overflow sums.
const maxStepMS = 366 * 24 * 3600 * 1000

func parseStep(line string) (st Step, why string) {
	t, what, ok := strings.Cut(line, " ")
	ms, err := strconv.ParseUint(t, 10, 63)
	if !ok || err != nil || ms > maxStepMS {
		return st, "want milliseconds, a space, and bytes in hexadecimal or open, gone or ask"
	}
	st.At = time.Duration(ms) * time.Millisecond
	switch what {
	case wordOpen:
		st.Open = true
	case wordGone:
		st.Gone = true
	case wordAsk:
		st.Ask = true
	default:
		if st.Data, err = hex.DecodeString(what); err != nil || len(st.Data) == 0 {
			return st, "the bytes are not an even number of hexadecimal digits"
		}
	}
	return st, ""
}

func (h RecordingHead) text() string {
	var b strings.Builder
	one := func(name, text string) {
		fmt.Fprintf(&b, "%s: %s\n", name, strings.Join(strings.Fields(text), " "))
	}
	b.WriteString(recordingMark + "\n")
	one("gauge", h.Gauge)
	one("date", h.Date)
	if h.Format != "" {
		b.WriteString("format: " + strings.NewReplacer("\r", " ", "\n", " ").Replace(h.Format) + "\n")
	}
	for _, r := range h.Remarks {
		one("remarks", r)
	}
	return b.String() + "\n"
}

func (s Step) text() string {
	what := hex.EncodeToString(s.Data)
	switch {
	case s.Open:
		what = wordOpen
	case s.Gone:
		what = wordGone
	case s.Ask:
		what = wordAsk
	}
	return fmt.Sprintf("%d %s\n", s.At.Milliseconds(), what)
}
