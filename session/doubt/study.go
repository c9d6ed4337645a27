package doubt

import (
	"time"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// OfStudy looks for the same blunders as [Of]. It does not look at earlier readings of the rib,
// of the study or of its rounds: the question would give them away.
func OfStudy(s *book.Book, st *book.Study, step int, rd log.ReadingBody, at time.Time) (Question, bool) {
	rib := &book.Rib{Rib: qc.Rib{ID: st.Ribs[st.Steps[step].Rib]}}
	if q, ok := sentTwice(s, rib, st.Char, rd, at, step+1); ok {
		return q, true
	}
	return implausible(s.Open(), rib, st.Char, length.Length(rd.ValueNM))
}

func HeldInStudy(st *book.Study, rd log.ReadingBody, step int, q Question) log.HeldBody {
	return log.HeldBody{ReadingBody: rd, Rib: st.Ribs[st.Steps[step].Rib], Char: string(st.Char.ID), Study: st.ID, Step: step + 1,
		Why: words.Said{Of: q.Why}, Decide: words.Said{Of: q.Ask}, Suggest: int64(q.Suggest)}
}
