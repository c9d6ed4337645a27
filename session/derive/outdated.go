package derive

import (
	"springline/qc/words"
)

// Outdated is the first thing found that happened since the pairs were confirmed, so that they no longer
// stand; nil while they do, and without any.
func (in pairInput) Outdated() words.Finding {
	if in.Confirmed == nil {
		return nil
	}
	member := map[string]bool{}
	for _, x := range in.Confirmed.Pairs {
		member[x.A], member[x.B] = true, true
	}
	for _, id := range in.Confirmed.Spares {
		member[id] = true
	}
	passing := map[string]bool{}
	for _, r := range in.Ready {
		passing[r.id] = true
		if !member[r.id] {
			return words.RibPassedSince{Rib: r.id}
		}
		if r.version > in.Confirmed.Seq {
			return words.RibChangedSince{Rib: r.id}
		}
	}
	if in.Confirmed.Rule != in.RuleOr() {
		return words.PairRuleSince{}
	}
	for _, x := range in.Confirmed.Pairs {
		for _, f := range in.Barred {
			if f.Is(x.A, x.B) {
				return words.PairForbiddenSince{A: f.A, B: f.B}
			}
		}
		if l, ok := in.LockOf(x.A); ok && !l.Has(x.B) {
			return words.PairLockedSince{A: l.A, B: l.B}
		}
		if l, ok := in.LockOf(x.B); ok && !l.Has(x.A) {
			return words.PairLockedSince{A: l.A, B: l.B}
		}
		for _, id := range []string{x.A, x.B} {
			if !passing[id] {
				return words.RibFailsSince{Rib: id}
			}
		}
	}
	for _, id := range in.Confirmed.Spares {
		if !passing[id] {
			return words.RibFailsSince{Rib: id}
		}
	}
	return nil
}
