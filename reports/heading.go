package reports

import (
	"fmt"
	"math"
	"strings"
	"time"

	"springline/qc"
	"springline/qc/length"
)

// heading says which batch this is.
func heading(w work) Section {
	b := w.b
	closed := stamp(b.Closed)
	if closed == "" && !w.o.Blank {
		closed = "still open"
	}
	facts := []Fact{
		{"Batch", b.ID}, {"Ribs planned", fmt.Sprint(b.Planned)},
		{"Place", said(b.Place)}, {"Ribs on record", fmt.Sprint(len(b.Ribs))},
		{"Maker", said(b.Maker)}, {"Software", w.o.Software},
		{"Opened", stamp(b.Opened)}, {"Closed", closed},
		{"As of", stamp(b.AsOf)}, {"Report", reportID(b)},
		{"Measured", measuredSpan(b)},
		{"Target", targetName(b.Target)},
		{"Stock lots", lots(b.Lots)},
	}
	if w.o.Blank {
		facts = []Fact{
			{"Batch", b.ID}, {"Place", b.Place}, {"Maker", b.Maker}, {"Target", targetName(b.Target)},
			{"Ribs planned", fmt.Sprint(b.Planned)}, {"Stock lots", lots(b.Lots)},
			{"Measured by", ""}, {"Date", ""}, {"Temperature of bar and tape", ""},
		}
	}
	return Section{Key: "batch", Blocks: []Block{{Facts: facts}}}
}

// said tells an empty entry from a line to write on.
func said(s string) string {
	if s == "" {
		return "not said"
	}
	return s
}

func targetName(t qc.Target) string {
	name := t.Name
	if name == "" {
		name = t.ID
	} else if t.ID != "" && t.ID != t.Name {
		name += " (" + t.ID + ")"
	}
	return fmt.Sprintf("%s, revision %d", name, t.Revision)
}

func lots(ls []qc.Lot) string {
	var out []string
	for _, l := range ls {
		s := l.ID
		if l.Heat != "" {
			s += " (heat " + l.Heat + ")"
		}
		out = append(out, s)
	}
	if len(out) == 0 {
		return "none named"
	}
	return strings.Join(out, ", ")
}

// measuredSpan is the time from the first to the last value.
func measuredSpan(b qc.Batch) string {
	var first, last time.Time
	for _, r := range b.Ribs {
		for _, m := range r.Measurements {
			if first.IsZero() || m.At.Before(first) {
				first = m.At
			}
			if m.At.After(last) {
				last = m.At
			}
		}
	}
	switch {
	case first.IsZero():
		return "nothing yet"
	case day(first) == day(last):
		return first.Format("2006-01-02 15:04") + last.Format(" to 15:04 ") + offset(last)
	}
	return first.Format("2006-01-02 15:04") + last.Format(" to 2006-01-02 15:04 ") + offset(last)
}

// result is the answer in one sentence and one small table.
func result(w work) Section {
	s := Section{Key: "result", Title: "Result", Together: true}
	s.Blocks = append(s.Blocks, Block{Text: finding(w)}, Block{Table: verdictTable(w, true)})
	return s
}

// finding is the whole batch in one sentence.
func finding(w work) string {
	n := len(w.ribs)
	if n == 0 {
		return "No rib is on record yet: nothing has been judged and nothing has passed."
	}
	parts := []string{}
	for _, word := range qc.Words() {
		if k := w.count(word); k > 0 && word != qc.Pass {
			parts = append(parts, fmt.Sprintf("%d %s", k, word))
		}
	}
	pass := w.count(qc.Pass)
	s := fmt.Sprintf("%d of %s PASS", pass, plural(n, "rib", "ribs"))
	if pass == n && n == 1 {
		s = "The one rib on record is a PASS"
	}
	if len(parts) > 0 {
		s += "; " + strings.Join(parts, ", ")
	}
	if w.b.Planned > n {
		s += fmt.Sprintf("; %d of %d planned not bent or not measured yet", w.b.Planned-n, w.b.Planned)
	}
	return s + "."
}

