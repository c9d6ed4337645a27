package wire

import "time"

// byteClass says what a byte is to a text framer.
type byteClass uint8

const (
	textByte byteClass = iota
	endByte
	noiseByte
)

type lineState uint8

const (
	opening  lineState = iota // nothing heard yet
	tail                      // dropping what may be the tail of an older frame
	between                   // in step
	skipping                  // dropping the rest of a burst that was already refused
)

// lines cuts bytes into text frames at terminators. It keeps the rules about opening, silence, noise
// and length; frame gets each complete frame without its terminator.
type lines struct {
	d     *Decoder
	class [256]byteClass
	crlf  bool // only the pair ends a frame
	frame func(f frame)
	// spoil, if set, may rename the error of an unfinished frame.
	spoil func(code, detail string) (string, string)

	state  lineState
	noise  bool
	buf    []byte // of the unfinished frame, or the beginning of the tail
	lastAt time.Duration
	maxLen int
	gap    time.Duration
	settle time.Duration
	idle   time.Duration
}

func newLines(d *Decoder, frame func(f frame)) *lines {
	f := d.format
	l := &lines{d: d, frame: frame, maxLen: f.MaxLen, gap: ms(f.OpenGapMS), settle: ms(f.OpenSettleMS), idle: ms(f.IdleFlushMS)}
	for c := range 256 {
		if (c < 0x20 && c != '\t') || c > 0x7e {
			l.class[c] = noiseByte
		}
	}
	switch f.Terminator {
	case "cr":
		l.class['\r'] = endByte
	case "lf":
		l.class['\n'] = endByte
	case "tab":
		l.class['\t'] = endByte
	case "crlf":
		// A CR passes as text and must be the last byte before LF; see line.
		l.crlf = true
		l.class['\r'], l.class['\n'] = textByte, endByte
	default:
		l.class['\r'], l.class['\n'] = endByte, endByte
	}
	return l
}

func (l *lines) feed(at time.Duration, b []byte) {
	last := l.lastAt
	l.lastAt = at
	if at < l.settle {
		l.state = tail
		l.drop(b)
		return
	}
	if l.state == opening {
		if at-max(last, l.settle) >= l.gap {
			l.state = between
		} else {
			l.state = tail
		}
	}
	i := 0
	if l.state == tail || l.state == skipping {
		if i = l.skip(b); l.state != between {
			return
		}
	}
	for i < len(b) {
		i = l.one(b, i)
	}
}

// skip drops bytes up to the next terminator.
func (l *lines) skip(b []byte) int {
	for i, c := range b {
		if l.class[c] == endByte {
			l.drop(b[:i])
			l.inStep()
			return i + 1
		}
	}
	l.drop(b)
	return len(b)
}

// drop keeps the beginning of what is not used, for the record.
func (l *lines) drop(b []byte) {
	if l.state == tail {
		l.buf = append(l.buf, b[:min(len(b), l.maxLen-len(l.buf))]...)
	}
}

// inStep ends the dropping. A tail of terminators only is nothing to tell.
func (l *lines) inStep() {
	if l.state == tail && len(l.buf) > 0 {
		l.d.fail(CodePartialAtOpen, l.buf, "frame-tail")
	}
	l.state, l.buf = between, l.buf[:0]
}

// one reads up to one terminator from b[i:] and returns where it stopped.
func (l *lines) one(b []byte, i int) int {
	j := i
	room := l.maxLen - len(l.buf)
	most := b[:min(len(b), i+room+1)]
	class := &l.class
	for {
		for _, c := range most[j:] {
			if class[c] != textByte {
				break
			}
			j++
		}
		if j == len(most) || l.class[most[j]] == endByte {
			break
		}
		l.noise = true
		j++
	}
	if j-i > room {
		l.tooLong(append(l.buf, b[i:j]...))
		return j + l.skip(b[j:])
	}
	if j == len(b) {
		l.buf = append(l.buf, b[i:j]...)
		return j
	}
	if len(l.buf) > 0 {
		l.buf = append(l.buf, b[i:j]...)
		l.end(frame{l.buf, -1})
	} else if j > i {
		l.end(frame{b[i:j], i})
	}
	return j + 1
}

func (l *lines) end(f frame) {
	noise := l.noise
	l.noise = false
	if l.crlf {
		if n := len(f.raw) - 1; f.raw[n] == '\r' {
			f.raw = f.raw[:n]
		} else {
			noise = true
		}
		for _, c := range f.raw {
			noise = noise || c == '\r'
		}
	}
	switch {
	case noise:
		l.d.fail(CodeLineNoise, f.raw, "noise-text")
	case len(f.raw) > 0:
		l.frame(f)
	}
	l.buf = l.buf[:0]
}

func (l *lines) tooLong(raw []byte) {
	l.unfinished(CodeTooLong, "terminator-missing", raw)
	l.state = skipping
}

func (l *lines) unfinished(code, detail string, raw []byte) {
	switch {
	case l.noise:
		code, detail = CodeLineNoise, "noise-text"
	case l.spoil != nil:
		code, detail = l.spoil(code, detail)
	}
	l.d.fail(code, raw, detail)
	l.buf, l.noise = l.buf[:0], false
}

func (l *lines) next() (time.Duration, bool) {
	switch {
	case l.state == tail:
		return max(l.lastAt, l.settle) + l.gap, true
	case l.state == skipping || len(l.buf) > 0:
		return l.lastAt + l.idle, true
	}
	return 0, false
}

func (l *lines) tick(time.Duration) {
	switch {
	case l.state == tail || l.state == skipping:
		l.inStep()
	case len(l.buf) > 0:
		l.unfinished(CodePartialFrame, "terminator-late", l.buf)
	}
}
