package calc

import "slices"

// Kinds is the whole table. A subject that gains a computation adds it to its own list.
func Kinds() []Kind {
	return slices.Concat(
		kindsLength(), kindsGauge(), kindsTape(), kindsDecide(),
		kindsBend(), kindsJig(), kindsPair(), kindsStats(),
	)
}
