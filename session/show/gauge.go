package show

import (
	"strings"
	"time"

	"springline/qc"
)

// Live is what is known of a connection and not recorded.
type Live struct {
	State    string
	Detail   string
	Value    string // the last one
	Unit     string
	LastAt   time.Time
	Received int64
	Low      bool // battery
	Unsure   bool // it may be another gauge on a like adapter
}

func (l Live) Last() string { return strings.TrimSpace(l.Value + " " + l.Unit) }

func (w renderer) gauges() []GaugeView {
	list := make([]GaugeView, 0, len(w.book.Gauges))
	for _, g := range w.book.Gauges {
		l := w.live[g.ID]
		gv := GaugeView{
			ID: g.ID, Name: g.Name, Address: g.Address, Kind: kindText(g.Gauge), Overdue: g.Calibration(w.book.At) != qc.CheckInDate,
			State: l.State, Detail: l.Detail, LastText: l.Last(), Value: l.Value, Unit: l.Unit, Received: l.Received,
			Unsure: l.Unsure, Check: calibrationText(g.Gauge, w.book.At), Measures: []string{},
		}
		if gv.State == "" {
			gv.State = "typed"
			if g.Address != "" {
				gv.State = "connecting"
			}
		}
		if st := w.book.OpenStudy(); st != nil && st.Gauge == g.ID && !st.Paused {
			gv.LastText, gv.Value, gv.Unit = "", "", "" // blind: nobody sees what was read before
		} else if l.Value != "" && !l.LastAt.IsZero() {
			gv.LastText += " at " + l.LastAt.Format("15:04") // a gauge may be silent for long: that is no fault
		}
		if l.Low && gv.Detail == "" {
			gv.Detail = "its battery is low"
		}
		for _, k := range g.Measures {
			gv.Measures = append(gv.Measures, string(k))
		}
		list = append(list, gv)
	}
	return list
}

// calibrationText is the state of a gauge's check at a time.
func calibrationText(g qc.Gauge, at time.Time) string {
	const day = "2 January 2006"
	switch state := g.Calibration(at); {
	case state == qc.CheckInDate && !g.Due.IsZero():
		return "in date until " + g.Due.Format(day)
	case state == qc.CheckInDate:
		return "checked " + g.Checked.Format(day)
	case state == qc.CheckFailed:
		return "check FAILED on " + g.Checked.Format(day) + ": " + g.Note()
	case state == qc.OutOfUse:
		return "out of use: " + g.Retired
	case state == qc.CheckDue:
		return "check overdue since " + g.Due.Format(day)
	default:
		return state.Label()
	}
}

// kindText says what a gauge is and in what unit it reads.
func kindText(g qc.Gauge) string {
	text := string(g.Kind)
	if g.Kind == qc.Tape {
		text += " class " + string(g.Class)
		if g.EndFace {
			text += ", from its end face"
		}
	}
	return text + ", in " + g.Unit
}
