package session

import (
	"time"

	"springline/qc"
)

func (w renderer) gauges() []GaugeView {
	list := make([]GaugeView, 0, len(w.book.gauges))
	for _, g := range w.book.gauges {
		l := w.live[g.ID]
		gv := GaugeView{
			ID: g.ID, Name: g.Name, Address: g.address, Kind: kindText(g.Gauge), Overdue: g.Calibration(w.book.at) != qc.CheckInDate,
			State: l.state, Detail: l.detail, LastText: l.last(), Value: l.value, Unit: l.unit, Received: l.received,
			Unsure: l.unsure, Check: calibrationText(g.Gauge, w.book.at), Measures: []string{},
		}
		if gv.State == "" {
			gv.State = "typed"
			if g.address != "" {
				gv.State = "connecting"
			}
		}
		if st := w.book.openStudy(); st != nil && st.Gauge == g.ID && !st.Paused {
			gv.LastText, gv.Value, gv.Unit = "", "", "" // blind: nobody sees what was read before
		} else if l.value != "" && !l.lastAt.IsZero() {
			gv.LastText += " at " + l.lastAt.Format("15:04") // a gauge may be silent for long: that is no fault
		}
		if l.low && gv.Detail == "" {
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
		return string(state)
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
