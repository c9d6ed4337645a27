package session

import (
	"time"

	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
)

// bindStudy is the binding rule while a gauge study runs: a reading of its gauge goes to its step by the
// same rules that bind one to a rib; one of another gauge waits.
func (b *Bench) bindStudy(st *study, step int, g qc.Gauge, rd ReadingBody, in incoming) (event, bool) {
	hold := func(h HeldBody) (event, bool) {
		if b.state.open().waiting() >= maxHeld {
			return b.refuse(in, "too_many_held", words.TooManyHeldBlind{Wait: maxHeld})
		}
		return event{Held, h}, true
	}
	if g.ID != st.Gauge {
		return hold(HeldBody{ReadingBody: rd, Decide: words.Said{Of: words.PauseStudy{}},
			Why: words.Said{Of: words.StudyOtherGauge{Study: st.ID, Uses: b.state.gaugeName(st.Gauge), Sent: g.Name}}})
	}
	if step < 0 {
		return hold(HeldBody{ReadingBody: rd, Why: words.Said{Of: words.StudyFull{Study: st.ID}}, Decide: words.Said{Of: words.FinishStudy{}}})
	}
	ask := func(why, ask words.Finding) (event, bool) {
		return hold(studyHeld(st, rd, step, question{why: why, ask: ask}))
	}
	if in.unsure != "" {
		return ask(words.WhichGauge{Why: in.unsure}, words.SayWhich{})
	}
	if rd.Unit != g.Unit {
		return ask(words.OtherUnit{Sent: rd.Unit, Bound: g.Unit}, words.SetBack{Value: length.Length(rd.ValueNM), Unit: g.Unit})
	}
	if q, asks := b.state.studyDoubt(st, step, rd, in.at); asks {
		return hold(studyHeld(st, rd, step, q))
	}
	if in.sample.Accept != wire.Auto {
		return ask(words.Marked{Flags: in.sample.Flags}, words.TakeOrAgain{})
	}
	return event{StudyMeasured, StudyMeasuredBody{ReadingBody: rd, Study: st.ID, Step: step + 1}}, true
}

// studyDoubt looks for the same blunders as [state.doubt]. It does not look at earlier readings of the rib,
// of the study or of its rounds: the question would give them away.
func (s *state) studyDoubt(st *study, step int, rd ReadingBody, at time.Time) (question, bool) {
	rib := &rib{Rib: qc.Rib{ID: st.Ribs[st.Steps[step].Rib]}}
	if q, ok := s.sentTwice(rib, st.Char, rd, at, step+1); ok {
		return q, true
	}
	return implausible(s.open(), rib, st.Char, length.Length(rd.ValueNM))
}

func studyHeld(st *study, rd ReadingBody, step int, q question) HeldBody {
	return HeldBody{ReadingBody: rd, Rib: st.Ribs[st.Steps[step].Rib], Char: string(st.Char.ID), Study: st.ID, Step: step + 1,
		Why: words.Said{Of: q.why}, Decide: words.Said{Of: q.ask}, Suggest: int64(q.suggest)}
}
