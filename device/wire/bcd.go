package wire

import "encoding/hex"

// bcdFrames is the bcd family: binary frames with two decimal digits to a byte.
type bcdFrames struct {
	*packets
	layout *bcdLayout
	unit   unitRule
	p      parsed
	digits []byte
}

func newBCD(d *Decoder) (family, error) {
	layout, err := compileBCD(d.format)
	if err != nil {
		return nil, err
	}
	b := &bcdFrames{layout: layout, unit: d.unit}
	var head []byte
	for _, c := range layout.bytes {
		if c.role != bcdLiteral {
			break
		}
		head = append(head, c.value)
	}
	b.packets = newPackets(d, head, len(layout.bytes), b.reading)
	if last := layout.bytes[len(layout.bytes)-1]; last.role == bcdLiteral {
		b.endsBy = int(last.value)
	}
	return b, nil
}

// reading judges one frame: first its fixed bytes, then the check byte, the status and the digits.
func (b *bcdFrames) reading(f frame) (code, detail string) {
	for i, c := range b.layout.bytes {
		if c.role == bcdLiteral && f.raw[i] != c.value {
			return CodePartialFrame, "layout-byte"
		}
	}
	if !b.checks(f.raw) {
		return CodeBadChecksum, "check-byte-differs"
	}
	b.p = parsed{accept: Auto, unit: b.unit.assumed}
	neg, decimals := b.status(f.raw)
	if b.p.code == "" {
		b.value(f.raw, neg, decimals)
	}
	if b.p.code != "" {
		return b.p.code, b.p.detail
	}
	s := b.d.sampleOf(f, &b.p)
	for i, c := range b.layout.bytes {
		if c.role == bcdChannel {
			s.Channel = hex.EncodeToString(f.raw[i : i+1])
		}
	}
	b.d.once(s)
	b.d.emit(s)
	return "", ""
}

func (b *bcdFrames) checks(raw []byte) bool {
	for i, c := range b.layout.bytes {
		if c.role != bcdCheck {
			continue
		}
		var sum byte
		for _, k := range b.layout.checkOf {
			if b.layout.checkXor {
				sum ^= raw[k]
			} else {
				sum += raw[k]
			}
		}
		if sum != raw[i] {
			return false
		}
	}
	return true
}

// status reads the status byte into p. A bit without a meaning must be clear: what it says is unknown.
func (b *bcdFrames) status(raw []byte) (neg bool, decimals int) {
	decimals = b.layout.decimals
	for i, c := range b.layout.bytes {
		if c.role != bcdStatus {
			continue
		}
		v := raw[i]
		for _, bits := range b.layout.bits {
			mask := byte(1<<(bits.high-bits.low+1) - 1)
			got := v >> bits.low & mask
			v &^= mask << bits.low
			switch {
			case bits.means == "decimals":
				decimals = int(got)
			case bits.means == "inch":
				b.p.unit, b.p.named = "mm", true
				if got != 0 {
					b.p.unit = "in"
				}
			case got == 0 || bits.means == "unused":
			case bits.means == "minus":
				neg = true
			default:
				b.p.means(bits.means)
			}
		}
		if v != 0 && b.p.code == "" {
			b.p.fail(CodeUnknownStatus, "status-bit")
		}
	}
	return neg, decimals
}

func (b *bcdFrames) value(raw []byte, neg bool, decimals int) {
	b.digits = b.digits[:0]
	for i, c := range b.layout.bytes {
		if c.role != bcdDigits {
			continue
		}
		hi, lo := raw[i]>>4, raw[i]&15
		if hi > 9 || lo > 9 {
			b.p.fail(CodeBadDigit, "digit-above-nine")
			return
		}
		b.digits = append(b.digits, '0'+hi, '0'+lo)
	}
	if b.layout.lowFirst {
		for i, j := 0, len(b.digits)-2; i < j; i, j = i+2, j-2 {
			b.digits[i], b.digits[i+1], b.digits[j], b.digits[j+1] = b.digits[j], b.digits[j+1], b.digits[i], b.digits[i+1]
		}
	}
	if decimals > len(b.digits) {
		b.p.fail(CodeBadNumber, "decimals-too-many")
		return
	}
	cut := len(b.digits) - decimals
	b.p.num = numberAt{neg: neg, whole: span{0, cut}, frac: span{cut, len(b.digits)}}
	b.p.digits = b.digits
	if b.unit.required && b.p.unit == "" {
		b.p.fail(CodeUnitMissing, "unit-missing")
	}
}
