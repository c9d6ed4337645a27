package wire

// lineFrames is the line family: every frame is a reading that somebody sent.
type lineFrames struct {
	*lines
	spec textSpec
	p    parsed
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
	l.spec.parse(f.raw, &l.p)
	if l.p.code != "" {
		l.d.fail(l.p.code, f.raw, l.p.detail)
		return
	}
	s := l.d.sampleOf(f, &l.p)
	l.d.once(s)
	l.d.emit(s)
}
