package command

import (
	"cmp"
	"fmt"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// Start starts a rib.
type Start struct {
	Rib  string `json:"rib" need:"no" most:"120" doc:"its number; the next one when left out"`
	Lot  string `json:"lot" need:"no" most:"120" doc:"its lot; that of the next rib when left out"`
	Text string `json:"text" need:"no" most:"2000" lines:"yes" doc:"length of its bar, where it was measured"`
}

func (Start) op() Op { return "start" }

func startRib(d *Desk, o *book.Batch, s Sent, c Start) (any, error) {
	id := c.Rib
	if id == "" {
		id = nextNumber(o)
	} else if o.Rib(id) != nil {
		return nil, words.Problem(words.CodeExists, "rib", "choose it, or give another number",
			"batch %q has a rib %q already", o.Body.ID, id)
	}
	lot := cmp.Or(c.Lot, o.Lot)
	if _, ok := d.Book.Lot(lot); !ok {
		return nil, words.Problem(words.CodeUnknown, "lot", "enter the lot first", "stock lot %q is not on record", lot)
	}
	var bar length.Length
	if c.Text != "" {
		var err error
		if bar, err = length.Parse(c.Text, length.Options{DefaultUnit: length.MM}); err == nil {
			err = o.Target.CheckBar(bar)
		}
		if err != nil {
			return nil, words.Problem(words.CodeBadValue, "text", "measure the whole bar again, or start the rib without its length",
				"start rib %q: %v", id, err)
		}
	}
	return log.RibBody{Batch: o.Body.ID, Rib: id, Lot: lot, Jig: o.Jig, Order: len(o.Ribs) + 1, BarLengthNM: int64(bar),
		By: s.By, Keyed: s.keyed()}, nil
}

// nextNumber is the first number from the count of ribs on that no rib has: 01, 02, ...
func nextNumber(o *book.Batch) string {
	for n := len(o.Ribs) + 1; ; n++ {
		if id := fmt.Sprintf("%02d", n); o.Rib(id) == nil {
			return id
		}
	}
}

// Choose makes an earlier rib the current one.
type Choose struct {
	Rib string `json:"rib" most:"120" doc:"the rib"`
}

func (Choose) op() Op { return "choose" }

func chooseRib(d *Desk, s Sent, c Choose) (any, error) {
	if c.Rib == "" {
		return nil, words.Problem(words.CodeMissing, "rib", "name the rib", "choose needs a rib")
	}
	_, r, err := d.ribFor(s, c.Rib, "")
	if err != nil {
		return nil, err
	}
	return log.RibChosenBody{Rib: r.ID, By: s.By, Keyed: s.keyed()}, nil
}

// Round starts a fresh round on a rib.
type Round struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Reason string `json:"reason" most:"2000" doc:"why"`
	Jig    string `json:"jig" need:"no" most:"120" doc:"the set-up, when the bar was wrapped again"`
}

func (Round) op() Op { return "round" }

func newRound(d *Desk, s Sent, c Round) (any, error) {
	_, r, err := d.ribFor(s, c.Rib, "")
	if err != nil {
		return nil, err
	}
	if err := needReason(c.Reason, "a fresh round"); err != nil {
		return nil, err
	}
	if _, ok := d.Book.Jig(c.Jig); c.Jig != "" && !ok {
		return nil, words.Problem(words.CodeUnknown, "jig", "enter it first", "jig %q is not on record", c.Jig)
	}
	return log.RoundBody{Rib: r.ID, Round: r.Round + 1, Reason: c.Reason, Jig: c.Jig, By: s.By, Keyed: s.keyed()}, nil
}

// Skip leaves a characteristic out of a round.
type Skip struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Char   string `json:"char" need:"no" most:"120" doc:"the characteristic; the next one of its round when left out"`
	Reason string `json:"reason" most:"2000" doc:"why"`
}

func (Skip) op() Op { return "skip" }

func skip(d *Desk, s Sent, c Skip) (any, error) {
	o, r, err := d.ribFor(s, c.Rib, c.Char)
	if err != nil {
		return nil, err
	}
	ch, err := charFor(o, r, c.Char)
	if err != nil {
		return nil, err
	}
	if err := needReason(c.Reason, "skipping "+ch.Label()); err != nil {
		return nil, err
	}
	if len(r.Counted(ch.ID)) >= ch.Repeats {
		return nil, words.Problem(words.CodeComplete, "char", "measure it again, or void its value",
			"%s of rib %q is measured", ch.Label(), r.ID)
	}
	if r.SkippedNow(ch.ID) {
		return nil, words.Problem(words.CodeSettled, "char", "", "%s of rib %q is skipped already", ch.Label(), r.ID)
	}
	return log.SkippedBody{Rib: r.ID, Char: string(ch.ID), Round: r.Round, Reason: c.Reason, By: s.By, Keyed: s.keyed()}, nil
}

// Pull records a correction.
type Pull struct {
	Rib    string `json:"rib" need:"no" most:"120" doc:"the rib; the current one when left out"`
	Before string `json:"before" need:"no" most:"120" doc:"the tips before; as measured when left out"`
	Loaded string `json:"loaded" most:"120" doc:"the tips under load"`
	Gauge  string `json:"gauge" need:"no" most:"120" doc:"the gauge; one that is bound to it when left out"`
}

func (Pull) op() Op { return "pull" }

// pull records a correction for later learning: tips before, under load.
func pull(d *Desk, s Sent, c Pull) (any, error) {
	o, r, err := d.ribFor(s, c.Rib, "")
	if err != nil {
		return nil, err
	}
	ch, ok := o.TargetOf(r).Characteristic(qc.Tip)
	if !ok {
		return nil, words.Problem(words.CodeUnknown, "char", "", "target %q has no tip-to-tip to pull", o.Target.Name)
	}
	g, err := d.gaugeFor(c.Gauge, ch)
	if err != nil {
		return nil, err
	}
	body := log.PulledBody{Rib: r.ID, Gauge: g.ID, By: s.By, Keyed: s.keyed()}
	before := c.Before
	if before == "" {
		d, ok := r.Deviation(ch)
		if !ok {
			return nil, words.Problem(words.CodeMissing, "before", "measure tip-to-tip first, or give it",
				"the tip-to-tip of rib %q before the pull is not known", r.ID)
		}
		body.BeforeNM = int64(d.Value)
	}
	for _, f := range []struct {
		name, text string
		into       *int64
	}{{"before", before, &body.BeforeNM}, {"loaded", c.Loaded, &body.LoadedNM}} {
		if f.name == "before" && before == "" {
			continue
		}
		e, err := readTyped(f.text, g, f.name == "loaded") // below zero once the legs have passed each other
		if err != nil {
			return nil, badText(f.name, f.text, "the tips "+f.name+" the pull", err)
		}
		*f.into = int64(e.Length)
	}
	if body.BeforeNM == body.LoadedNM || body.BeforeNM <= 0 || body.LoadedNM <= -int64(o.Target.BarLength()) {
		return nil, words.Problem(words.CodeBadValue, "loaded", "give the tip-to-tip while the rib is held under load",
			"tips at %s mm before and %s mm under load are no pull", length.Length(body.BeforeNM), length.Length(body.LoadedNM))
	}
	return body, nil
}
