package derive

import (
	"testing"

	"springline/qc"
	"springline/qc/bend"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// changed asks of a question whether it is the same once one thing of it is another, and says which is not seen.
func changed[Q interface{ same(Q) bool }](t *testing.T, what string, make func() Q, changes map[string]func(*Q)) {
	t.Helper()
	if !make().same(make()) {
		t.Errorf("%s: asked twice it is another question", what)
	}
	for name, change := range changes {
		q := make()
		change(&q)
		if q.same(make()) || make().same(q) {
			t.Errorf("%s: another %s is not seen, and the old answer stays", what, name)
		}
	}
}

// An answer is kept while the question is the same: all that it looks at must be in the comparison.
func TestWhatAnAnswerLooksAt(t *testing.T) {
	changed(t, "jig", func() springInput {
		return springInput{Batch: "B1", Lot: "L1", Jig: "J1", Built: 1300, Bends: []qc.Bend{{Rib: "01", Jig: "J1", Test: bend.Test{Tip: 3550}}}}
	}, map[string]func(*springInput){
		"batch":            func(q *springInput) { q.Batch = "B2" },
		"lot":              func(q *springInput) { q.Lot = "L2" },
		"jig":              func(q *springInput) { q.Jig = "J2" },
		"radius built":     func(q *springInput) { q.Built++ },
		"bar more":         func(q *springInput) { q.Bends = append(q.Bends, qc.Bend{}) },
		"reading of a bar": func(q *springInput) { q.Bends[0].Tip++ },
	})
	changed(t, "pairs", func() pairInput {
		return pairInput{Batch: "B1", keep: []log.PairBody{{A: "01", B: "02"}},
			Ready: []readyRib{{id: "01", lot: "L1", version: 7, dev: []int32{1, 2}}},
			PairingState: book.PairingState{Barred: []book.TwoRibs{{A: "01", B: "03"}},
				Locked: []book.LockedPair{{TwoRibs: book.TwoRibs{A: "01", B: "04"}}}}}
	}, map[string]func(*pairInput){
		"batch":          func(q *pairInput) { q.Batch = "B2" },
		"pair to keep":   func(q *pairInput) { q.keep[0].B = "03" },
		"forbidden pair": func(q *pairInput) { q.Barred[0].B = "05" },
		"locked pair":    func(q *pairInput) { q.Locked[0].B = "05" },
		"rib":            func(q *pairInput) { q.Ready[0].id = "06" },
		"lot of a rib":   func(q *pairInput) { q.Ready[0].lot = "L2" },
		"deviation":      func(q *pairInput) { q.Ready[0].dev[1]++ },
	})
	later := pairInput{Batch: "B1", Ready: []readyRib{{id: "01", version: 8}}}
	if !later.same(pairInput{Batch: "B1", Ready: []readyRib{{id: "01", version: 7}}}) {
		t.Error("pairs: a later record that changes no deviation asks another question")
	}
	changed(t, "shape", func() shapeInput {
		return shapeInput{rib: "01", version: 7, verdict: qc.Verdict{Chars: []qc.Judgement{{Dev: qc.Deviation{Dev: 5}, U: 3}}}}
	}, map[string]func(*shapeInput){
		"rib":                         func(q *shapeInput) { q.rib = "02" },
		"version":                     func(q *shapeInput) { q.version++ },
		"deviation":                   func(q *shapeInput) { q.verdict.Chars[0].Dev.Dev++ },
		"uncertainty, as by a study,": func(q *shapeInput) { q.verdict.Chars[0].U++ },
	})
	changed(t, "drift", func() driftSeen {
		return driftSeen{batch: "B1", ribs: []ribSeen{{id: "01", jig: "J1", lot: "L1", dev: [2]qc.FirstDeviation{{Dev: 1}, {Dev: 2}}}}}
	}, map[string]func(*driftSeen){
		"batch":           func(q *driftSeen) { q.batch = "B2" },
		"jig":             func(q *driftSeen) { q.ribs[0].jig = "J2" },
		"tip deviation":   func(q *driftSeen) { q.ribs[0].dev[0].Dev++ },
		"crown deviation": func(q *driftSeen) { q.ribs[0].dev[1].Dev++ },
		"rib more":        func(q *driftSeen) { q.ribs = append(q.ribs, ribSeen{id: "02"}) },
	})
}

// An answer is worked out when somebody looks, once for every question.
func TestAnAnswerIsWorkedOutOnce(t *testing.T) {
	var a answer[springInput, int]
	n := 0
	ask := func(lot string) int { return a.to(springInput{Lot: lot}, func() int { n++; return n }) }
	for i, c := range []struct {
		lot  string
		want int
	}{{"", 1}, {"", 1}, {"L1", 2}, {"L1", 2}, {"", 3}} {
		if got := ask(c.lot); got != c.want {
			t.Errorf("question %d: answer %d, want %d", i+1, got, c.want)
		}
	}
}

// A verdict is kept under the rib's version, the gauges' and the batch: each makes it anew.
func TestAVerdictIsKeptWhileNothingChanged(t *testing.T) {
	s := book.New("bench-1")
	r := &book.Rib{Rib: qc.Rib{ID: "01", Round: 1}, Version: 5}
	tip := qc.Characteristic{ID: qc.Tip, Kind: qc.TipToTip, Repeats: 1}
	b := &book.Batch{Body: log.BatchBody{ID: "B1"}, Target: qc.Target{Round: []qc.Characteristic{tip}}, Ribs: []*book.Rib{r}, Weighed: 3}
	var k judgedRibs
	was := k.of(s, b)[0]
	if k.of(s, b)[0] != was {
		t.Error("judged again though nothing changed")
	}
	for name, change := range map[string]func(){
		"the rib changed": func() { r.Version++ }, "a gauge changed": func() { b.Weighed++ },
		"another batch has a rib of that name": func() { b.Body.ID += "x" },
	} {
		change()
		now := k.of(s, b)[0]
		if now == was {
			t.Errorf("%s, and the old verdict stays", name)
		}
		was = now
	}
}

// Pairs that were confirmed stand until something happens that they rest on.
func TestWhatOutdatesPairs(t *testing.T) {
	confirmed := func() pairInput {
		return pairInput{Confirmed: &book.Confirmed{Seq: 9, Rule: qc.DefaultPairRule,
			PairsBody: log.PairsBody{Pairs: []log.PairBody{{A: "01", B: "02"}}, Spares: []string{"03"}}},
			Ready: []readyRib{{id: "01", version: 9}, {id: "02", version: 8}, {id: "03", version: 7}}}
	}
	if why := confirmed().Outdated(); why != nil {
		t.Errorf("nothing happened and they are outdated: %v", why)
	}
	if why := (pairInput{}).Outdated(); why != nil {
		t.Errorf("none are confirmed and they are outdated: %v", why)
	}
	locked := func(a, b string) func(*pairInput) {
		return func(in *pairInput) { in.Locked = []book.LockedPair{{TwoRibs: book.TwoRibs{A: a, B: b}}} }
	}
	for _, c := range []struct {
		name   string
		want   words.Finding
		change func(*pairInput)
	}{
		{"a rib passes", words.RibPassedSince{Rib: "04"}, func(in *pairInput) { in.Ready = append(in.Ready, readyRib{id: "04"}) }},
		{"a rib was touched", words.RibChangedSince{Rib: "02"}, func(in *pairInput) { in.Ready[1].version = 10 }},
		{"another rule", words.PairRuleSince{}, func(in *pairInput) { in.Confirmed.Rule.Limit++ }},
		{"the pair forbidden", words.PairForbiddenSince{A: "02", B: "01"},
			func(in *pairInput) { in.Barred = []book.TwoRibs{{A: "02", B: "01"}} }},
		{"another pair forbidden", nil, func(in *pairInput) { in.Barred = []book.TwoRibs{{A: "02", B: "03"}} }},
		{"the first locked elsewhere", words.PairLockedSince{A: "01", B: "03"}, locked("01", "03")},
		{"the second locked elsewhere", words.PairLockedSince{A: "03", B: "02"}, locked("03", "02")},
		{"the pair itself locked", nil, locked("02", "01")},
		{"a rib of the pair fails", words.RibFailsSince{Rib: "02"}, func(in *pairInput) { in.Ready = append(in.Ready[:1], in.Ready[2]) }},
		{"a spare fails", words.RibFailsSince{Rib: "03"}, func(in *pairInput) { in.Ready = in.Ready[:2] }},
	} {
		in := confirmed()
		c.change(&in)
		if why := in.Outdated(); why != c.want {
			t.Errorf("%s: %#v, want %#v", c.name, why, c.want)
		}
	}
}

// A jig fits while what is wrong with it moves the tips by less than half their doubt, or is under half a millimetre.
func TestAJigThatFits(t *testing.T) {
	for _, c := range []struct {
		built     length.Length
		face      float64
		perFace   float64
		uTip      float64
		miss, off float64
		fits      bool
	}{
		{1300 * length.Millimetre, 1298, 3, 12, 6, 2, false},
		{1300 * length.Millimetre, 1298, 3, 12.1, 6, 2, true},
		{1300 * length.Millimetre, 1302, 3, 12, 6, -2, false},
		{1300 * length.Millimetre, 1302, -3, 12.1, 6, -2, true},
		{1300 * length.Millimetre, 1299.5, 100, 1, 50, 0.5, false},
		{1300 * length.Millimetre, 1300.4375, 100, 1, 43.75, -0.4375, true},
	} {
		a := JigAdvice{springInput: springInput{Built: c.built}, Advice: bend.Advice{Face: c.face, TipPerFace: c.perFace, UTip: c.uTip}}
		if a.Fits() != c.fits || a.Miss() != c.miss || a.Off() != c.off {
			t.Errorf("built %v, advised %g: fits %v, miss %g, off %g", c.built, c.face, a.Fits(), a.Miss(), a.Off())
		}
	}
}
