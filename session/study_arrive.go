package session

import (
	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/doubt"
	"springline/session/log"
)

// bindStudy is the binding rule while a gauge study runs: a reading of its gauge goes to its step by the
// same rules that bind one to a rib; one of another gauge waits.
func (b *Bench) bindStudy(st *book.Study, step int, g qc.Gauge, rd log.ReadingBody, in incoming) (log.Event, bool) {
	hold := func(h log.HeldBody) (log.Event, bool) {
		if b.state.Open().Waiting() >= maxHeld {
			return b.refuse(in, "too_many_held", words.TooManyHeldBlind{Wait: maxHeld})
		}
		return log.Event{Kind: log.Held, Body: h}, true
	}
	if g.ID != st.Gauge {
		return hold(log.HeldBody{ReadingBody: rd, Decide: words.Said{Of: words.PauseStudy{}},
			Why: words.Said{Of: words.StudyOtherGauge{Study: st.ID, Uses: b.state.GaugeName(st.Gauge), Sent: g.Name}}})
	}
	if step < 0 {
		return hold(log.HeldBody{ReadingBody: rd, Why: words.Said{Of: words.StudyFull{Study: st.ID}},
			Decide: words.Said{Of: words.FinishStudy{}}})
	}
	ask := func(why, ask words.Finding) (log.Event, bool) {
		return hold(doubt.HeldInStudy(st, rd, step, doubt.Question{Why: why, Ask: ask}))
	}
	if in.unsure.Why != "" {
		return ask(in.unsure, words.SayWhich{})
	}
	if rd.Unit != g.Unit {
		return ask(words.OtherUnit{Sent: rd.Unit, Bound: g.Unit}, words.SetBack{Value: length.Length(rd.ValueNM), Unit: g.Unit})
	}
	if q, asks := doubt.OfStudy(b.state, st, step, rd, in.at); asks {
		return hold(doubt.HeldInStudy(st, rd, step, q))
	}
	if in.sample.Accept != wire.Auto {
		return ask(words.Marked{Flags: in.sample.Flags}, words.TakeOrAgain{})
	}
	return log.Event{Kind: log.StudyMeasured, Body: log.StudyMeasuredBody{ReadingBody: rd, Study: st.ID, Step: step + 1}}, true
}
