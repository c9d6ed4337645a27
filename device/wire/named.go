package wire

// NamedFormats is the table of formats that need no file, one for each common shape. They are named
// after what the frames look like, not after who makes the gauge.
func NamedFormats() []Format {
	return []Format{
		named(Line, "line", "number with its unit, a line each", func(f *Format) { f.Unit = "required" }),
		named(Line, "line-mm", "number in millimetres, no unit sent, a line each", func(f *Format) { f.Unit = "fixed:mm" }),
		named(Line, "line-in", "number in inches, no unit sent, a line each", func(f *Format) { f.Unit = "fixed:in" }),
		named(Line, "line-status", "number, unit, then B for low battery or H for hold", func(f *Format) {
			f.Unit = "required"
			f.Status = "suffix"
			f.StatusMap = map[string]string{"B": FlagLowBattery, "H": FlagHold}
		}),
		named(Line, "line-exponent-m", "number with exponent (NR3) in metres, a line each", func(f *Format) {
			f.Unit, f.Number = "fixed:m", "nr3"
		}),
		named(Query, "ask-read", "asked with READ? and a line feed, answers a number with exponent or without, in metres", func(f *Format) {
			f.Unit, f.Number, f.QueryHex = "fixed:m", "nrf", "524541443f0a"
		}),
		named(Query, "ask-return", "asked with a carriage return, answers a number in millimetres", func(f *Format) {
			f.Unit, f.QueryHex = "fixed:mm", "0d"
		}),
		named(Stream, "stream-mm", "sends numbers in millimetres all the time", func(f *Format) { f.Unit = "fixed:mm" }),
		named(Fixed, "two-channel", "# and two digits of channel, colon, sign, eight characters, carriage return", func(f *Format) {
			f.Unit, f.Layout = "fixed:mm", "'#' CC ':' sign 8-char number CR"
		}),
		named(BCD, "nibbles", "binary frame of six decimal digits with status and check byte", func(f *Format) {
			f.Layout = "A5 S D1 D2 D3 K 5A; S bit7 minus, bit6 inch, bit5 hold, bit4 low battery, bits3-0 decimals; " +
				"D six BCD digits high first; K=(S+D1+D2+D3) mod 256"
		}),
		named(Keyboard, "keyboard", "types a number in millimetres and Enter", func(f *Format) { f.Unit = "fixed:mm" }),
		named(Keyboard, "keyboard-in", "types a number in inches and Enter", func(f *Format) { f.Unit = "fixed:in" }),
	}
}

func named(family, name, note string, set func(*Format)) Format {
	f := DefaultFormat(family)
	f.Name, f.Note = name, note
	set(&f)
	return f
}

// NamedFormat returns the format of that name from [NamedFormats].
func NamedFormat(name string) (Format, bool) {
	for _, f := range NamedFormats() {
		if f.Name == name {
			return f, true
		}
	}
	return Format{}, false
}
