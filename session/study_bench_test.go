package session

import (
	"math/rand/v2"
	"testing"

	"springline/session/command"
)

// BenchmarkViewAfterStudy times the view with a finished study in it, which every reading after it pays for.
func BenchmarkViewAfterStudy(b *testing.B) {
	c := newClock()
	bench := studyBench(b, b.TempDir(), c)
	large := smallStudy
	large.Persons, large.Repeats = []string{"a", "b", "c", "d", "e"}, 5
	do(b, bench, command.Order{Deed: large})
	measureAll(b, bench, c, rand.New(rand.NewPCG(1, 2)))
	do(b, bench, command.Order{Deed: command.FinishStudy{}})
	for b.Loop() {
		bench.mu.Lock()
		bench.publish()
		bench.mu.Unlock()
	}
}
