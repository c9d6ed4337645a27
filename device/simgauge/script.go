package simgauge

import (
	"context"
	"fmt"
	"math/rand/v2"
	"time"
)

// Step is one thing a gauge does, a while after the step before it.
type Step struct {
	After  time.Duration
	Send   []byte // bytes as they are; nil sends nothing
	Unplug bool   // after the reader has taken everything
	Yank   bool   // at once; bytes under way are lost
	Replug bool
	// Ready waits for the reader to open the port and for the time after opening in which it takes
	// bytes for an old tail.
	Ready bool
}

// Script is what a gauge does, in order.
type Script []Step

// readyGap is a little more than the 150 ms in which a reader distrusts what comes after opening.
const readyGap = 200 * time.Millisecond

// Ready waits for the reader.
func Ready() Step { return Step{Ready: true} }

// Say sends text.
func Say(after time.Duration, text string) Step { return Step{After: after, Send: []byte(text)} }

// Half sends the first half of text and no more: a cable that was touched.
func Half(after time.Duration, text string) Step {
	return Step{After: after, Send: []byte(text)[:len(text)/2]}
}

// Twice sends text and again after gap: a bouncing send key if gap is short, a second equal part if long.
func Twice(after time.Duration, text string, gap time.Duration) Script {
	return Script{Say(after, text), Say(gap, text)}
}

// Garbage sends n bytes that depend on seed only, as a wrong speed gives: any byte but line ends.
func Garbage(after time.Duration, n int, seed uint64) Step {
	r := rand.New(rand.NewPCG(seed, 0))
	b := make([]byte, 0, n)
	for len(b) < n {
		if c := byte(r.UintN(256)); c != '\r' && c != '\n' {
			b = append(b, c)
		}
	}
	return Step{After: after, Send: b}
}

// Away unplugs and plugs in again after gap, then waits for the reader.
func Away(after, gap time.Duration) Script {
	return Script{{After: after, Unplug: true}, {After: gap, Replug: true}, Ready()}
}

// Scripts joins scripts one after another.
func Scripts(parts ...Script) (all Script) {
	for _, p := range parts {
		all = append(all, p...)
	}
	return all
}

// Play does the steps in order. It ends with the first step that fails or when the context ends.
func (g *Gauge) Play(ctx context.Context, s Script) error {
	for i, st := range s {
		if err := g.step(ctx, st); err != nil {
			return fmt.Errorf("simulated gauge: step %d of %d: %w", i+1, len(s), err)
		}
	}
	return nil
}

func (g *Gauge) step(ctx context.Context, st Step) error {
	if err := wait(ctx, st.After); err != nil {
		return err
	}
	switch {
	case st.Unplug:
		return g.Unplug()
	case st.Yank:
		return g.Yank()
	case st.Replug:
		return g.Replug()
	case st.Ready:
		if err := g.WaitReader(ctx); err != nil {
			return err
		}
		return wait(ctx, readyGap)
	case len(st.Send) > 0:
		return g.Send(st.Send)
	}
	return nil
}

func wait(ctx context.Context, d time.Duration) error {
	if d <= 0 {
		return ctx.Err()
	}
	t := time.NewTimer(d)
	defer t.Stop()
	select {
	case <-t.C:
		return nil
	case <-ctx.Done():
		return ctx.Err()
	}
}
