package words

import "fmt"

// englishPairs goes on from "since the pairs were confirmed", but for the last.
var englishPairs = []saying{
	say(func(f RibPassedSince) string { return fmt.Sprintf("rib %s passed", f.Rib) }),
	say(func(f RibChangedSince) string { return fmt.Sprintf("rib %s changed", f.Rib) }),
	say(func(f RibFailsSince) string { return fmt.Sprintf("rib %s no longer passes", f.Rib) }),
	fixed[PairRuleSince]("the pairing rule changed"),
	say(func(f PairForbiddenSince) string { return fmt.Sprintf("the pair of %s and %s was forbidden", f.A, f.B) }),
	say(func(f PairLockedSince) string { return fmt.Sprintf("ribs %s and %s were locked together", f.A, f.B) }),
	say(func(f LockLoose) string {
		return fmt.Sprintf("The pair of %s and %s was locked; rib %s no longer passes.", f.A, f.B, f.Fails)
	}),
}
