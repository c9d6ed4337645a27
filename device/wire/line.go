package wire

import "time"

// lineFrames is the line family: every frame is a reading that somebody sent.
type lineFrames struct {
	*lines
	spec textSpec

	stopped   []byte // the frame that silence cut off last
	stoppedAt time.Duration
	refused   int // frames refused by then
	usual     int // length of the last good frame, 0 before the first
	p         parsed
}

func newLine(d *Decoder) (family, error) {
	spec, err := compileText(d.format)
	if err != nil {
		return nil, err
	}
	l := &lineFrames{spec: spec}
	l.lines = newLines(d, l.reading)
	return l, nil
}

func (l *lineFrames) reading(f frame) {
	p := &l.p
	if l.spec.parse(f.raw, p); p.code != "" {
		l.d.fail(p.code, f.raw, p.detail)
		return
	}
	l.usual = len(f.raw)
	s := l.d.sampleOf(f, p)
	l.d.once(s)
	l.d.emit(s)
}

// restWithin is how long after a frame stopped its rest is looked for, held up by a busy machine, a slow
// adapter or a network bridge (common practice, no source).
const restWithin = 2 * time.Second

// tick remembers a frame that silence cut off and has the next one held against it.
func (l *lineFrames) tick(at time.Duration) {
	if !l.noise && l.state == between {
		l.stopped, l.stoppedAt = append(l.stopped[:0], l.buf...), l.lastAt
		l.frame = l.afterStop
	}
	l.lines.tick(at)
	l.refused = l.d.refuse
}

// afterStop reads the first frame after such a silence. If with what stopped before it it would be
// another value, as 2.345 mm after a stopped 1 may be 12.345 mm, only a person has seen the display;
// unless it is by itself as long as the gauge's frames are.
func (l *lineFrames) afterStop(f frame) {
	l.frame = l.reading
	whole := append(l.stopped, f.raw...)
	var p parsed
	if l.spec.parse(f.raw, &p); p.code != "" || l.d.refuse != l.refused || l.d.now-l.stoppedAt > restWithin || len(whole) > l.maxLen ||
		l.usual == len(f.raw) {
		l.reading(f)
		return
	}
	s := l.d.sampleOf(f, &p)
	if v, ok := l.spec.valueOf(whole); ok && v != s.Value {
		s.Flags = append(s.Flags, FlagRest)
		s.Accept = Confirm
	}
	l.d.once(s)
	l.d.emit(s)
}
