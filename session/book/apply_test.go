package book

import (
	"encoding/json"
	"errors"
	"slices"
	"testing"
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/session/log"
	"springline/session/store"
)

const mm = length.Millimetre

// history is a book with the records that made it.
type history struct {
	*testing.T
	*Book
	head store.Head
	last store.Record
}

func (h *history) apply(kind log.Kind, body any) error {
	h.Helper()
	text, err := json.Marshal(body)
	if err != nil {
		h.Fatal(err)
	}
	at := time.Date(2026, 5, 4, 8, 0, int(h.head.Seq), 0, time.UTC)
	h.last = store.Seal(h.head, "bench-1", 1, string(kind), "", at, text)
	err = h.Apply(h.last)
	if err == nil {
		h.head = h.last.Head()
	}
	return err
}

func (h *history) takes(kind log.Kind, body any) int64 {
	h.Helper()
	if err := h.apply(kind, body); err != nil {
		h.Fatal(err)
	}
	if h.Seq != h.last.Seq || h.Head != h.last.Digest || h.Epoch != 1 || !h.At.Equal(h.last.At()) {
		h.Errorf("the book stands at record %d of epoch %d, %s", h.Seq, h.Epoch, h.At)
	}
	return h.last.Seq
}

func (h *history) refuses(why string, kind log.Kind, body any) {
	h.Helper()
	seq := h.Seq
	var e *RecordError
	if err := h.apply(kind, body); !errors.As(err, &e) || e.Seq != h.last.Seq || h.Seq != seq {
		h.Errorf("%s: %v, at record %d", why, err, h.Seq)
	}
}

// withRib has a tape, a batch and rib 01.
func withRib(t *testing.T) *history {
	t.Helper()
	h := &history{T: t, Book: New("bench-1")}
	target, err := qc.NewArch(qc.ArchSpec{ID: "a", Name: "a", Revision: 1, Bar: qc.Bar{Diameter: 12 * mm, Grade: "B500B", YieldMPa: 500},
		Leg: 900 * mm, Arc: 4200 * mm, Radius: 1600 * mm, Face: qc.Centre, TolTip: 12 * mm, TolCrown: 10 * mm, TolStation: 6 * mm, TipRepeats: 2})
	if err != nil {
		t.Fatal(err)
	}
	h.takes(log.GaugeSet, gauge("tape"))
	h.takes(log.TargetSet, log.Target(target))
	h.takes(log.BatchOpened, log.BatchBody{ID: "B1", Target: "a", Revision: 1, Rule: string(qc.Plain), Confidence: 0.95})
	h.takes(log.RibStarted, log.RibBody{Batch: "B1", Rib: "01", Order: 1})
	return h
}

func gauge(id string) log.GaugeStated {
	return log.GaugeStated{ID: id, Name: id, Kind: string(qc.Tape), Class: "I", ResolutionNM: int64(mm), Unit: "mm",
		Measures: []string{string(qc.TipToTip)}}
}

func read(v length.Length) log.ReadingBody {
	return log.ReadingBody{Gauge: "tape", Entry: string(qc.Sent), Text: v.String(), Unit: "mm", ValueNM: int64(v)}
}

