package wire

import (
	"bytes"
	"time"
)

// packets cuts bytes into frames of one length that start with a known header. After a frame that
// does not fit, the next header starts a new one; nothing of the broken frame is used.
type packets struct {
	d      *Decoder
	head   []byte
	endsBy int // last byte of every frame, -1 = varies
	length int
	// frame judges a frame of the right length and header. CodePartialFrame means that bytes were lost
	// inside it, so that the search for the next header goes on within it.
	frame func(f frame) (code, detail string)

	state  lineState
	buf    []byte
	lastAt time.Duration
	gap    time.Duration
	settle time.Duration
	idle   time.Duration
}

func newPackets(d *Decoder, head []byte, length int, frame func(f frame) (string, string)) *packets {
	f := d.format
	return &packets{d: d, head: head, endsBy: -1, length: length, frame: frame,
		gap: ms(f.OpenGapMS), settle: ms(f.OpenSettleMS), idle: ms(f.IdleFlushMS)}
}

func (k *packets) feed(at time.Duration, b []byte) {
	last := k.lastAt
	k.lastAt = at
	if at < k.settle {
		k.state = tail
		k.buf = append(k.buf, b[:min(len(b), max(0, k.length-len(k.buf)))]...)
		return
	}
	if k.state == opening {
		k.state = tail
		if at-max(last, k.settle) >= k.gap {
			k.state = between
		}
	}
	for _, c := range b {
		if k.state == tail {
			// The tail of an older frame ends with the frame's last byte, or is shorter than a frame.
			if k.buf = append(k.buf, c); int(c) == k.endsBy || len(k.buf) >= k.length {
				k.inStep()
			}
			continue
		}
		k.buf = append(k.buf, c)
		k.cut()
	}
}

func (k *packets) inStep() {
	k.d.fail(CodePartialAtOpen, k.buf, "frame-tail")
	k.state, k.buf = between, k.buf[:0]
}

// cut takes from the front of buf what can be judged.
func (k *packets) cut() {
	for len(k.buf) > 0 {
		if at := headerIn(k.buf, k.head); at != 0 {
			// Stray bytes are one error, told when the next header comes, when a frame's worth of them
			// has come, or at silence.
			if at < 0 && len(k.buf) < k.length {
				return
			}
			if at < 0 {
				at = len(k.buf)
			}
			k.drop(at, CodeLineNoise, "noise-bytes")
			continue
		}
		if len(k.buf) < k.length {
			return
		}
		code, detail := k.frame(frame{k.buf[:k.length], -1})
		if code == "" {
			k.buf = k.buf[:copy(k.buf, k.buf[k.length:])]
			continue
		}
		n := k.length
		if code == CodePartialFrame {
			if at := headerIn(k.buf[1:], k.head); at >= 0 {
				n = at + 1
			}
		}
		k.drop(n, code, detail)
	}
}

func (k *packets) drop(n int, code, detail string) {
	k.d.fail(code, k.buf[:n], detail)
	k.buf = k.buf[:copy(k.buf, k.buf[n:])]
}

// headerIn returns where the header, or a beginning of it that reaches the end of b, stands in b.
func headerIn(b, head []byte) int {
	for i := range b {
		if rest := b[i:]; bytes.HasPrefix(rest, head) || bytes.HasPrefix(head, rest) {
			return i
		}
	}
	return -1
}

func (k *packets) next() (time.Duration, bool) {
	switch {
	case k.state == tail:
		return max(k.lastAt, k.settle) + k.gap, true
	case len(k.buf) > 0:
		return k.lastAt + k.idle, true
	}
	return 0, false
}

func (k *packets) tick(time.Duration) {
	if k.state == tail {
		k.inStep()
		return
	}
	code, detail := CodePartialFrame, "frame-stopped"
	if headerIn(k.buf, k.head) != 0 {
		code, detail = CodeLineNoise, "noise-bytes"
	}
	k.drop(len(k.buf), code, detail)
}
