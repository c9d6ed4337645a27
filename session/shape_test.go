package session

import (
	"math/rand/v2"
	"testing"

	"github.com/google/go-cmp/cmp"

	"springline/session/command"
	"springline/session/derive"
	"springline/session/show"
)

// A study that shows a worse gauge makes the shape less certain, though no record touches the rib.
func TestShapeIsAnotherAfterAGaugeStudy(t *testing.T) {
	c := newClock()
	b := studyBench(t, t.TempDir(), c)
	do(t, b, command.Order{Deed: command.Choose{Rib: "01"}})
	values(t, b, "3558.6", "3558.6", "2061.4", "1", "1")
	was := b.View().Current.Shape
	do(t, b, command.Order{Deed: smallStudy})
	measureAll(t, b, c, rand.New(rand.NewPCG(1, 2)))
	do(t, b, command.Order{Deed: command.FinishStudy{}})
	var k derive.LastAnswers
	want := show.ShownShape(k.At(b.state).Shape())
	if now := b.View().Current.Shape; !cmp.Equal(now, want) || cmp.Equal(now, was) {
		t.Errorf("before %+v, after %+v, worked out anew %+v", was, now, want)
	}
}
