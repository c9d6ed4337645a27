package length

import (
	"errors"
	"fmt"
	"math"
	"math/bits"
)

// ErrOverflow is wrapped by every arithmetic error here: the true result does not fit an int64.
var ErrOverflow = errors.New("the result is beyond 9.2 million kilometres")

// Add returns a + b.
func Add(a, b Length) (Length, error) {
	s := a + b
	if (a > 0 && b > 0 && s <= 0) || (a < 0 && b < 0 && s >= 0) {
		return 0, fmt.Errorf("add %d nm and %d nm: %w", a, b, ErrOverflow)
	}
	return s, nil
}

// Sub returns a - b.
func Sub(a, b Length) (Length, error) {
	d := a - b
	if (a >= 0 && b < 0 && d < 0) || (a < 0 && b > 0 && d >= 0) {
		return 0, fmt.Errorf("subtract %d nm from %d nm: %w", b, a, ErrOverflow)
	}
	return d, nil
}

// Mul returns n times l.
func Mul(l Length, n int64) (Length, error) {
	hi, lo := bits.Mul64(magnitude(int64(l)), magnitude(n))
	negative := (l < 0) != (n < 0)
	switch {
	case hi == 0 && lo <= math.MaxInt64:
		if negative {
			return -Length(lo), nil
		}
		return Length(lo), nil
	case hi == 0 && lo == 1<<63 && negative:
		return math.MinInt64, nil
	}
	return 0, fmt.Errorf("multiply %d nm by %d: %w", l, n, ErrOverflow)
}

// Sum returns the sum of ls, checked at every step.
func Sum(ls ...Length) (Length, error) {
	var total Length
	for _, l := range ls {
		var err error
		if total, err = Add(total, l); err != nil {
			return 0, err
		}
	}
	return total, nil
}

// Abs returns the length without its sign.
func Abs(l Length) (Length, error) {
	if l == math.MinInt64 {
		return 0, fmt.Errorf("drop the sign of %d nm: %w", l, ErrOverflow)
	}
	if l < 0 {
		return -l, nil
	}
	return l, nil
}

// Half returns l/2 rounded to a whole nanometre, ties to even, as for the half of a difference.
func Half(l Length) Length {
	h := l / 2
	if l%2 != 0 && h%2 != 0 {
		if l < 0 {
			return h - 1
		}
		return h + 1
	}
	return h
}

// magnitude is |x| as unsigned, right for the most negative integer too.
func magnitude(x int64) uint64 {
	if x < 0 {
		return -uint64(x)
	}
	return uint64(x)
}
