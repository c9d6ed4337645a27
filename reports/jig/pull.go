package jig

import (
	"fmt"
	"math"

	"springline/qc/bend"
	"springline/reports/typeset"
)

// pull is the effort block by block; both sides are alike, so one row serves a pair.
func (s Sheet) pull(y typeset.Yard) typeset.Section {
	sec := typeset.Section{Key: "pull", Title: "Pull at the tip, block by block", Together: true}
	p := s.Plan
	hard, ok := p.HardestPull()
	if !ok {
		sec.Blocks = y.Say("The bar's yield is not known, so neither is the pull.")
		return sec
	}
	n := len(p.Pulls)
	word := "one person can pull it by hand"
	switch {
	case math.IsInf(hard.Force, 1):
		word = "NOT BY HAND at the end blocks, where nothing is left to pull at: slide a pipe over the end"
	case hard.Force > bend.PullNever:
		word = "NOT BY HAND at the end blocks: use a long pipe, a winch or a helper with one"
	case hard.Force > bend.PullAlone:
		word = "use a pipe over the leg or a second person towards the end blocks"
	}
	sec.Blocks = append(sec.Blocks, y.Say(
		fmt.Sprintf("From the middle of the bar outwards: %s. The pull is the plastic moment of %.0f N m over the length still free; "+
			"above %.0f N (15 kg, a filter for one person's first pull in HSE Research Report 228) take a pipe or a helper, above %.0f N "+
			"(common practice, no source) it is not by hand. "+
			"A pipe over the leg reaches no closer than the mark at the end of the "+
			"arc.", word, p.Pulls[0].Pipe*bend.PullAlone/1000, bend.PullAlone, bend.PullNever))...)
	rows := [][]string{}
	for _, i := range s.pullRows() {
		b := p.Pulls[i]
		name := fmt.Sprintf("%d and %d", i+1, n-i)
		if p.Half {
			name = fmt.Sprint(i + 1)
		}
		if n%2 == 1 && i == n/2 && !p.Half {
			name = fmt.Sprintf("%d, crown", i+1)
		}
		force, lever := fmt.Sprintf("%.0f", b.Force), fmt.Sprintf("%.0f", b.Lever)
		say := "by hand"
		switch {
		case math.IsInf(b.Force, 1):
			force, say = "—", "pipe"
		case b.Force > bend.PullNever:
			say = "not by hand"
		case b.Force > bend.PullAlone:
			say = "pipe or helper"
		}
		rows = append(rows, []string{name, lever, force, say, fmt.Sprintf("%.0f", b.Pipe)})
	}
	heads := []string{"Blocks", "free length\nmm", "pull\nN", "\n", fmt.Sprintf("lever for %.0f N\nmm", bend.PullAlone)}
	sec.Blocks = append(sec.Blocks, y.Table(heads,
		[]float64{36, 36, 30, 46, 42}, rows, func(i int) bool { return false }))
	return sec
}

// pullRows are the blocks that the pull is listed for, from the middle of the bar outwards, at most ten or so.
func (s Sheet) pullRows() []int {
	n := len(s.Plan.Pulls)
	from, to, sign := (n-1)/2, 0, -1
	if s.Plan.Half {
		from, to, sign = 0, n-1, 1
	}
	count := (to-from)*sign + 1
	step := max(1, (count+8)/9)
	var rows []int
	for k := 0; k < count; k += step {
		rows = append(rows, from+sign*k)
	}
	if last := rows[len(rows)-1]; last != to {
		rows = append(rows, to)
	}
	return rows
}
