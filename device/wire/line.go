package wire

// lineFrames is the line family: every frame is a reading that somebody sent.
type lineFrames struct {
	*lines
	spec textSpec
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
	var p parsed
	if l.spec.parse(f.raw, &p); p.code != "" {
		l.d.fail(p.code, f.raw, p.detail)
		return
	}
	s := l.d.sampleOf(f, &p)
	l.d.once(s)
	l.d.emit(s)
}
