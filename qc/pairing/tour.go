package pairing

import "math/rand/v2"

// tour is a path question as a round tour: one more node, the last, stands for the gap between the
// two ends. It costs nothing to reach it from a node that may be an end; a node that must be an end
// is drawn to it by a gain that exceeds all costs.
type tour struct {
	n     int // nodes of the tour, one more than of the path
	cost  []int64
	gain  int64 // what the fixed ends gain in any best tour
	first int32 // nodes that must be the first and the last of the path, or none
	last  int32
	near  [][]int32
	order []int32
	at    []int32
	// moves made since the last kick, as reversals to be undone
	log  [][2]int32
	todo []int32
	wait []bool
	work *budget
}

// neighbours that a node looks at when it seeks a better place.
const tourNear = 10

func newTour(costs [][]int64, opt PathOptions) *tour {
	n := len(costs) + 1
	t := &tour{n: n, cost: make([]int64, n*n), order: make([]int32, n), at: make([]int32, n), wait: make([]bool, n)}
	t.first, t.last = none, none
	if opt.Start != nil {
		t.first = int32(*opt.Start)
	}
	if opt.End != nil {
		t.last = int32(*opt.End)
	}
	draw := int64(1)
	for i, row := range costs {
		var most int64
		for j, c := range row {
			if i != j {
				t.cost[i*n+j] = c
				most = max(most, c)
			}
		}
		draw += 2 * most
	}
	for _, e := range []*int{opt.Start, opt.End} {
		if e != nil {
			t.cost[*e*n+n-1], t.cost[(n-1)*n+*e] = -draw, -draw
			t.gain += draw
		}
	}
	t.near = make([][]int32, n)
	for i := range t.near {
		t.near[i] = t.nearest(i)
	}
	return t
}

func (t *tour) d(a, b int32) int64 { return t.cost[int(a)*t.n+int(b)] }

func (t *tour) nearest(i int) []int32 {
	var list []int32
	row := t.cost[i*t.n : (i+1)*t.n]
	for j := range int32(t.n) {
		if int(j) == i || len(list) == tourNear && row[j] >= row[list[tourNear-1]] {
			continue
		}
		if len(list) < tourNear {
			list = append(list, j)
		} else {
			list[tourNear-1] = j
		}
		for k := len(list) - 1; k > 0 && row[list[k]] < row[list[k-1]]; k-- {
			list[k], list[k-1] = list[k-1], list[k]
		}
	}
	return list
}

func (t *tour) length() int64 {
	var sum int64
	for i, v := range t.order {
		sum += t.d(v, t.order[(i+1)%t.n])
	}
	return sum
}

// begin visits the nearest node not yet visited, from the gap on; a node that must be last comes last.
func (t *tour) begin() {
	done := make([]bool, t.n)
	v := int32(t.n - 1)
	if t.last != none {
		done[t.last] = true
	}
	for i := range t.order {
		t.order[i], t.at[v], done[v] = v, int32(i), true
		next := t.last
		if i < t.n-2 {
			next = none
		}
		for w := range int32(t.n) {
			if !done[w] && (next == none || t.d(v, w) < t.d(v, next)) {
				next = w
			}
		}
		v = next
	}
}

// flip reverses the nodes between two places of the list.
func (t *tour) flip(i, j int32) {
	t.log = append(t.log, [2]int32{i, j})
	t.turn(i, j)
}

func (t *tour) turn(i, j int32) {
	t.work.left -= int64(j-i) / 2
	for ; i < j; i, j = i+1, j-1 {
		a, b := t.order[i], t.order[j]
		t.order[i], t.order[j] = b, a
		t.at[b], t.at[a] = i, j
	}
}

func (t *tour) undo() {
	for i := len(t.log) - 1; i >= 0; i-- {
		t.turn(t.log[i][0], t.log[i][1])
	}
	t.log = t.log[:0]
}

func (t *tour) look(v int32) {
	if !t.wait[v] {
		t.wait[v] = true
		t.todo = append(t.todo, v)
	}
}

// settle makes improving moves until none of the waiting nodes has one, and returns the gain.
func (t *tour) settle() int64 {
	var gain int64
	for len(t.todo) > 0 {
		v := t.todo[len(t.todo)-1]
		t.todo = t.todo[:len(t.todo)-1]
		t.wait[v] = false
		for {
			g := t.improve(v)
			if g == 0 {
				break
			}
			gain += g
		}
	}
	return gain
}

func (t *tour) next(v int32) int32 {
	i := int(t.at[v]) + 1
	if i == t.n {
		i = 0
	}
	return t.order[i]
}

func (t *tour) prev(v int32) int32 {
	i := int(t.at[v])
	if i == 0 {
		i = t.n
	}
	return t.order[i-1]
}

