package port

import (
	"os"
	"path/filepath"
	"strings"
	"sync"
	"time"
)

// pollEvery is how often the listing is compared when no event comes: some containers get none.
const pollEvery = 2 * time.Second

// Watcher tells when a serial port came or went. It never opens a port.
type Watcher struct {
	sys    Sysfs
	stop   chan struct{}
	done   sync.WaitGroup
	events *uevents // nil where the kernel gives none; then only the poll works

	mu     sync.Mutex
	subs   map[int]chan struct{}
	nextID int
	closed bool
}

// Watch starts watching. Kernel events are used for the running system only; a tree given by a test
// is polled each poll (0 means 2 s).
func Watch(sys Sysfs, poll time.Duration) *Watcher {
	if poll <= 0 {
		poll = pollEvery
	}
	w := &Watcher{sys: sys, stop: make(chan struct{}), subs: map[int]chan struct{}{}}
	if sys.Root == "" {
		// Without events the poll still finds every change, only later.
		w.events, _ = listenUevents()
	}
	if w.events != nil {
		w.done.Go(func() { w.events.run(w.wake) })
	}
	last := sys.snapshot() // before Watch returns, so that no change after it is missed
	w.done.Go(func() { w.poll(poll, last) })
	return w
}

// Subscribe gives a channel that gets a value after each change; changes close together are one value.
// The function ends the subscription.
func (w *Watcher) Subscribe() (<-chan struct{}, func()) {
	c := make(chan struct{}, 1)
	w.mu.Lock()
	id := w.nextID
	w.nextID++
	w.subs[id] = c
	w.mu.Unlock()
	return c, func() {
		w.mu.Lock()
		delete(w.subs, id)
		w.mu.Unlock()
	}
}

// Close stops watching and waits until nothing of it runs.
func (w *Watcher) Close() {
	w.mu.Lock()
	again := w.closed
	w.closed = true
	w.mu.Unlock()
	if again {
		return
	}
	close(w.stop)
	if w.events != nil {
		w.events.close()
	}
	w.done.Wait()
}

func (w *Watcher) wake() {
	w.mu.Lock()
	defer w.mu.Unlock()
	for _, c := range w.subs {
		select {
		case c <- struct{}{}:
		default: // one is waiting already
		}
	}
}

func (w *Watcher) poll(every time.Duration, last string) {
	tick := time.NewTicker(every)
	defer tick.Stop()
	for {
		select {
		case <-w.stop:
			return
		case <-tick.C:
			if now := w.sys.snapshot(); now != last {
				last = now
				w.wake()
			}
		}
	}
}

// snapshot is a cheap text that changes when a port comes, goes or is plugged again.
func (s Sysfs) snapshot() string {
	class := filepath.Join(s.root(), "class", "tty")
	entries, err := os.ReadDir(class)
	if err != nil {
		return ""
	}
	var b strings.Builder
	for _, e := range entries {
		// The link of a USB port holds its socket; the time of the link changes with each plugging.
		target, err := os.Readlink(filepath.Join(class, e.Name()))
		if err != nil || strings.Contains(target, "/virtual/") {
			continue
		}
		b.WriteString(target)
		if st, err := os.Lstat(filepath.Join(class, e.Name())); err == nil {
			b.WriteString(st.ModTime().String())
		}
		b.WriteByte('\n')
	}
	return b.String()
}
