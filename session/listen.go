package session

import "sync"

// listeners are woken after each change; a slow one misses nothing but repeats.
type listeners struct {
	mu  sync.Mutex
	all map[chan struct{}]bool
	off bool
}

// Listen returns a channel that holds one token whenever something changed since it was last read:
// changes that come before the reader does count as one. The channel is closed with the bench. Stop
// ends it; it may be called more than once.
func (b *Bench) Listen() (wake <-chan struct{}, stop func()) {
	l := &b.listeners
	ch := make(chan struct{}, 1)
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.off {
		close(ch)
		return ch, func() {}
	}
	if l.all == nil {
		l.all = map[chan struct{}]bool{}
	}
	l.all[ch] = true
	return ch, func() {
		l.mu.Lock()
		defer l.mu.Unlock()
		delete(l.all, ch)
	}
}

func (l *listeners) wake() {
	l.mu.Lock()
	defer l.mu.Unlock()
	for ch := range l.all {
		select {
		case ch <- struct{}{}:
		default:
		}
	}
}

func (l *listeners) close() {
	l.mu.Lock()
	defer l.mu.Unlock()
	l.off = true
	for ch := range l.all {
		close(ch)
	}
	l.all = nil
}
