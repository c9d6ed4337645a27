package doubt

import (
	"math"

	"springline/qc"
	"springline/qc/length"
	"springline/qc/stats"
	"springline/qc/words"
	"springline/session/book"
	"springline/session/log"
)

// minRepeatDOF is how many degrees of freedom the batch's own repeats need before their spread says when
// two readings disagree; as for a gauge study, common practice, no source.
const minRepeatDOF = qc.MinStudyDOF

// repeatSpread is the standard deviation of readings repeated on one rib, and where it comes from.
type repeatSpread struct {
	sd      length.Length
	more    length.Length // that readings may differ by beyond it: the friction band, where sd knows nothing of it
	byStudy bool          // else by the batch's own repeats
}

// spreadOfRepeats looks at how the other ribs of the batch repeated in this characteristic with this gauge:
// that holds lifting and relaying. While they are too few, a gauge study says how the gauge repeats, and the
// rib may still rest anywhere in its friction band. Without either nothing is known.
func spreadOfRepeats(s *book.Book, o *book.Batch, r *book.Rib, ch qc.Characteristic, gauge string) (repeatSpread, bool) {
	var sum float64
	dof := 0
	for _, other := range o.Ribs {
		if other == r {
			continue
		}
		ms := other.Counted(ch.ID)
		if len(ms) < 2 || ms[0].Gauge != gauge {
			continue
		}
		var mean float64
		for _, m := range ms {
			mean += (m.Value - ch.Nominal).MM() / float64(len(ms))
		}
		for _, m := range ms {
			d := (m.Value - ch.Nominal).MM() - mean
			sum += d * d
		}
		dof += len(ms) - 1
	}
	if dof >= minRepeatDOF && sum > 0 {
		return repeatSpread{sd: ceilMM(math.Sqrt(sum / float64(dof)))}, true
	}
	if g, ok := s.Gauge(gauge); ok && g.RepeatSD > 0 {
		return repeatSpread{sd: g.RepeatSD, more: 2 * ch.Band, byStudy: true}, true
	}
	return repeatSpread{}, false
}

func ceilMM(mm float64) length.Length {
	return length.Length(math.Ceil(mm * float64(length.Millimetre)))
}

// Disagree asks about a reading that lies further from the others of its round than repeats do in 95 of 100
// cases: for two readings the repeatability limit 2.8 sd, for more the critical range (ISO 5725-6, 4.1.4 and
// 5.2.2). The mean of readings that count stays the value and half their range the friction half-band, so that
// readings taken although they disagree widen the uncertainty and cannot be averaged into a pass.
func Disagree(s *book.Book, o *book.Batch, r *book.Rib, ch qc.Characteristic, rd log.ReadingBody) (Question, bool) {
	ms := r.Counted(ch.ID)
	if len(ms) == 0 {
		return Question{}, false
	}
	sp, known := spreadOfRepeats(s, o, r, ch, rd.Gauge)
	if !known {
		return Question{}, false
	}
	values := []length.Length{length.Length(rd.ValueNM)}
	for _, m := range ms {
		values = append(values, m.Value)
	}
	lo, hi := values[0], values[0]
	for _, v := range values {
		lo, hi = min(lo, v), max(hi, v)
	}
	factor, err := stats.CriticalRange(len(values), 0.95)
	if err != nil {
		return Question{}, false
	}
	limit := ceilMM(factor*sp.sd.MM()) + sp.more
	if hi-lo <= limit {
		return Question{}, false
	}
	return Question{Repeat: true, Why: words.RepeatsApart{Char: words.Char(ch.ID), Readings: len(values), Apart: hi - lo, Limit: limit,
		FactorTenths: int64(math.Round(10 * factor)), SD: sp.sd, ByStudy: sp.byStudy, Friction: sp.more}, Ask: words.AllAgain{}}, true
}
