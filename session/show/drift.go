package show

import (
	"fmt"
	"strings"

	"springline/qc"
	"springline/qc/words"
	"springline/session/derive"
)

// DriftView is what the bench says about the jig: one sentence, or why there is none.
type DriftView struct {
	Text  string `json:"text"`  // what changed, since which rib, what to do; empty while nothing did
	Note  string `json:"note"`  // how much it rests on
	Key   string `json:"key"`   // names the finding, so that it is told once
	Quiet string `json:"quiet"` // what stands there while nothing is said
}

// shownDrift says what the drift watch found, nil before the first rib.
func shownDrift(d derive.DriftFound) *DriftView {
	switch {
	case len(d.Bent) == 0:
		return nil
	case !d.Found:
		return &DriftView{Quiet: words.English.Say(qc.DriftQuiet(d.Target, d.Bent))}
	}
	return &DriftView{Text: words.English.Say(d.Said), Note: words.English.Say(d.Basis), Key: fmt.Sprintf("%s %s %s", d.Kind, d.Char, d.Rib)}
}

// DriftSheet is the chart of one characteristic in words and numbers.
type DriftSheet struct {
	Char  string     `json:"char"`
	Label string     `json:"label"`
	Chars []CharName `json:"chars"` // what else can be looked at
	Text  string     `json:"text"`  // the sentence of this series, or the quiet word
	Lines []Fact     `json:"lines"`
	Rows  []DriftRow `json:"rows"` // in bend order
}

// Fact is one thing said with its name.
type Fact struct {
	Name  string `json:"name"`
	Value string `json:"value"`
}

func facts(lines []qc.Line) []Fact {
	list := make([]Fact, len(lines))
	for i, l := range lines {
		list[i] = Fact(l)
	}
	return list
}

// CharName names a characteristic.
type CharName struct {
	Char  string `json:"char"`
	Label string `json:"label"`
}

// DriftRow is one rib of the chart: lengths in mm, averages and sums in standard deviations of what came
// before.
type DriftRow struct {
	Rib     string `json:"rib"`
	Jig     string `json:"jig"`
	Lot     string `json:"lot"`
	Dev     string `json:"dev"`
	Range   string `json:"range"`
	Average string `json:"average"`
	Up      string `json:"up"`
	Down    string `json:"down"`
}

// NewDriftSheet works out the chart of a characteristic, of the first of the round where char is empty. An
// unknown one is a *words.Refusal.
func NewDriftSheet(b qc.Batch, char string) (DriftSheet, error) {
	c, err := charOf(b.Target, char)
	if err != nil {
		return DriftSheet{}, err
	}
	bent := b.Bent()
	d := qc.NewDrift(b.Target, bent, c.ID)
	s := DriftSheet{Char: string(c.ID), Label: c.Label(), Chars: charNames(b.Target), Lines: facts(d.Lines()), Rows: []DriftRow{}}
	f, ok := d.Finding()
	switch {
	case ok:
		s.Text = words.English.Say(f.Said)
	case d.Now() == nil:
		s.Text = fmt.Sprintf("No rib has its %s measured yet.", c.Label())
	case !d.Now().Limits:
		s.Text = fmt.Sprintf("Nothing is said of %s below %d ribs off one set-up and lot.", c.Label(), qc.DriftFrom)
	default:
		s.Text = fmt.Sprintf("No sign of a change in %s.", c.Label())
	}
	for _, st := range d.Stretches {
		for i, p := range st.Points {
			row := DriftRow{Rib: p.ID, Jig: p.Jig, Lot: p.Lot, Dev: words.Tenth(p.Dev),
				Average: strings.Replace(fmt.Sprintf("%+.2f", p.Average+0), "+0.00", "0.00", 1),
				Up:      fmt.Sprintf("%.2f", p.SumUp), Down: fmt.Sprintf("%.2f", p.SumDown)}
			if i > 0 {
				row.Range = fmt.Sprintf("%.2f", p.Range)
			}
			s.Rows = append(s.Rows, row)
		}
	}
	return s, nil
}

// charOf is the characteristic named, the first of the round for none.
func charOf(t qc.Target, char string) (qc.Characteristic, error) {
	if char == "" && len(t.Round) > 0 {
		return t.Round[0], nil
	}
	c, ok := t.Characteristic(qc.CharID(char))
	if !ok {
		return qc.Characteristic{}, words.Problem(words.CodeUnknown, "char", "name one of the round", "the round has no characteristic %q", char)
	}
	return c, nil
}

func charNames(t qc.Target) []CharName {
	var list []CharName
	for _, c := range t.Round {
		list = append(list, CharName{string(c.ID), c.Label()})
	}
	return list
}
