package picture

import (
	"fmt"
	"strings"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/reports/draw"
)

// Deviations draws one characteristic of every rib in bend order, with its uncertainty and limits; the width
// is in mm.
func Deviations(b qc.Judged, c qc.Characteristic, width float64) draw.Drawing {
	ch := baseChart(c, width)
	for _, r := range b.InOrder {
		j, _ := r.Verdict.Of(c.ID)
		ch.Points = append(ch.Points, point(r, j, b.Step(c.ID), ""))
	}
	ch.Title = words.Capital(c.Label()) + ": " + chartFinding(b, ch.Points)
	return ch.Drawing()
}

// WorstStations draws for every rib the station that is furthest out. There is none where the stations have
// limits of their own; the width is in mm.
func WorstStations(b qc.Judged, width float64) (draw.Drawing, bool) {
	var cs []qc.Characteristic
	for _, c := range b.Target.Round {
		if c.Kind == qc.StationOffset {
			cs = append(cs, c)
		}
	}
	if len(cs) == 0 {
		return draw.Drawing{}, false
	}
	step := length.Millimetre
	for _, c := range cs {
		if c.Lower != cs[0].Lower || c.Upper != cs[0].Upper {
			return draw.Drawing{}, false
		}
		step = min(step, b.Step(c.ID))
	}
	ch := baseChart(cs[0], width)
	for _, r := range b.InOrder {
		var worst qc.Judgement
		open := false
		for _, c := range cs {
			j, _ := r.Verdict.Of(c.ID)
			if !j.Measured {
				open = true
			} else if !worst.Measured || beyond(j) > beyond(worst) {
				worst = j
			}
		}
		if open {
			worst = qc.Judgement{}
		}
		ch.Points = append(ch.Points, point(r, worst, step, string(worst.Char.ID)+" "))
	}
	ch.Title = "Worst station of each rib: " + chartFinding(b, ch.Points)
	return ch.Drawing(), true
}

func beyond(j qc.Judgement) int64 { return int64(max(j.Dev.Dev-j.Char.Upper, j.Char.Lower-j.Dev.Dev)) }

func baseChart(c qc.Characteristic, width float64) draw.Chart {
	return draw.Chart{
		W: width, H: 56, Unit: "mm", XName: "No.",
		Lower: c.Lower.MM(), Upper: c.Upper.MM(),
		LowerText: limitText(c.Lower), UpperText: limitText(c.Upper),
	}
}

func point(r qc.JudgedRib, j qc.Judgement, step length.Length, prefix string) draw.ChartPoint {
	p := draw.ChartPoint{X: fmt.Sprint(r.Order), Group: draw.Shorten(r.Lot, 14), Mark: draw.MarkOpen}
	if !j.Measured {
		return p
	}
	p.Y, p.Half = j.Dev.Dev.MM(), 2*j.U.MM()
	p.Mark = map[qc.Lane]draw.Mark{qc.LaneIn: draw.MarkIn, qc.LaneOut: draw.MarkOut, qc.LaneUnsure: draw.MarkUnsure}[j.Lane]
	if j.Lane != qc.LaneIn {
		p.Note = prefix + words.Signed(j.Dev.Dev, step)
	}
	return p
}

// chartFinding says in one line what the chart shows.
func chartFinding(b qc.Judged, ps []draw.ChartPoint) string {
	var out, unsure, open []string
	for i, p := range ps {
		switch id := b.InOrder[i].ID; p.Mark {
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

// some names up to four ribs with short names.
func some(ids []string) string {
	if len(ids) > 4 || len(strings.Join(ids, "")) > 40 {
		return ""
	}
	return " (" + strings.Join(ids, ", ") + ")"
}
