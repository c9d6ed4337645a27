package draw

import (
	"math"
	"strconv"
	"strings"
)

// Tick is a mark on an axis with its label.
type Tick struct {
	At    float64
	Label string
}

// Ticks covers [lo, hi] with about n marks, never much more, at multiples of 1, 2 or 5 times a power of ten. Every label
// has the decimals of the step, a true minus sign, and a plus where signed is set.
func Ticks(lo, hi float64, n int, signed bool) []Tick {
	if !(hi > lo) || n < 1 {
		return nil
	}
	raw := (hi - lo) / float64(n)
	exp := math.Floor(math.Log10(raw))
	step, digit := 0.0, 1.0
	for _, digit = range []float64{1, 2, 5, 10} {
		if step = digit * math.Pow(10, exp); step >= 0.7*raw {
			break
		}
	}
	decimals := max(0, -int(exp))
	if digit == 10 {
		decimals = max(0, decimals-1)
	}
	var out []Tick
	for i := math.Ceil(lo/step - 1e-9); i*step <= hi+step*1e-9; i++ {
		s := strconv.FormatFloat(i*step, 'f', decimals, 64)
		if i == 0 {
			s = strings.TrimPrefix(s, "-")
		}
		if signed && i > 0 {
			s = "+" + s
		}
		out = append(out, Tick{At: i * step, Label: strings.Replace(s, "-", "−", 1)})
	}
	return out
}
