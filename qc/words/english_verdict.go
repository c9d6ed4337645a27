package words

import (
	"fmt"
	"strings"
)

// englishVerdict says why a rib has its verdict, in one sentence for the bench.
var englishVerdict = []saying{
	say(func(f StillToMeasure) string {
		var open []string
		for _, c := range f.Chars {
			open = append(open, c.Label())
		}
		return "still to measure: " + strings.Join(open, ", ")
	}),
	say(outOfLimits),
	say(func(f NearLimit) string {
		return fmt.Sprintf("%s is %s: too near the limit to prove either way with ±%s mm",
			f.Char.Label(), Tenth(f.Deviation), Fixed(f.Guard, tenthMM))
	}),
	say(func(f AllWithin) string {
		return fmt.Sprintf("all %d characteristics are within their limits", f.Chars)
	}),
}

func outOfLimits(f OutOfLimits) string {
	where, end := "over its upper", ""
	if f.Past <= 0 {
		where = "under its lower"
	}
	if f.NoBending {
		end = " and cannot be bent in"
	}
	return fmt.Sprintf("%s is %s, %s mm %s limit%s", f.Char.Label(), Tenth(f.Deviation), Fixed(max(f.Past, -f.Past), tenthMM), where, end)
}
