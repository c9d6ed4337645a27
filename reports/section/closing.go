package section

import (
	"fmt"
	"strings"

	"springline/qc"
	"springline/qc/words"
	"springline/reports/draw"
	"springline/reports/typeset"
)

// Cautions are printed on every report and on every empty sheet.
func Cautions() typeset.Section {
	return typeset.Section{Key: "cautions", Title: "Cautions", Blocks: []typeset.Block{{List: words.Cautions()}}}
}

// Record names the stretch of the record that the report was made from, for people and as a code. It fails
// where the code cannot hold it.
func Record(b qc.Batch) (typeset.Section, error) {
	r := b.Record
	// No text that a person wrote: only numbers of ours.
	code, err := draw.QR(strings.ToUpper(fmt.Sprintf("springline:1 epoch:%d records:%d-%d head:%s", r.Epoch, r.First, r.Last, r.Head)), 30)
	if err != nil {
		return typeset.Section{}, err
	}
	return typeset.Section{Key: "record", Title: "Record", Together: true, Blocks: []typeset.Block{
		{Coded: &typeset.Coded{Code: code, Facts: []typeset.Fact{
			fact("Bench", r.Bench),
			fact("Epoch", fmt.Sprint(r.Epoch)),
			fact("Records", fmt.Sprintf("%d to %d", r.First, r.Last)),
			fact("Head", spaced(r.Head)),
			fact("Report", ReportID(b)),
		}}},
		text("The head is the SHA-256 chain value of the last record. It changes if any record before it is changed, " +
			"so a report can be held against the record later. The code holds the same numbers."),
	}}, nil
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

// Signatures closes the report; what is signed for stands in the same place, so that no signature can
// stand on a sheet of its own.
func Signatures(b qc.Judged) typeset.Section {
	return signed(b.Maker, text(finding(b)), typeset.Block{Table: verdictTable(b, false)}, text(relatesOnly))
}

// BlankSignatures closes a sheet that is filled in by hand.
func BlankSignatures(b qc.Batch) typeset.Section { return signed(b.Maker, text(relatesOnly)) }

// StudySignatures closes the report on a gauge study.
func StudySignatures(b qc.Batch) typeset.Section {
	return signed(b.Maker, text("This sheet is about one gauge, one characteristic and the people named, as they measured then. "+
		"It says nothing on whether a rib is right."))
}

const relatesOnly = "This report relates only to the ribs listed in it, as they were when measured. It may be copied only as a whole."

func signed(maker string, blocks ...typeset.Block) typeset.Section {
	return typeset.Section{Key: "signatures", Title: "Signed for", Together: true, Blocks: append(blocks,
		typeset.Block{Signers: []typeset.Signer{{Part: "Maker", Name: maker}, {Part: "Checker"}}})}
}