// improve makes the first improving move found at a node: an exchange of two edges, or a move of one
// to three nodes to another place, either way round.
func (t *tour) improve(a int32) int64 {
	t.work.left -= tourNear
	for _, forward := range [2]bool{true, false} {
		step := t.next
		if !forward {
			step = t.prev
		}
		b := step(a)
		ab := t.d(a, b)
		for _, c := range t.near[a] {
			g := ab - t.d(a, c)
			if g <= 0 {
				break
			}
			e := step(c)
			if g += t.d(c, e) - t.d(b, e); g > 0 && c != b && e != a {
				t.exchange(a, b, c, e, forward)
				return g
			}
		}
	}
	for _, forward := range [2]bool{true, false} {
		if g := t.carry(a, forward); g > 0 {
			return g
		}
	}
	return 0
}

// exchange replaces the edges a-b and c-e by a-c and b-e.
func (t *tour) exchange(a, b, c, e int32, forward bool) {
	i, j := t.at[b], t.at[c] // b..c reversed, b behind a
	if !forward {
		i, j = t.at[a], t.at[e] // a..e, in front of b and behind c
	}
	if i > j {
		// The same two edges seen from the other side of the list.
		i, j = j+1, i-1
	}
	t.flip(i, j)
	t.look(a)
	t.look(b)
	t.look(c)
	t.look(e)
}

// carry moves one to three nodes, of which a is one end and leads, next to a neighbour of a.
func (t *tour) carry(a int32, forward bool) int64 {
	i := t.at[a]
	for size := int32(1); size <= 3; size++ {
		lo, hi := i, i+size-1
		if !forward {
			lo, hi = i-size+1, i
		}
		if lo <= 0 || int(hi) >= t.n-1 { // neighbours on both sides within the list
			return 0
		}
		before, after := t.order[lo-1], t.order[hi+1]
		end := t.order[hi]
		if !forward {
			end = t.order[lo]
		}
		free := t.d(before, t.order[lo]) + t.d(t.order[hi], after) - t.d(before, after)
		for _, c := range t.near[a] {
			g := free - t.d(a, c)
			if g <= 0 {
				break
			}
			k := t.at[c]
			if k >= lo && k <= hi {
				continue
			}
			for side := range 2 {
				e := t.next(c)
				if side == 1 {
					e = t.prev(c)
				}
				ke := t.at[e]
				if ke >= lo && ke <= hi || k+ke == int32(t.n-1) && (k == 0 || ke == 0) {
					continue
				}
				if h := g + t.d(c, e) - t.d(end, e); h > 0 {
					t.insert(lo, hi, min(k, ke), (side == 0) != forward)
					for _, v := range [...]int32{a, end, before, after, c, e} {
						t.look(v)
					}
					return h
				}
			}
		}
	}
	return 0
}

// insert moves the nodes from lo to hi between the places k and k+1, turned or not.
func (t *tour) insert(lo, hi, k int32, turned bool) {
	size := hi - lo + 1
	if k > hi {
		t.flip(lo, k)
		t.flip(lo, k-size)
		if !turned {
			t.flip(k-size+1, k)
		}
		return
	}
	t.flip(k+1, hi)
	t.flip(k+1+size, hi)
	if !turned {
		t.flip(k+1, k+size)
	}
}

// kick exchanges two neighbouring stretches of up to 50 nodes (a local double bridge) and returns
// the loss.
func (t *tour) kick(rng *rand.Rand) int64 {
	span := min(t.n-1, 100)
	size := 2 + rng.IntN(span-1)
	lo := int32(1 + rng.IntN(t.n-size))
	mid := lo + int32(rng.IntN(size-1))
	hi := lo + int32(size) - 1
	a, b, c, e := t.order[lo-1], t.order[lo], t.order[mid], t.order[mid+1]
	f, g := t.order[hi], t.order[(int(hi)+1)%t.n]
	t.insert(lo, mid, hi, false)
	for _, v := range [...]int32{a, b, c, e, f, g} {
		t.look(v)
	}
	return t.d(a, e) + t.d(f, b) + t.d(c, g) - t.d(a, b) - t.d(c, e) - t.d(f, g)
}

// search improves the tour by kicks that are taken back unless they pay, until the work is spent or
// the length reaches the bound.
func (t *tour) search(rng *rand.Rand, length, bound int64, work *budget) int64 {
	t.work = work
	for length > bound && work.spend(30) {
		t.log = t.log[:0]
		loss := t.kick(rng)
		loss -= t.settle()
		if loss > 0 {
			t.undo()
			continue
		}
		length += loss
	}
	return length
}
