package session

import (
	"slices"
	"sync"

	"springline/session/derive"
	"springline/session/show"
)

// shownView is what was published: the view but for what takes longer than a reading may wait, which is
// worked out by the first to look, and once.
type shownView struct {
	view  show.View
	is    *derive.Set
	once  sync.Once
	whole show.View
}

// View is the bench as of the last record. It is shared: its slices must not be changed.
func (b *Bench) View() show.View {
	s := b.shown.Load()
	s.once.Do(func() { s.whole = show.WithDerived(s.view, s.is) })
	return s.whole
}

// derived is what follows from what was published last, which is the state as long as mu is held.
func (b *Bench) derived() *derive.Set { return b.shown.Load().is }

// publish builds the view and wakes the listeners. The caller holds mu.
func (b *Bench) publish() {
	in := show.ShowInput{State: b.state, Is: b.answers.At(b.state), Kept: &b.lastShown, Live: b.live}
	if err := b.writable(); err != nil && err != ErrReadOnly {
		in.Fault = err.Error()
	}
	b.shown.Store(&shownView{view: show.NewView(in), is: in.Is})
	b.listeners.wake()
}

// Partners lists the ribs that a rib may stand with, the most alike first, with what locking the pair now
// would cost. For a rib that is locked or confirmed in a pair already it says who else would have done.
// Errors are *words.Refusal.
func (b *Bench) Partners(rib string) ([]show.PartnerView, error) {
	p := b.derived().Pairs()
	list, err := p.Partners(rib)
	if err != nil {
		return nil, err
	}
	return show.ShownPartners(p, list), nil
}

// PairProof is the proof of the present proposal as a text that `springline pair prove` checks by itself.
func (b *Bench) PairProof() ([]byte, error) { return b.derived().Pairs().Proof() }

// RunOrder works out the order of the confirmed pairs in which neighbours differ least, with a rib of the
// pair that stands first or last where one is wanted. Errors are *words.Refusal.
func (b *Bench) RunOrder(first, last string) (show.OrderView, error) {
	p := b.derived().Pairs()
	r, err := p.Order(first, last)
	if err != nil {
		return show.OrderView{}, err
	}
	c := p.PairingState.Order
	if c != nil && !slices.Equal(c.Order, r.Body.Order) {
		c = nil // another was confirmed
	}
	v := show.ShownOrder(p, r, c)
	v.First, v.Last = first, last
	return *v, nil
}
