package typeset

import "springline/reports/draw"

// facts are set in two columns of name and value; one whose value would not fit half the width in two
// lines takes the whole width.
func (t *typesetter) facts(fs []Fact) {
	const gutter, name = 6.0, 32.0
	half := (Width - gutter) / 2
	narrow := func(f Fact) bool {
		return f.Value != "" && t.faces.Width(f.Name, bodySize, false) <= name-2 && len(t.faces.Wrap(f.Value, half-name, bodySize, true)) <= 1
	}
	gap := 1.0
	for i := 0; i < len(fs); i++ {
		f := fs[i]
		if narrow(f) && i+1 < len(fs) && narrow(fs[i+1]) {
			left, right := t.fact(f, half, name), t.fact(fs[i+1], half, name)
			p := piece{h: max(left.h, right.h), gap: gap,
				items: append(left.items, draw.Group{Move: draw.Point{X: half + gutter}, Items: right.items})}
			t.add(p)
			i++
		} else {
			p := t.fact(f, Width, name)
			p.gap = gap
			t.add(p)
		}
		gap = 0
	}
}

// fact sets one name and value; a value of nothing becomes a line to write on.
func (t *typesetter) fact(f Fact, width, name float64) piece {
	var p piece
	if w := t.faces.Width(f.Name, bodySize, false); w > name-2 {
		name = w + 3
	}
	p.items = append(p.items, draw.Text{At: draw.Point{Y: 3.6}, S: f.Name, Size: bodySize})
	if f.Value == "" {
		p.h = 8
		p.items[0] = draw.Text{At: draw.Point{Y: 6.4}, S: f.Name, Size: bodySize}
		p.items = append(p.items, draw.Line{A: draw.Point{X: name, Y: 7}, B: draw.Point{X: width, Y: 7}, Style: draw.Style{Stroke: .15}})
		return p
	}
	t.body(&p, f.Value, name, width-name, true)
	return p
}

// coded sets a QR code with its facts to the right.
func (t *typesetter) coded(c *Coded) {
	p := piece{gap: 1.5, items: append([]draw.Item{}, c.Code.Items...)}
	x, y := c.Code.W+4, 1.5
	for _, f := range c.Facts {
		in := t.fact(f, Width-x, 20)
		p.items = append(p.items, draw.Group{Move: draw.Point{X: x, Y: y}, Items: in.items})
		y += in.h
	}
	p.h = max(y, c.Code.H)
	t.add(p)
}

// signers sets the signature block as one piece: a line each for name, role, date and signature.
func (t *typesetter) signers(ss []Signer) {
	p := piece{gap: 3}
	widths := []float64{22, 52, 38, 28, 50}
	heads := []string{"", "Name", "Role", "Date", "Signature"}
	x := 0.0
	for i, h := range heads {
		p.items = append(p.items, draw.Text{At: draw.Point{X: x + 1, Y: 3.4}, S: h, Size: headSize, Bold: true})
		x += widths[i]
	}
	p.h = 5
	for _, s := range ss {
		p.items = append(p.items, rule(p.h, .2))
		lines := t.faces.Wrap(s.Name, widths[1]-3, bodySize, false)
		h := max(14, float64(len(lines))*bodyLine+3)
		p.items = append(p.items, draw.Text{At: draw.Point{X: 1, Y: p.h + 5.5}, S: s.Part, Size: bodySize, Bold: true})
		for i, l := range lines {
			p.items = append(p.items, draw.Text{At: draw.Point{X: widths[0] + 1, Y: p.h + 5.5 + float64(i)*bodyLine}, S: l, Size: bodySize})
		}
		x := 0.0
		for _, w := range widths[:len(widths)-1] {
			x += w
			p.items = append(p.items, upright(x-1, p.h, p.h+h))
		}
		p.h += h
	}
	p.items = append(p.items, rule(p.h, .2))
	p.h += .3
	t.add(p)
}