// What does not follow from what came before is told by its record and leaves the book where it was.
func TestRecordsThatDoNotFollow(t *testing.T) {
	h := withRib(t)
	h.refuses("a kind of a later release", "rib-painted", struct{}{})
	h.refuses("a body that is none", log.Measured, []int{1})
	h.refuses("a batch of no target", log.BatchOpened, log.BatchBody{ID: "B2", Target: "a", Revision: 2})
	h.refuses("a rib twice", log.RibStarted, log.RibBody{Batch: "B1", Rib: "01"})
	h.refuses("a rib of another batch", log.RibStarted, log.RibBody{Batch: "B0", Rib: "02"})
	h.refuses("a rib that is not there", log.Measured, log.MeasuredBody{ReadingBody: read(3550 * mm), Rib: "02", Char: "tip", Round: 1})
	h.refuses("a measure that the target has not", log.Measured,
		log.MeasuredBody{ReadingBody: read(3550 * mm), Rib: "01", Char: "A9", Round: 1})
	h.refuses("a round too far on", log.RoundStarted, log.RoundBody{Rib: "01", Round: 3})
	h.refuses("the same round again", log.RoundStarted, log.RoundBody{Rib: "01", Round: 1})
	h.refuses("a measurement that is not there", log.Voided, log.VoidedBody{Seq: 99})
	h.refuses("a check of no gauge", log.GaugeChecked, log.GaugeCheckedBody{Gauge: "rule"})
	seq := h.takes(log.Measured, log.MeasuredBody{ReadingBody: read(3550 * mm), Rib: "01", Char: "tip", Round: 1})
	h.takes(log.Voided, log.VoidedBody{Seq: seq, Reason: "slipped"})
	h.refuses("withdrawn twice", log.Voided, log.VoidedBody{Seq: seq, Reason: "slipped"})
	h.refuses("replacing what does not count", log.Measured,
		log.MeasuredBody{ReadingBody: read(3551 * mm), Rib: "01", Char: "tip", Round: 1, Replaces: []int64{seq}})
	h.takes(log.BatchClosed, log.BatchClosedBody{Batch: "B1"})
	h.refuses("a batch closed twice", log.BatchClosed, log.BatchClosedBody{Batch: "B1"})
	h.refuses("a rib after closing", log.RibStarted, log.RibBody{Batch: "B1", Rib: "02"})
}

// A value that waited is answered once: taken, thrown out, or thrown out with its round.
func TestAHeldValueIsAnsweredOnce(t *testing.T) {
	take := func(seq int64) (log.Kind, any) {
		return log.Measured, log.MeasuredBody{ReadingBody: read(3550 * mm), Rib: "01", Char: "tip", Round: 1, FromHeld: seq}
	}
	discard := func(seq int64) (log.Kind, any) { return log.HeldDiscarded, log.HeldDiscardedBody{Held: seq} }
	again := func(seq int64) (log.Kind, any) {
		return log.Reopened, log.ReopenedBody{Rib: "01", Char: "tip", Round: 1, Held: seq}
	}
	for _, first := range []func(int64) (log.Kind, any){take, discard, again} {
		h := withRib(t)
		other := h.takes(log.Held, log.HeldBody{ReadingBody: read(355 * mm), Rib: "01", Char: "tip"})
		seq := h.takes(log.Held, log.HeldBody{ReadingBody: read(356 * mm), Rib: "01", Char: "tip"})
		if h.Batch.Waiting() != 2 {
			t.Errorf("%d wait", h.Batch.Waiting())
		}
		h.takes(first(seq))
		if h.Batch.Waiting() != 1 || h.Batch.HeldValue(other).Settled || !h.Batch.HeldValue(seq).Settled {
			t.Errorf("%d wait after an answer", h.Batch.Waiting())
		}
		for _, next := range []func(int64) (log.Kind, any){take, discard, again} {
			kind, body := next(seq)
			h.refuses("answered again", kind, body)
			kind, body = next(99)
			h.refuses("an answer to nothing", kind, body)
		}
	}
}

