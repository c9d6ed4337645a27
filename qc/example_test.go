package qc_test

import (
	"fmt"

	"springline/qc"
	"springline/qc/length"
)

const mm = length.Millimetre

// A tape of class II read to a millimetre over 2674 mm, twice, lifted and laid again within 2 mm.
func ExampleNewBudget() {
	tape := qc.Gauge{Kind: qc.Tape, Class: "II", Resolution: mm}
	b := qc.NewBudget(tape, qc.Use{At: 2674 * mm, HalfBand: 1 * mm, Readings: 2, AlphaBar: 11.5e-6, AlphaTape: 11.5e-6, EachK: 5})
	for _, s := range b.Shares() {
		fmt.Printf("%s: %.2f mm\n", s.Name, s.U/float64(mm))
	}
	fmt.Printf("together %.2f mm\n", b.Combined()/float64(mm))
	// Output:
	// friction on the bench: 0.58 mm
	// allowed error of the gauge: 0.52 mm
	// resolution: 0.29 mm
	// temperature: 0.13 mm
	// together 0.84 mm
}

// Limits of +-3 mm, each moved by the guard for 95 %: what lies between is proven neither way.
func ExampleDecide() {
	guard := qc.Guard(0.84e6, 0.95, 20)
	for _, dev := range []length.Length{1 * mm, -2 * mm, 4 * mm, 5 * mm} {
		fmt.Println(dev, "mm:", qc.Decide(dev, -3*mm, 3*mm, guard))
	}
	// Output:
	// 1 mm: in
	// -2 mm: unsure
	// 4 mm: unsure
	// 5 mm: out
}

// A rib 40 mm too wide at the tips, with its crown 5 mm low.
func ExampleJudge() {
	target, err := qc.NewArch(qc.ArchSpec{
		ID: "shelter", Revision: 1, Bar: qc.Bar{Diameter: 12 * mm}, Leg: 900 * mm, Arc: 4200 * mm, Radius: 1600 * mm,
		Face: qc.Outside, TolTip: 20 * mm, TolCrown: 25 * mm, Band: 2 * mm,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	tape := qc.Gauge{ID: "tape", Kind: qc.Tape, Class: "II", Resolution: mm, Measures: []qc.Kind{qc.TipToTip, qc.CrownHeight}}
	rib := qc.Rib{ID: "07", Lot: "L1", Round: 1}
	for i, off := range []length.Length{40 * mm, -5 * mm} {
		c := target.Round[i]
		rib.Measurements = append(rib.Measurements, qc.Measurement{Seq: int64(i + 1), Rib: rib.ID,
			Char: c.ID, Round: 1, Value: c.Nominal + off, Gauge: tape.ID})
	}
	v, err := qc.Judge(target, rib, func(string) (qc.Gauge, bool) { return tape, true }, qc.DefaultDecision)
	fmt.Println(v.Word, v.Worst, v.Direction, err)
	// Output: RE-BEND tip close <nil>
}
