package reports

import (
	"fmt"
	"strings"

	"springline/reports/draw"
)

// cautions are printed on every report and on every empty sheet.
func cautions() Section {
	return Section{Key: "cautions", Title: "Cautions", Blocks: []Block{{List: []string{
		"A bar bent on the jig is a loaded spring: let go at once, its tips whip out by two metres and more. Hold or tie both ends, release slowly, " +
			"and keep everybody out of the sweep: beyond the tips, in the plane of the arch, and between the legs.",
		"Legs that cross on a tight jig trap hands. Keep hands clear of the crossing, and anchor the jig before bending.",
		"Cut ends are sharp, and hot after cutting: deburr or cap them. A cap that only stops scratches does not save a person who falls onto an upright bar.",
		"Wear gloves, eye protection and boots: scale flies off as the bar bends, and a bar left in the sun can burn.",
		"Bend cold only, no torch, and not when the bar is below about 5 °C or carries ice. Do not weld a bar unless its grade is known to allow it.",
		"Every re-bend uses up some of the bar's ductility: look for cracks, and scrap a rib rather than bend it back and forth.",
		"This report checks shape only. It says nothing on strength, fixing or load. Local codes and a licensed engineer decide, above all where people pass " +
			"below, where anything is hung or grown on the ribs, and where wind or snow can load them.",
		"It is not a certificate, and it does not make the bars fit for use as concrete reinforcement.",
	}}}}
}

const relatesOnly = "This report relates only to the ribs listed in it, as they were when measured. It may be copied only as a whole."

// record names the stretch of the record that the report was made from, for people and as a code.
func record(w work) (Section, error) {
	r := w.b.Record
	s := Section{Key: "record", Title: "Record", Together: true}
	code, err := draw.QR(codeText(w), 30)
	if err != nil {
		return Section{}, err
	}
	s.Blocks = append(s.Blocks, Block{Coded: &Coded{Code: code, Facts: []Fact{
		{"Bench", r.Bench},
		{"Epoch", fmt.Sprint(r.Epoch)},
		{"Records", fmt.Sprintf("%d to %d", r.First, r.Last)},
		{"Head", spaced(r.Head)},
		{"Report", reportID(w.b)},
	}}}, Block{Text: "The head is the SHA-256 chain value of the last record. It changes if any record before it is changed, so a report can be held against the record later. The code holds the same numbers."})
	return s, nil
}

// codeText holds no text that a person wrote: only numbers of ours.
func codeText(w work) string {
	r := w.b.Record
	return strings.ToUpper(fmt.Sprintf("springline:1 epoch:%d records:%d-%d head:%s", r.Epoch, r.First, r.Last, r.Head))
}

// spaced cuts a long chain value into groups of sixteen, so that it can be read aloud and wrapped.
func spaced(head string) string {
	var b strings.Builder
	for i, c := range head {
		if i > 0 && i%16 == 0 {
			b.WriteByte(' ')
		}
		b.WriteRune(c)
	}
	return b.String()
}

// signatures closes the report; what is signed for stands in the same place, so that no signature can
// stand on a sheet of its own.
func signatures(w work) Section {
	s := Section{Key: "signatures", Title: "Signed for", Together: true}
	if !w.o.Blank {
		s.Blocks = append(s.Blocks, Block{Text: finding(w)}, Block{Table: verdictTable(w, false)})
	}
	s.Blocks = append(s.Blocks, Block{Text: relatesOnly}, Block{Signers: []Signer{{Part: "Maker", Name: w.b.Maker}, {Part: "Checker"}}})
	return s
}
