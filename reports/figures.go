package reports

import (
	"fmt"
	"strings"

	"springline/qc"
	"springline/reports/draw"
)

// textWidth is the width of the text block, the same on A4 and Letter.
const textWidth = 190.0

// figures draws the batch in bend order and the shape of the ribs that need a hand.
func figures(w work) []Section {
	if len(w.bent) == 0 {
		return nil
	}
	s := Section{Key: "charts", Title: "Deviations in bend order"}
	s.Blocks = append(s.Blocks, Block{Text: "Whiskers are U. Disc: in; open triangle: too near a limit to tell; solid diamond: out; ?: not measured. Heavy lines are the limits."})
	for _, c := range w.b.Target.Round {
		if c.Kind == qc.StationOffset {
			continue
		}
		d := deviationChart(w, c)
		s.Blocks = append(s.Blocks, Block{Figure: &d})
	}
	if d, ok := stationChart(w); ok {
		s.Blocks = append(s.Blocks, Block{Figure: &d})
	}
	out := []Section{s}
	if sp, ok := spring(w); ok {
		out = append(out, sp)
	}
	if sh, ok := shapes(w); ok {
		out = append(out, sh)
	}
	return out
}

func deviationChart(w work, c qc.Characteristic) draw.Drawing {
	p := w.places[c.ID]
	ch := baseChart(w, c)
	for _, r := range w.bent {
		j, _ := r.v.Of(c.ID)
		ch.Points = append(ch.Points, point(r, j, p, ""))
	}
	ch.Title = capital(c.Label()) + ": " + chartFinding(w, ch.Points)
	return ch.Drawing()
}

// stationChart shows for every rib the station that is furthest out, in the terms of its own limits.
// It stands only where all stations share their limits.
func stationChart(w work) (draw.Drawing, bool) {
	var cs []qc.Characteristic
	for _, c := range w.b.Target.Round {
		if c.Kind == qc.StationOffset {
			cs = append(cs, c)
		}
	}
	if len(cs) == 0 {
		return draw.Drawing{}, false
	}
	p := 0
	for _, c := range cs {
		if c.Lower != cs[0].Lower || c.Upper != cs[0].Upper {
			return draw.Drawing{}, false
		}
		p = max(p, w.places[c.ID])
	}
	ch := baseChart(w, cs[0])
	for _, r := range w.bent {
		var worst qc.Judgement
		open := false
		for _, c := range cs {
			j, _ := r.v.Of(c.ID)
			if !j.Measured {
				open = true
			} else if !worst.Measured || beyond(j) > beyond(worst) {
				worst = j
			}
		}
		if open {
			worst = qc.Judgement{}
		}
		ch.Points = append(ch.Points, point(r, worst, p, string(worst.Char.ID)+" "))
	}
	ch.Title = "Worst station of each rib: " + chartFinding(w, ch.Points)
	return ch.Drawing(), true
}

func beyond(j qc.Judgement) int64 { return int64(max(j.Dev.Dev-j.Char.Upper, j.Char.Lower-j.Dev.Dev)) }

func baseChart(w work, c qc.Characteristic) draw.Chart {
	return draw.Chart{
		W: textWidth, H: 56, Unit: "mm", XName: "No.",
		Lower: c.Lower.MM(), Upper: c.Upper.MM(),
		LowerText: "limit " + exactSigned(c.Lower), UpperText: "limit " + exactSigned(c.Upper),
	}
}

func point(r judged, j qc.Judgement, places int, prefix string) draw.ChartPoint {
	p := draw.ChartPoint{X: fmt.Sprint(r.Order), Group: shortName(r.Lot, 14), Mark: draw.MarkOpen}
	if !j.Measured {
		return p
	}
	p.Y, p.Half = j.Dev.Dev.MM(), 2*j.U.MM()
	p.Mark = map[qc.Lane]draw.Mark{qc.LaneIn: draw.MarkIn, qc.LaneOut: draw.MarkOut, qc.LaneUnsure: draw.MarkUnsure}[j.Lane]
	if j.Lane != qc.LaneIn {
		p.Note = prefix + signed(j.Dev.Dev, places)
	}
	return p
}

// chartFinding says in one line what the chart shows.
func chartFinding(w work, ps []draw.ChartPoint) string {
	var out, unsure, open []string
	for i, p := range ps {
		switch id := w.bent[i].ID; p.Mark {
		case draw.MarkOut:
			out = append(out, id)
		case draw.MarkUnsure:
			unsure = append(unsure, id)
		case draw.MarkOpen:
			open = append(open, id)
		}
	}
	if len(out)+len(unsure)+len(open) == 0 {
		return fmt.Sprintf("all %d in", len(ps))
	}
	var parts []string
	for _, p := range []struct {
		ids  []string
		what string
	}{{out, "out"}, {unsure, "too near to tell"}, {open, "not measured"}} {
		if len(p.ids) > 0 {
			parts = append(parts, fmt.Sprintf("%d %s%s", len(p.ids), p.what, some(p.ids)))
		}
	}
	if s := strings.Join(parts, "; "); len(s) <= 76 {
		return s + fmt.Sprintf(", of %d", len(ps))
	}
	return fmt.Sprintf("%d out; %d too near to tell; %d not measured, of %d", len(out), len(unsure), len(open), len(ps))
}

// shortName is a name cut to so many characters for a drawing; tables carry it whole.
func shortName(s string, most int) string {
	if rs := []rune(s); len(rs) > most {
		return string(rs[:most-1]) + "…"
	}
	return s
}

// some names up to four ribs with short names.
func some(ids []string) string {
	if len(ids) > 4 || len(strings.Join(ids, "")) > 40 {
		return ""
	}
	return " (" + strings.Join(ids, ", ") + ")"
}
