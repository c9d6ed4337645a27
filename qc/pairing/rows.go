package pairing

// fillRow sets out[i] to the raw value of the pair (u, u+1+i).
func (c *costs) fillRow(u int, out []int64) {
	if c.metric == Max {
		for i := range out {
			m0, m1 := c.largest(u, u+1+i)
			out[i] = min(m0, m1)
		}
		return
	}
	w, s := c.width, c.split
	x := c.weigh[u*w : (u+1)*w]
	xs, xt := x[:s], x[s:]
	nu := c.norm[u]
	norm := c.norm[u+1:]
	norm = norm[:len(out)]
	at := (u + 1) * w
	for i := range out {
		y := c.plain[at : at+w]
		at += w
		ys, yt := y[:s], y[s:]
		ys, yt = ys[:len(xs)], yt[:len(xt)]
		var same, turn int64
		for j, a := range xs {
			same += a * ys[j]
		}
		for j, a := range xt {
			turn += a * yt[j]
		}
		out[i] = nu + norm[i] - 2*(same+abs(turn))
	}
}
