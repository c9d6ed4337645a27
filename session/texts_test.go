package session

import (
	"testing"

	"pgregory.net/rapid"

	"springline/qc/length"
)

// TestFixedIsText holds the fast form against the exact one.
func TestFixedIsText(t *testing.T) {
	steps := []length.Length{1, 10, 1000, 10_000, 100_000, 1_000_000, 500_000, 2_000_000}
	for _, l := range []length.Length{0, 49_999, 50_000, 150_000, -50_000, -150_000, -49_999, 999_950_000, -999_950_000} {
		for _, s := range steps {
			if got, want := fixed(l, s), l.Text(length.MM, s); got != want {
				t.Errorf("%d by %d: %q, want %q", l, s, got, want)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		l := length.Length(rapid.Int64Range(-200e9, 200e9).Draw(t, "nm"))
		s := rapid.SampledFrom(steps).Draw(t, "step")
		if got, want := fixed(l, s), l.Text(length.MM, s); got != want {
			t.Fatalf("%d by %d: %q, want %q", l, s, got, want)
		}
	})
}
