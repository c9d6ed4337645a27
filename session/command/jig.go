package command

import (
	"fmt"
	"strings"

	"springline/qc/length"
	"springline/qc/words"
	"springline/session/log"
)

// JigBuilt enters a jig as it was built.
type JigBuilt struct {
	Text string `json:"text" most:"2000" lines:"yes" doc:"radius of the block faces"`
	Jig  string `json:"jig" need:"no" most:"120" doc:"its name; the next number when left out"`
}

func (JigBuilt) op() Op { return "jig-built" }

// jigBuilt records a jig as built for the next rib.
func jigBuilt(d *Desk, s Sent, c JigBuilt) (log.Event, error) {
	o, err := d.openBatch()
	if err != nil {
		return log.Event{}, err
	}
	l, err := length.Parse(c.Text, length.Options{DefaultUnit: length.MM})
	if err != nil {
		return log.Event{}, words.Problem(words.CodeBadValue, "text", `give the radius of the block faces as built, such as "683 mm"`,
			"enter the jig as built: %v", err)
	}
	bar := o.Target.Bar.Diameter
	if l < 4*bar || l > length.Limit {
		return log.Event{}, words.Problem(words.CodeBadValue, "text", "measure the radius of the block faces and enter that",
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
		return log.Event{}, words.Problem(words.CodeExists, "jig", "give the rebuilt jig another name",
			"enter the jig as built: %q is on record already", id)
	}
	old, _ := d.Book.Jig(o.Jig)
	return log.Event{Kind: log.NextSet, Body: log.NextSetBody{Batch: o.Body.ID, Jig: id, FaceRadiusNM: int64(l), Blocks: old.Blocks, By: s.By, Keyed: s.keyed()}}, nil
}
