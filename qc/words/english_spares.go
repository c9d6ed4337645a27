package words

import (
	"fmt"
	"strconv"
	"strings"
)

// englishSpares says why a rib is left without a partner.
var englishSpares = []saying{
	fixed[NoOtherRib]("there is no other rib to pair it with"),
	fixed[OddCount]("the number of ribs is odd; of all that could be left over, leaving this one is best"),
	fixed[AllForbidden]("every pair with it is forbidden"),
	say(func(f OverLimit) string {
		return fmt.Sprintf("no rib that it may be paired with is within the limit of %s; the nearest is %q with %s",
			Exact(f.Limit), f.Nearest, Exact(f.By))
	}),
	fixed[OthersNeed]("the ribs that it may be paired with are needed by others"),
	say(func(f OddGroup) string {
		return fmt.Sprintf("it may only be paired within a group of %d ribs (%s), an odd number; of these, leaving this one is best",
			f.Own.Count, ribNames(f.Own))
	}),
	say(func(f TooManyWant) string {
		text := ""
		if f.Own.Count > 1 {
			text = fmt.Sprintf("it belongs to an odd group of %d ribs (%s); ", f.Own.Count, ribNames(f.Own))
		}
		wanted := "one rib"
		if f.Wanted.Count != 1 {
			wanted = Count(f.Wanted.Count, "rib", "ribs")
		}
		return text + fmt.Sprintf("%s (%s) %s wanted by %d single ribs or odd groups that have no other partners; "+
			"more want a partner than there are",
			wanted, ribNames(f.Wanted), oneOf(f.Wanted.Count, "is", "are"), f.Wanting)
	}),
}

// ribNames are those of a group, with the number of those it does not name.
func ribNames(g Group) string {
	var list []string
	for _, r := range g.Ribs {
		list = append(list, strconv.Quote(r))
	}
	if more := g.Count - len(g.Ribs); more > 0 {
		list = append(list, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(list, ", ")
}
