package words

// samplesOf are findings whose arguments are taken from a short list.
var samplesOf = map[Code]Finding{
	"refused.no-length": NoLength{Text: "1.2.3", Unit: "mm"},
	"jig.drift":         JigDrift{Char: "tip", Kind: "creep", From: "03", To: "12", By: 4100000},
	"value.not-checked": NotChecked{Gauge: "Tape 1", State: "never"},
}

// others are what such an argument is changed to.
var others = map[string]string{"creep": "shift"}
