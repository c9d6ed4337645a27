package session

import (
	"slices"
	"sync"
)

// shownView is what was published: the view but for what takes longer than a reading may wait, which is
// worked out by the first to look, and once.
type shownView struct {
	view  View
	is    *derived
	once  sync.Once
	whole View
}

// View is the bench as of the last record. It is shared: its slices must not be changed.
func (b *Bench) View() View {
	s := b.shown.Load()
	s.once.Do(func() { s.whole = withDerived(s.view, s.is) })
	return s.whole
}

// derived is what follows from what was published last, which is the state as long as mu is held.
func (b *Bench) derived() *derived { return b.shown.Load().is }

// publish builds the view and wakes the listeners. The caller holds mu.
func (b *Bench) publish() {
	in := showInput{state: b.state, is: b.answers.at(b.state), kept: &b.lastShown, live: b.live}
	if err := b.writable(); err != nil && err != ErrReadOnly {
		in.fault = err.Error()
	}
	b.shown.Store(&shownView{view: newView(in), is: in.is})
	b.listeners.wake()
}

// Partners lists the ribs that a rib may stand with, the most alike first, with what locking the pair now
// would cost. For a rib that is locked or confirmed in a pair already it says who else would have done.
// Errors are *words.Refusal.
func (b *Bench) Partners(rib string) ([]PartnerView, error) {
	p := b.derived().pairs()
	list, err := p.partners(rib)
	if err != nil {
		return nil, err
	}
	return shownPartners(p, list), nil
}

// PairProof is the proof of the present proposal as a text that `springline pair prove` checks by itself.
func (b *Bench) PairProof() ([]byte, error) { return b.derived().pairs().proof() }

// RunOrder works out the order of the confirmed pairs in which neighbours differ least, with a rib of the
// pair that stands first or last where one is wanted. Errors are *words.Refusal.
func (b *Bench) RunOrder(first, last string) (OrderView, error) {
	p := b.derived().pairs()
	r, err := p.order(first, last)
	if err != nil {
		return OrderView{}, err
	}
	c := p.pairingState.order
	if c != nil && !slices.Equal(c.Order, r.body.Order) {
		c = nil // another was confirmed
	}
	v := shownOrder(p, r, c)
	v.First, v.Last = first, last
	return *v, nil
}
