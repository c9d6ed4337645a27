package wire

import (
	"encoding/hex"
	"time"
)

// queryFrames is the query family: the gauge answers one line to each question. Every question has a
// time; an answer counts for the question that is open, and only if it began in time.
type queryFrames struct {
	lines   *lines
	spec    textSpec
	query   []byte
	timeout time.Duration

	waiting bool // a question is open
	askedAt time.Duration
	owed    bool // a question was given up; its answer may still come
	gaveUp  time.Duration
}

func newQuery(d *Decoder) (family, error) {
	spec, err := compileText(d.format)
	if err != nil {
		return nil, err
	}
	q := &queryFrames{spec: spec, timeout: ms(d.format.TimeoutMS)}
	if q.query, err = hex.DecodeString(d.format.QueryHex); err != nil {
		return nil, fieldErr("query_hex", "%v", err)
	}
	q.lines = newLines(d, q.answer)
	return q, nil
}

// ask drops what is half received and opens a question.
func (q *queryFrames) ask(at time.Duration) {
	if l := q.lines; len(l.buf) > 0 {
		l.d.fail(CodeStaleReply, l.buf, "reply-late")
		l.buf, l.noise, l.state = l.buf[:0], false, skipping
		q.owed = false
	} else if q.waiting {
		q.giveUp(at)
	}
	q.waiting, q.askedAt = true, at
}

func (q *queryFrames) giveUp(at time.Duration) {
	q.lines.d.fail(CodeTimeout, nil, "reply-missing")
	q.waiting, q.owed, q.gaveUp = false, true, at
}

func (q *queryFrames) feed(at time.Duration, b []byte) {
	before := q.lines.d.refuse
	q.lines.feed(at, b)
	q.answered(before)
}

// answered closes the question when its answer was an error.
func (q *queryFrames) answered(before int) {
	if q.lines.d.refuse > before {
		q.waiting = false
	}
}

func (q *queryFrames) answer(f frame) {
	d := q.lines.d
	if !q.waiting {
		q.owed = false
		d.fail(CodeStaleReply, f.raw, "reply-unasked")
		return
	}
	q.waiting = false
	// An answer soon after a question was given up may be the late answer to that one.
	late := q.owed && d.now-q.gaveUp <= q.timeout
	q.owed = false
	var p parsed
	if q.spec.parse(f.raw, &p); p.code != "" {
		d.fail(p.code, f.raw, p.detail)
		return
	}
	s := d.sampleOf(f, &p)
	if late {
		s.Flags = append(s.Flags, FlagStale)
		s.Accept = Confirm
	}
	d.emit(s)
}

func (q *queryFrames) next() (time.Duration, bool) {
	t, ok := q.lines.next()
	if q.waiting && len(q.lines.buf) == 0 {
		if give := q.askedAt + q.timeout; !ok || give < t {
			return give, true
		}
	}
	return t, ok
}

func (q *queryFrames) tick(at time.Duration) {
	if q.waiting && len(q.lines.buf) == 0 && at >= q.askedAt+q.timeout {
		q.giveUp(at)
		return
	}
	before := q.lines.d.refuse
	q.lines.tick(at)
	q.answered(before)
}
