package words

// Cautions are printed on every report, on every empty sheet and on every jig sheet.
func Cautions() []string {
	return []string{
		"A bar bent on the jig is a loaded spring: let go at once, its tips whip out by two metres and more. Hold or tie both ends, " +
			"release slowly, and keep everybody out of the sweep: beyond the tips, in the plane of the arch, and between the legs.",
		"Legs that cross on a tight jig trap hands. Keep hands clear of the crossing, and anchor the jig before bending.",
		"Cut ends are sharp, and hot after cutting: deburr or cap them. A cap that only stops scratches does not save a person who " +
			"falls onto an upright bar.",
		"Wear gloves, eye protection and boots: scale flies off as the bar bends, and a bar left in the sun can burn.",
		"Bend cold only, no torch, and not when the bar is below about 5 °C or carries ice. Do not weld a bar unless its grade is " +
			"known to allow it.",
		"Every re-bend uses up some of the bar's ductility: look for cracks, and scrap a rib rather than bend it back and forth.",
		"This report checks shape only. It says nothing on strength, fixing or load. Local codes and a licensed engineer decide, " +
			"above all where people pass below, where anything is hung or grown on the ribs, and where wind or snow can load them.",
		"It is not a certificate, and it does not make the bars fit for use as concrete reinforcement.",
	}
}
