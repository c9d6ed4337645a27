package session

import "springline/qc/words"

// outdated is the first thing found that happened since the pairs were confirmed, so that they no longer
// stand; nil while they do, and without any.
func (in pairInput) outdated() words.Finding {
	if in.confirmed == nil {
		return nil
	}
	member := map[string]bool{}
	for _, x := range in.confirmed.Pairs {
		member[x.A], member[x.B] = true, true
	}
	for _, id := range in.confirmed.Spares {
		member[id] = true
	}
	passing := map[string]bool{}
	for _, r := range in.ready {
		passing[r.id] = true
		if !member[r.id] {
			return words.RibPassedSince{Rib: r.id}
		}
		if r.version > in.confirmed.seq {
			return words.RibChangedSince{Rib: r.id}
		}
	}
	if in.confirmed.rule != in.ruleOr() {
		return words.PairRuleSince{}
	}
	for _, x := range in.confirmed.Pairs {
		for _, f := range in.barred {
			if f.is(x.A, x.B) {
				return words.PairForbiddenSince{A: f.a, B: f.b}
			}
		}
		if l, ok := in.lockOf(x.A); ok && !l.has(x.B) {
			return words.PairLockedSince{A: l.a, B: l.b}
		}
		if l, ok := in.lockOf(x.B); ok && !l.has(x.A) {
			return words.PairLockedSince{A: l.a, B: l.b}
		}
		for _, id := range []string{x.A, x.B} {
			if !passing[id] {
				return words.RibFailsSince{Rib: id}
			}
		}
	}
	for _, id := range in.confirmed.Spares {
		if !passing[id] {
			return words.RibFailsSince{Rib: id}
		}
	}
	return nil
}
