package length

import (
	"strconv"
	"strings"
)

// Unit is a unit that people write. The zero value is no unit.
type Unit uint8

// The units of typed entries and printed results.
const (
	noUnit Unit = iota
	MM
	CM
	M
	IN
	FT
	THOU
)

var unitTable = [...]struct {
	name string
	size Length
}{noUnit: {"", 0}, MM: {"mm", Millimetre}, CM: {"cm", Centimetre}, M: {"m", Metre},
	IN: {"in", Inch}, FT: {"ft", Foot}, THOU: {"thou", Thou}}

// String returns the unit's sign: mm, cm, m, in, ft or thou.
func (u Unit) String() string {
	if int(u) < len(unitTable) {
		return unitTable[u].name
	}
	return "Unit(" + strconv.Itoa(int(u)) + ")"
}

// Size returns one unit as a length, 0 for no unit.
func (u Unit) Size() Length {
	if int(u) < len(unitTable) {
		return unitTable[u].size
	}
	return 0
}

// UnitNamed returns the unit of that sign, case ignored.
func UnitNamed(sign string) (Unit, bool) {
	for u := MM; int(u) < len(unitTable); u++ {
		if strings.EqualFold(unitTable[u].name, sign) {
			return u, true
		}
	}
	return noUnit, false
}
