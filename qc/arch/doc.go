// Package arch is the geometry of a bent rib: one bar shaped as leg, arc, leg, lying in a plane.
//
// It goes forward from radius, leg and arc to what a tape reads (tip-to-tip, crown height, half
// chords, offsets at stations) and back from those readings to the shape, each with its uncertainty.
// It leaves to others: why a bar has that radius (qc/bend), what is tolerable and who is told (qc).
//
// Nouns. The tip line joins the two free leg ends. Tip-to-tip T is its length, negative once the legs
// have crossed. Crown height H is taken from the tip line to the crown mark, the middle of the bar.
// Lengths are float64 millimetres along the bar's centreline and angles are radians unless a name
// says otherwise; a caller that compares with a limit rounds to an exact length first.
//
// Caveats. A bar is inextensible here: bending a round bar to 40 diameters and more stretches its
// centreline by less than 0.1 %. T fixes the radius; H alone never does, since dH/dR changes sign.
package arch
