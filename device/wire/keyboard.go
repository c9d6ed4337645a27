package wire

import "time"

// keyFrames is the keyboard family: a gauge that types. A reading is one burst of keys that come
// faster than a person types, with no key repeating as a held or stuck key does.
type keyFrames struct {
	lines *lines
	spec  textSpec

	keys      int // in this burst
	slow      bool
	stuck     bool
	held      bool // the next key is a repeat of a held one
	lastKey   byte
	lastKeyAt time.Duration
	burstGap  time.Duration
	repeatMin time.Duration
	repeatMax time.Duration
	minKeys   int
}

func newKeyboard(d *Decoder) (family, error) {
	spec, err := compileText(d.format)
	if err != nil {
		return nil, err
	}
	f := d.format
	k := &keyFrames{spec: spec, burstGap: ms(f.BurstGapMS), repeatMin: ms(f.RepeatMinMS), repeatMax: ms(f.RepeatMaxMS), minKeys: f.MinKeys}
	k.lines = newLines(d, k.burst)
	if f.Terminator == "any" {
		k.lines.class['\t'] = endByte // such gauges end with Enter or Tab, and Tab is no space here
	}
	k.lines.spoil = k.spoil
	return k, nil
}

// Key is [Decoder.Feed] for one key of a keyboard gauge whose source can tell that a key repeats because
// it is held down; such a burst is refused. For other families it is Feed.
func (d *Decoder) Key(at time.Duration, key byte, repeat bool) []Event {
	if k, ok := d.family.(*keyFrames); ok && repeat {
		k.held = true
	}
	return d.Feed(at, []byte{key})
}

// feed hands on one key at a time, since each is judged by the time since the one before.
func (k *keyFrames) feed(at time.Duration, b []byte) {
	for i, c := range b {
		if k.held {
			k.stuck, k.held = true, false
		}
		if k.keys > 0 {
			gap := at - k.lastKeyAt
			if gap >= k.burstGap {
				k.slow = true
			}
			if c == k.lastKey && gap >= k.repeatMin && gap <= k.repeatMax && k.repeatMax > 0 {
				k.stuck = true
			}
		}
		k.keys++
		k.lastKey, k.lastKeyAt = c, at
		k.lines.feed(at, b[i:i+1])
		if k.lines.class[c] == endByte {
			k.reset()
		}
	}
}

func (k *keyFrames) reset() { k.keys, k.slow, k.stuck = 0, false, false }

// spoil says why a burst is no reading, whatever else is wrong with it.
func (k *keyFrames) spoil(code, detail string) (string, string) {
	switch {
	case k.stuck:
		return CodeStuckKey, "key-stuck"
	case code != "":
	case k.slow:
		return CodeNotABurst, "keys-slow"
	case k.keys < k.minKeys:
		return CodeNotABurst, "keys-few"
	}
	return code, detail
}

func (k *keyFrames) burst(f frame) {
	f.off = -1 // lines saw one key, not the whole chunk
	var p parsed
	code, detail := k.spoil("", "")
	if code == "" {
		if k.spec.parse(f.raw, &p); p.code != "" {
			code, detail = p.code, p.detail
		}
	}
	if code != "" {
		k.lines.d.fail(code, f.raw, detail)
		return
	}
	s := k.lines.d.sampleOf(f, &p)
	k.lines.d.once(s)
	k.lines.d.emit(s)
}

func (k *keyFrames) next() (time.Duration, bool) { return k.lines.next() }

func (k *keyFrames) tick(at time.Duration) {
	k.lines.tick(at)
	if k.lines.state == between && len(k.lines.buf) == 0 {
		k.reset()
	}
}
