package wire

type familyRow struct {
	name string
	make func(*Decoder) (family, error)
}

// families is the table of all frame families.
func families() []familyRow {
	return []familyRow{
		{Line, newLine},
		{Fixed, newFixed},
		{Query, newQuery},
		{Stream, newStream},
		{BCD, newBCD},
		{Keyboard, newKeyboard},
	}
}

func familyNames() []string { return []string{Line, Fixed, Query, Stream, BCD, Keyboard} }
