package words

// samplesOf are findings whose arguments are taken from a short list.
var samplesOf = map[Code]Finding{
	"value.not-checked": NotChecked{Gauge: "Tape 1", State: "never checked"},
}

// others are what such an argument is changed to.
var others = map[string]string{}
