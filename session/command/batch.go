package command

import (
	"fmt"
	"strings"

	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// NextLot sets the lot of the next rib.
type NextLot struct {
	Lot string `json:"lot" most:"120" doc:"the lot"`
}

func (NextLot) op() Op { return "lot" }

func nextLot(d *Desk, o *book.Batch, s Sent, c NextLot) (any, error) {
	if _, ok := d.Book.Lot(c.Lot); !ok {
		return nil, words.Problem(words.CodeUnknown, "lot", "enter the lot first", "stock lot %q is not on record", c.Lot)
	}
	return log.NextSetBody{Batch: o.Body.ID, Lot: c.Lot, By: s.By, Keyed: s.keyed()}, nil
}

// NextJig sets the jig of the next rib.
type NextJig struct {
	Jig string `json:"jig" most:"120" doc:"the set-up"`
}

func (NextJig) op() Op { return "jig" }

func nextJig(d *Desk, o *book.Batch, s Sent, c NextJig) (any, error) {
	if _, ok := d.Book.Jig(c.Jig); !ok {
		return nil, words.Problem(words.CodeUnknown, "jig", "enter the jig first", "jig %q is not on record", c.Jig)
	}
	return log.NextSetBody{Batch: o.Body.ID, Jig: c.Jig, By: s.By, Keyed: s.keyed()}, nil
}

// JigBuilt enters a jig as it was built.
type JigBuilt struct {
	Text string `json:"text" most:"2000" lines:"yes" doc:"radius of the block faces"`
	Jig  string `json:"jig" need:"no" most:"120" doc:"its name; the next number when left out"`
}

func (JigBuilt) op() Op { return "jig-built" }

// jigBuilt records a jig as built for the next rib.
func jigBuilt(d *Desk, o *book.Batch, s Sent, c JigBuilt) (any, error) {
	l, err := length.Parse(c.Text, length.Options{DefaultUnit: length.MM})
	if err != nil {
		return nil, words.Problem(words.CodeBadValue, "text", `give the radius of the block faces as built, such as "683 mm"`,
			"enter the jig as built: %v", err)
	}
	bar := o.Target.Bar.Diameter
	if l < 4*bar || l > length.Limit {
		return nil, words.Problem(words.CodeBadValue, "text", "measure the radius of the block faces and enter that",
			"enter the jig as built: a face radius of %s mm for a %s mm bar", l, bar)
	}
	id := strings.TrimSpace(c.Jig)
	if id == "" {
		for n := len(d.Book.Jigs) + 1; ; n++ {
			id = fmt.Sprintf("jig-%d", n)
			if _, ok := d.Book.Jig(id); !ok {
				break
			}
		}
	} else if _, ok := d.Book.Jig(id); ok {
		return nil, words.Problem(words.CodeExists, "jig", "give the rebuilt jig another name",
			"enter the jig as built: %q is on record already", id)
	}
	old, _ := d.Book.Jig(o.Jig)
	return log.NextSetBody{Batch: o.Body.ID, Jig: id, FaceRadiusNM: int64(l), Blocks: old.Blocks, By: s.By, Keyed: s.keyed()}, nil
}

// Note puts a remark on the report.
type Note struct {
	Text string `json:"text" most:"2000" lines:"yes" doc:"the remark"`
	Rib  string `json:"rib" need:"no" most:"120" doc:"the rib that it is about"`
}

func (Note) op() Op { return "note" }

func note(d *Desk, o *book.Batch, s Sent, c Note) (any, error) {
	if c.Text == "" {
		return nil, words.Problem(words.CodeMissing, "text", "write what is to be noted", "the note is empty")
	}
	if c.Rib != "" && o.Rib(c.Rib) == nil {
		return nil, words.Problem(words.CodeUnknown, "rib", "", "batch %q has no rib %q", o.Body.ID, c.Rib)
	}
	return log.NotedBody{Batch: o.Body.ID, Rib: c.Rib, Text: c.Text, By: s.By, Keyed: s.keyed()}, nil
}

// CloseBatch closes the open batch.
type CloseBatch struct{}

func (CloseBatch) op() Op { return "close" }

func closeBatch(d *Desk, o *book.Batch, s Sent, c CloseBatch) (any, error) {
	if n := o.Waiting(); n > 0 {
		return nil, words.Problem(words.CodeHeld, "held", "take each or throw it out, then close",
			"%d values of batch %q wait for an answer", n, o.Body.ID)
	}
	if st := d.Book.OpenStudy(); st != nil {
		return nil, words.Problem(words.CodeHeld, "study", "finish it or cancel it, then close",
			"gauge study %q of batch %q is open", st.ID, o.Body.ID)
	}
	return log.BatchClosedBody{Batch: o.Body.ID, By: s.By, Keyed: s.keyed()}, nil
}