func verdictTable(w work, named bool) *Table {
	t := &Table{Columns: []Column{{Head: "Verdict"}, {Head: "Ribs", Align: Number}, {Head: "Meaning"}}}
	if named {
		t.Columns = append(t.Columns, Column{Head: "Which"})
	}
	for _, word := range qc.Words() {
		var ids []string
		for _, r := range w.ribs {
			if r.v.Word == word {
				ids = append(ids, r.ID)
			}
		}
		row := Row{Cells: []Cell{
			{Text: string(word), Sign: signOf(word), Bold: true},
			{Text: fmt.Sprint(len(ids))},
			{Text: meaningOf(word)},
		}}
		if named {
			which := strings.Join(ids, ", ")
			if which == "" {
				which = "none"
			}
			row.Cells = append(row.Cells, Cell{Text: which})
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}

// target is what was wanted and within what limits.
func target(w work) Section {
	t := w.b.Target
	bar := fmt.Sprintf("%s mm round", exact(t.Bar.Diameter))
	if t.Bar.Grade != "" {
		bar += ", " + t.Bar.Grade
	}
	facts := []Fact{
		{"Bar", bar},
		{"Cut length", exact(t.BarLength()) + " mm"},
		{"Leg, each", exact(t.Leg) + " mm"},
		{"Arc", exact(t.Arc) + " mm along the centreline"},
		{"Radius", exact(t.Radius) + " mm to the centreline, after release"},
		{"Face measured", string(t.Face) + " of the bar, for tip-to-tip and crown height"},
		{"Stations", stations(t)},
	}
	if width, clear, err := t.AboveGround(); t.Buried > 0 && err == nil {
		facts = append(facts, Fact{"Buried tips", fmt.Sprintf("%s mm deep; above the ground %.0f mm clear under the crown, %.0f mm wide at the ground between bar centres", exact(t.Buried), math.Floor(clear), width)})
	}
	s := Section{Key: "target", Title: "Target and tolerances", Blocks: []Block{{Facts: facts}}}
	tab := &Table{Columns: []Column{
		{Head: "Characteristic"}, {Head: "Face"}, {Head: "Wanted", Unit: "mm", Align: Number},
		{Head: "Lower limit", Unit: "mm", Align: Number}, {Head: "Upper limit", Unit: "mm", Align: Number},
		{Head: "Readings", Align: Number},
	}}
	if !w.o.Blank {
		tab.Columns = append(tab.Columns, Column{Head: "U (k = 2)", Unit: "mm"}, Column{Head: "Proven within", Unit: "mm"})
		if w.b.Decision.Rule == qc.Plain {
			tab.Columns[len(tab.Columns)-1].Head = "Accepted"
		}
	}
	nominal := 0
	limit := 0
	for _, c := range t.Round {
		nominal = max(nominal, placesOf(c.Nominal))
		limit = max(limit, placesOf(c.Lower), placesOf(c.Upper))
	}
	for i := 0; i < len(t.Round); {
		row := targetRow(w, t.Round[i], nominal, limit)
		names := []string{row.Cells[0].Text}
		for i++; i < len(t.Round) && t.Round[i].Kind == qc.StationOffset; i++ {
			next := targetRow(w, t.Round[i], nominal, limit)
			if !sameButName(row, next) {
				break
			}
			names = append(names, string(t.Round[i].ID))
		}
		row.Cells[0].Text = strings.Join(names, ", ")
		tab.Rows = append(tab.Rows, row)
	}
	s.Blocks = append(s.Blocks, Block{Text: "A deviation is measured less wanted: above zero is proud (longer, or outside the target curve), below zero is shy. " +
		"Limits are deviations and are inclusive: a value on its limit is within it."}, Block{Table: tab})
	return s
}

func targetRow(w work, c qc.Characteristic, nominal, limit int) Row {
	face := string(c.Face)
	if c.Kind != qc.TipToTip && c.Kind != qc.CrownHeight {
		face = ""
	}
	row := Row{Cells: []Cell{{Text: c.Label()}, {Text: face}, {Text: plain(c.Nominal, nominal)},
		{Text: signed(c.Lower, limit)}, {Text: signed(c.Upper, limit)}, {Text: fmt.Sprint(c.Repeats)}}}
	if !w.o.Blank {
		u, zone := doubt(w, c)
		row.Cells = append(row.Cells, Cell{Text: u}, Cell{Text: zone})
	}
	return row
}

// sameButName reports whether two characteristics differ in nothing but their names, so that one line
// serves both.
func sameButName(a, b Row) bool {
	for i := range a.Cells {
		if i > 0 && a.Cells[i] != b.Cells[i] {
			return false
		}
	}
	return true
}

func stations(t qc.Target) string {
	if len(t.Stations) == 0 {
		return "none"
	}
	var out []string
	for _, s := range t.Stations {
		if strings.HasPrefix(string(s.ID), "A") {
			out = append(out, fmt.Sprintf("%s %s", s.ID, plain(s.FromCrown, 0)))
		}
	}
	return strings.Join(out, ", ") + " mm from the crown along the centreline; B mirrored"
}

// doubt gives the expanded uncertainties met and the zone within which a deviation counts as proven,
// for the least certain measurement of the characteristic.
func doubt(w work, c qc.Characteristic) (u, zone string) {
	js := w.measured(c.ID)
	if len(js) == 0 {
		return "—", "—"
	}
	p := w.places[c.ID]
	lo, hi, guard := js[0].U, js[0].U, length.Length(0)
	for _, j := range js {
		lo, hi, guard = min(lo, j.U), max(hi, j.U), max(guard, j.Guard)
	}
	u = atLeast(2*lo, p)
	if v := atLeast(2*hi, p); v != u {
		u += " to " + v
	}
	lower, upper := c.Lower+guard, c.Upper-guard
	if lower > upper {
		return u, "nowhere"
	}
	s := step(p)
	return u, signed(-((-lower)/s*s), p) + " to " + signed(upper/s*s, p)
}

// gauges lists what was measured with and whether its check is in date.
func gauges(w work) Section {
	s := Section{Key: "gauges", Title: "Gauges and their checks"}
	t := &Table{Columns: []Column{{Head: "Gauge"}, {Head: "Kind"}, {Head: "Reads to", Unit: "mm", Align: Number},
		{Head: "Error allowed", Unit: "± mm"}, {Head: "Used for"}, {Head: "Last check"}, {Head: "Next due"}, {Head: "State"}}}
	overdue := 0
	places := 0
	for _, g := range w.b.Gauges {
		places = max(places, placesOf(g.Resolution))
	}
	for _, g := range w.b.Gauges {
		state := g.Calibration(w.b.AsOf)
		bad := state != qc.CheckInDate
		if bad {
			overdue++
		}
		name := g.Name
		if name == "" {
			name = g.ID
		}
		second := ""
		if name != g.ID {
			second = g.ID
		}
		checked, due := day(g.Checked), day(g.Due)
		if checked == "" {
			checked = "—"
		}
		if due == "" {
			due = "not set"
		}
		t.Rows = append(t.Rows, Row{Strong: bad, Cells: []Cell{
			{Text: name, Second: second}, {Text: gaugeKind(g)}, {Text: plain(g.Resolution, places)}, {Text: allowed(w, g)},
			{Text: kinds(g)}, {Text: checked}, {Text: due}, {Text: string(state), Bold: bad}}, Note: shortName(g.Note(), mostReason)})
	}
	if len(t.Rows) == 0 {
		s.Blocks = append(s.Blocks, Block{Text: "No gauge is named in this batch."})
		return s
	}
	s.Blocks = append(s.Blocks, Block{Table: t})
	if w.o.Blank {
		return s
	}
	text := "The state is that of " + stamp(w.b.AsOf) + "."
	if overdue > 0 {
		text += " " + sentence(plural(overdue, "gauge is", "gauges are")+" not in date; the uncertainties below hold only if a check finds the gauge within its allowed error")
	}
	s.Blocks = append(s.Blocks, Block{Text: text})
	s.Blocks = append(s.Blocks, temperatures(w)...)
	return s
}

func gaugeKind(g qc.Gauge) string {
	s := string(g.Kind)
	if g.Kind == qc.Tape {
		s += " class " + string(g.Class)
		if g.EndFace {
			s += ", from its end"
		}
	}
	return s
}

// allowed is the error the gauge may have over the lengths it is used for in this batch.
func allowed(w work, g qc.Gauge) string {
	seen := ""
	for _, c := range w.b.Target.Round {
		if !g.Covers(c.Kind) {
			continue
		}
		e := exact(g.PermissibleError(c.Nominal))
		if g.Kind == qc.Tape && c.Nominal > 0 {
			e += " at " + plain(c.Nominal, 0)
		}
		if !strings.Contains(seen, e) {
			if seen != "" {
				seen += "; "
			}
			seen += e
		}
	}
	if seen == "" {
		return exact(g.PermissibleError(0))
	}
	return seen
}

func kinds(g qc.Gauge) string {
	var out []string
	for _, k := range g.Measures {
		out = append(out, string(k))
	}
	return strings.Join(out, ", ")
}
