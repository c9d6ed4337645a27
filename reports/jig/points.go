package jig

import (
	"fmt"
	"math"

	"springline/reports/typeset"
)

// sheetRows is how many blocks a page lists at most.
const sheetRows = 34

// points lists what is taped out: the blocks, then the leg channels.
func (s Sheet) points(y typeset.Yard) []typeset.Section {
	n := len(s.Plan.Contacts)
	pages, per := (n+sheetRows-1)/sheetRows, min(n, sheetRows)
	heads := []string{"Block", "X\nmm", "Y\nmm", "from block 1\nmm", fmt.Sprintf("from block %d\nmm", n), "from top\nmm"}
	widths := []float64{26, 30, 30, 36, 36, 32}
	if s.Feet {
		heads = []string{"Block", "X\nmm", "X\nft in", "Y\nmm", "Y\nft in", "from 1\nmm", "from 1\nft in"}
		widths = []float64{22, 22, 32, 22, 32, 24, 36}
	}
	crown := -1
	if n%2 == 1 && !s.Plan.Half {
		crown = n / 2
	}
	var out []typeset.Section
	for from := 0; from < n; from += per {
		var rows [][]string
		for i := from; i < min(n, from+per); i++ {
			c := s.Plan.Contacts[i]
			name := fmt.Sprint(i + 1)
			if i == crown {
				name += " crown"
			}
			if i == 0 && s.Plan.Half {
				name += " middle"
			}
			first, last := distance(c, s.Plan.Contacts[0]), distance(c, s.Plan.Contacts[n-1])
			row := []string{name, one(c[0]), one(c[1]), one(first), one(last), one(s.Plan.CrownChord[i])}
			if s.Feet {
				row = []string{name, one(c[0]), feet(c[0]), one(c[1]), feet(c[1]), one(first), feet(first)}
			}
			rows = append(rows, row)
		}
		title := "Blocks: the point where each touches the bar"
		if pages > 1 {
			title += fmt.Sprintf(", %d to %d of %d", from+1, min(n, from+per), n)
		}
		at := from
		out = append(out, typeset.Section{Key: fmt.Sprintf("blocks-%d", from), Title: title, NewPage: true, Blocks: append(
			y.Say("From the datum corner: X to the right, Y up. Set each by X and Y, then check it with the tape by the distances from "+
				"block to block; all are straight lines between contact points; the top is the point of the face straight above the arc's centre."),
			y.Table(heads, widths, rows, func(i int) bool { return at+i == 0 || at+i == crown || at+i == n-1 }))})
	}
	if len(s.Plan.Channels) > 0 {
		out = append(out, s.channels(y))
	}
	return out
}

func (s Sheet) channels(y typeset.Yard) typeset.Section {
	p := s.Plan
	heads, widths := []string{"Point", "X\nmm", "Y\nmm"}, []float64{94, 30, 30}
	if s.Feet {
		heads, widths = []string{"Point", "X\nmm", "X\nft in", "Y\nmm", "Y\nft in"}, []float64{76, 25, 32, 25, 32}
	}
	var rows [][]string
	add := func(name string, q [2]float64) {
		row := []string{name, one(q[0]), one(q[1])}
		if s.Feet {
			row = []string{name, one(q[0]), feet(q[0]), one(q[1]), feet(q[1])}
		}
		rows = append(rows, row)
	}
	for _, c := range p.Channels {
		l := string(c.Leg)
		add(l+"1 keeper inside, near", c.Keepers[0])
		add(l+"2 keeper inside, far", c.Keepers[1])
		add(l+"3 keeper outside, near", c.Outer[0])
		add(l+"4 keeper outside, far", c.Outer[1])
		add(l+" tip, inside of the bar", c.End)
	}
	return typeset.Section{Key: "legs", Title: "Leg channels: where the straight legs come to lie", Together: true, Blocks: append(
		y.Say(fmt.Sprintf("Each leg is %s straight, from the end block along its tangent. The channel is %s wide: the bar over its "+
			"ribs and %.0f mm of clearance (common practice, no source); in it a leg can lie askew by %.2f degrees, which moves its tip "+
			"by up to %.0f mm.",
			s.Length(p.Leg, 0), s.Length(p.Width, 1), 3.0, p.Play*180/math.Pi, p.Leg*math.Sin(p.Play))),
		y.Table(heads, widths, rows, func(int) bool { return false }))}
}

func one(mm float64) string { return fmt.Sprintf("%.1f", mm) }

func distance(a, b [2]float64) float64 { return math.Hypot(a[0]-b[0], a[1]-b[1]) }
