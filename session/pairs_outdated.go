package session

// pairsChange is the first thing found that happened since the pairs were confirmed; the zero one is none.
type pairsChange struct {
	what changeKind
	a, b string // the ribs concerned
}

type changeKind int

const (
	ribPassed changeKind = iota + 1
	ribChanged
	ribFails // it passed
	ruleChanged
	pairBarred
	pairFixed // locked
)

// outdated says why the confirmed pairs no longer stand; it is zero while they do, and without any.
func (in pairInput) outdated() pairsChange {
	if in.confirmed == nil {
		return pairsChange{}
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
			return pairsChange{ribPassed, r.id, ""}
		}
		if r.version > in.confirmed.seq {
			return pairsChange{ribChanged, r.id, ""}
		}
	}
	if in.confirmed.rule != in.ruleOr() {
		return pairsChange{what: ruleChanged}
	}
	for _, x := range in.confirmed.Pairs {
		for _, f := range in.barred {
			if f.is(x.A, x.B) {
				return pairsChange{pairBarred, f.a, f.b}
			}
		}
		if l, ok := in.lockOf(x.A); ok && !l.has(x.B) {
			return pairsChange{pairFixed, l.a, l.b}
		}
		if l, ok := in.lockOf(x.B); ok && !l.has(x.A) {
			return pairsChange{pairFixed, l.a, l.b}
		}
		for _, id := range []string{x.A, x.B} {
			if !passing[id] {
				return pairsChange{ribFails, id, ""}
			}
		}
	}
	for _, id := range in.confirmed.Spares {
		if !passing[id] {
			return pairsChange{ribFails, id, ""}
		}
	}
	return pairsChange{}
}
