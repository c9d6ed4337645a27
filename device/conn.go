package device

import (
	"context"
	"sync"
	"time"

	"springline/device/port"
)

// connection is what a source reads: an open port, or the keys of a keyboard gauge.
type connection interface {
	Chunks() <-chan port.Chunk
	Opened() time.Time
	Now() time.Time // by the clock of Opened and of the chunks; a replay has one of its own
	Err() error
	Write(b []byte) error
	Beats() uint64
	Notes() []string
	Close() error
}

// keyFeed is the connection of a keyboard gauge; the keys come from the page.
type keyFeed struct {
	opened time.Time
	now    func() time.Time
	chunks chan port.Chunk
	done   chan struct{}
	once   sync.Once
}

func newKeyFeed(now func() time.Time) *keyFeed {
	return &keyFeed{opened: now(), now: now, chunks: make(chan port.Chunk, 64), done: make(chan struct{})}
}

func (k *keyFeed) push(ctx context.Context, c port.Chunk) error {
	select {
	case k.chunks <- c:
		return nil
	case <-k.done:
		return k.Err()
	case <-ctx.Done():
		return ctx.Err()
	}
}

func (k *keyFeed) Chunks() <-chan port.Chunk { return k.chunks }
func (k *keyFeed) Opened() time.Time         { return k.opened }
func (k *keyFeed) Now() time.Time            { return k.now() }
func (k *keyFeed) Beats() uint64             { return 0 }
func (k *keyFeed) Notes() []string           { return nil }

func (k *keyFeed) Err() error {
	return &port.Error{Code: port.Closed, Addr: "keyboard", Cause: "the keyboard gauge was closed"}
}

func (k *keyFeed) Write([]byte) error {
	return &port.Error{Code: port.BadAddress, Addr: "keyboard", Cause: "a keyboard gauge cannot be asked", Do: "press its send key"}
}

func (k *keyFeed) Close() error {
	k.once.Do(func() { close(k.done) })
	return nil
}