// Copies handed out stay as they were, whatever is recorded afterwards.
func TestCopiesStayAsTheyWere(t *testing.T) {
	h := withRib(t)
	one := h.takes(log.Measured, log.MeasuredBody{ReadingBody: read(3550 * mm), Rib: "01", Char: "tip", Round: 1})
	two := h.takes(log.Measured, log.MeasuredBody{ReadingBody: read(3552 * mm), Rib: "01", Char: "tip", Round: 1})
	copied := h.QcBatch(h.Batch)
	h.takes(log.Voided, log.VoidedBody{Seq: one, Reason: "slipped"})
	h.takes(log.Reopened, log.ReopenedBody{Rib: "01", Char: "tip", Round: 1, Replaces: []int64{two}})
	h.takes(log.GaugeRetired, log.GaugeRetiredBody{Gauge: "tape", Reason: "lent"})
	for _, m := range copied.Ribs[0].Measurements {
		if !m.Counts() {
			t.Errorf("measurement %d of a copy does not count any more", m.Seq)
		}
	}
	if copied.Gauges[0].Retired != "" || copied.Counts.Voided != 0 || copied.Counts.Measured != 2 {
		t.Errorf("a copy has %+v and %+v", copied.Gauges[0], copied.Counts)
	}
	if now := h.QcBatch(h.Batch); now.Counts.Measured != 0 || now.Counts.Voided != 1 || now.Gauges[0].Retired != "lent" {
		t.Errorf("now %+v", now.Counts)
	}
}

// A closed batch keeps gauges, lots, jigs and its end of the record; the open one is weighed anew with every change.
func TestClosingFreezes(t *testing.T) {
	h := withRib(t)
	if h.Batch.Weighed != 0 {
		t.Errorf("weighed at %d", h.Batch.Weighed)
	}
	checked := h.takes(log.GaugeChecked, log.GaugeCheckedBody{Gauge: "tape", ReadingsNM: []int64{0}, OK: true})
	if h.Batch.Weighed != checked {
		t.Errorf("a check at record %d, weighed at %d", checked, h.Batch.Weighed)
	}
	set := h.takes(log.GaugeSet, gauge("rule"))
	if h.Batch.Weighed != set {
		t.Errorf("a gauge at record %d, weighed at %d", set, h.Batch.Weighed)
	}
	end := h.takes(log.BatchClosed, log.BatchClosedBody{Batch: "B1"})
	was := h.QcBatch(h.Batch)
	h.takes(log.GaugeRetired, log.GaugeRetiredBody{Gauge: "tape", Reason: "lent"})
	h.takes(log.GaugeSet, gauge("later"))
	is := h.QcBatch(h.Batch)
	if h.Batch.Weighed != set || is.Record != was.Record || is.Record.Last != end || !is.AsOf.Equal(was.AsOf) ||
		len(is.Gauges) != 2 || is.Gauges[0].Retired != "" {
		t.Errorf("closed at record %d, weighed at %d: %+v, %+v", end, h.Batch.Weighed, is.Record, is.Gauges)
	}
	if g, ok := h.GaugeIn(h.Batch)("tape"); !ok || g.Retired != "" {
		t.Errorf("the tape as it was at closing: %v %+v", ok, g)
	}
	if _, ok := h.GaugeIn(h.Batch)("later"); ok {
		t.Error("a gauge set after closing is among those of the batch")
	}
	if !slices.EqualFunc(h.GaugesOf(h.Batch), was.Gauges, func(a, b qc.Gauge) bool { return a.ID == b.ID && a.Retired == b.Retired }) {
		t.Errorf("judged by %+v", h.GaugesOf(h.Batch))
	}
}

// Of a check on record and one stated with the gauge the later counts; out of use it stays until it is stated in use.
func TestTheLaterCheckCounts(t *testing.T) {
	for _, c := range []struct {
		stated time.Duration // of the check on record
		failed bool
	}{{-time.Second, true}, {0, true}, {time.Second, false}} {
		h := withRib(t)
		h.takes(log.GaugeChecked, log.GaugeCheckedBody{Gauge: "tape", ReadingsNM: []int64{int64(mm)}, OffsetNM: int64(mm), OK: false})
		at := h.last.At()
		g := gauge("tape")
		g.CheckedUS = at.Add(c.stated).UnixMicro()
		h.takes(log.GaugeSet, g)
		if now, _ := h.Gauge("tape"); now.Failed != c.failed {
			t.Errorf("stated %v after the one on record: failed %v", c.stated, now.Failed)
		}
	}
}
