package words

// English is what page, paper and terminal say.
var English = language(englishFamilies)

// known has a sample of every kind of finding, by its code: English says them all.
var known = samples(englishFamilies)

var englishFamilies = [][]saying{
	englishHeld,
	englishDecide,
	englishRefused,
	englishNotices,
	englishPairs,
	englishSpares,
	englishDrift,
	englishVerdict,
}

func samples(families [][]saying) map[Code]Finding {
	all := map[Code]Finding{}
	for _, family := range families {
		for _, s := range family {
			all[s.sample.Code()] = s.sample
		}
	}
	return all
}

// Label is the characteristic in the words of the bench.
func (c Char) Label() string {
	switch c {
	case "tip":
		return "tip-to-tip"
	case "crown":
		return "crown height"
	case "leg-a":
		return "leg A"
	case "leg-b":
		return "leg B"
	case "diameter":
		return "bar diameter"
	case "twist":
		return "twist"
	}
	return "station " + string(c)
}
