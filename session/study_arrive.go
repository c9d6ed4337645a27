package session

import (
	"fmt"
	"time"

	"springline/device/wire"
	"springline/qc"
)

// bindStudy is the binding rule while a gauge study runs: a reading of its gauge goes to its step by the
// same rules that bind one to a rib; one of another gauge waits.
func (b *Bench) bindStudy(st *study, step int, g qc.Gauge, rd ReadingBody, in incoming) (event, bool) {
	hold := func(h HeldBody) (event, bool) {
		if b.state.open().waiting() >= maxHeld {
			return b.refuse(in, "too_many_held", fmt.Sprintf("it sent a value while %d wait for an answer", maxHeld))
		}
		return event{Held, h}, true
	}
	if g.ID != st.Gauge {
		return hold(HeldBody{ReadingBody: rd, Reason: fmt.Sprintf("gauge study %s runs with %s, not with %s", st.ID, b.state.gaugeName(st.Gauge), g.Name),
			Ask: "Throw it out; to measure a rib, pause the study first."})
	}
	if step < 0 {
		return hold(HeldBody{ReadingBody: rd, Reason: fmt.Sprintf("gauge study %s has all its readings", st.ID), Ask: "Throw it out; finish the study to measure ribs."})
	}
	ask := func(reason, ask string) (event, bool) {
		return hold(st.held(rd, step, question{reason: reason, ask: ask}))
	}
	if in.unsure != "" {
		return ask("it is not certain which gauge this is: "+in.unsure, "Say which gauge it is; then take the value or throw it out.")
	}
	if rd.Unit != g.Unit {
		return ask(fmt.Sprintf("sent in %s, and the gauge is bound in %s", rd.Unit, g.Unit), fmt.Sprintf("Is %s right? Take it, or set the gauge back to %s and throw it out.", mmText(nm(rd.ValueNM)), g.Unit))
	}
	if q, doubt := b.state.studyDoubt(st, step, rd, in.at); doubt {
		return hold(st.held(rd, step, q))
	}
	if in.sample.Accept != wire.Auto {
		return ask(flagReason(*in.sample), "Is it right? Take it, or throw it out and measure again.")
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
	return implausible(s.open(), rib, st.Char, nm(rd.ValueNM))
}

func (st *study) held(rd ReadingBody, step int, q question) HeldBody {
	return HeldBody{ReadingBody: rd, Rib: st.Ribs[st.Steps[step].Rib], Char: string(st.Char.ID), Study: st.ID, Step: step + 1,
		Reason: q.reason, Ask: q.ask, Suggest: int64(q.suggest)}
}
