package demo

import (
	"context"
	"errors"
	"fmt"
	"time"

	"springline/device/simgauge"
	"springline/qc"
	"springline/qc/length"
	"springline/session/command"
	"springline/session/show"
)

// Paces of a quick hand. Two readings of one gauge within 150 ms and alike would be one bounce.
const (
	pace      = 15 * time.Millisecond
	relayPace = 170 * time.Millisecond
	patience  = 5 * time.Second
)

// measure takes the round of the current rib until nothing is open.
func (y *yard) measure(ctx context.Context, number, round int, bar shape) error {
	for {
		n := y.bench.View().Current.Next
		if n == nil {
			return nil
		}
		c, ok := y.job.Target.Characteristic(qc.CharID(n.Char))
		if !ok {
			return fmt.Errorf("the bench asks for %q, which is not in the round", n.Char)
		}
		wait := pace
		if n.Reading > 1 {
			wait = relayPace // lifted and laid again
		}
		if err := settle(ctx, wait); err != nil {
			return err
		}
		what := none
		if at := (mishapAt{number, n.Char}); round == 1 && n.Reading == 1 && !y.happened[at] {
			what = mishaps[number][n.Char]
			y.happened[at] = true
		}
		if err := y.take(ctx, n, y.plant.read(bar, c), what); err != nil {
			return fmt.Errorf("%s: %w", n.Label, err)
		}
	}
}

// take sends one reading, with its mishap, and answers what the bench asks.
func (y *yard) take(ctx context.Context, n *show.NextView, mm float64, what mishap) error {
	text, frame := y.frame(n.GaugeID, mm)
	sim := y.gauges.byID[n.GaugeID]
	send := func(s string) error { return sim.Send([]byte(s)) }
	seen := y.progress(n)
	switch what {
	case byHand, inFeet:
		entry := text
		if what == inFeet {
			l, err := length.FromMM(mm)
			if err != nil {
				return err
			}
			entry = l.FeetInches(16)
		}
		a, err := y.do(ctx, maker, command.Type{Text: entry})
		if err != nil {
			return err
		}
		y.say("         the tape's sender is silent: %s is typed (%s)", n.Label, a.Read)
	case sentTwice:
		if err := errors.Join(send(frame), settle(ctx, 40*time.Millisecond), send(frame)); err != nil {
			return err
		}
		if err := y.question(ctx, checker, func(seq int64) command.Deed {
			return command.Discard{Seq: seq,
				Reason: "the send key bounced"}
		}); err != nil {
			return err
		}
	case inInches:
		if err := send(fmt.Sprintf("%.2f\r\n", mm/25.4)); err != nil {
			return err
		}
		if err := y.question(ctx, checker, func(seq int64) command.Deed {
			return command.Take{Seq: seq, Suggested: true, Reason: "the tape was switched to inches"}
		}); err != nil {
			return err
		}
	case halfFrame:
		if err := errors.Join(send(frame[:len(frame)/2-1]), settle(ctx, 450*time.Millisecond)); err != nil {
			return err
		}
		y.say("         half a frame came and was refused; the send key is pressed again")
		if err := send(frame); err != nil {
			return err
		}
	case pulledOut:
		if err := y.replug(ctx, n.GaugeID); err != nil {
			return err
		}
		if err := send(frame); err != nil {
			return err
		}
	default:
		if err := send(frame); err != nil {
			return err
		}
	}
	var wrong error
	again := false
	err := y.until(ctx, func() bool {
		var laid bool
		laid, wrong = y.answer(ctx)
		again = again || laid
		return wrong != nil || again || y.progress(n) != seen
	})
	return errors.Join(err, wrong)
}

// frame is a reading as the gauge shows and sends it.
func (y *yard) frame(gauge string, mm float64) (text, frame string) {
	if gauge == "tape-1" {
		text = shown(mm, tapeStepMM)
		return text, text + "\r\n"
	}
	text = shown(mm, caliperStepMM)
	return text, fmt.Sprintf("%s mm\r\n", text)
}

// progress is how far the current rib is with a characteristic.
func (y *yard) progress(n *show.NextView) int {
	for _, s := range y.bench.View().Current.Steps {
		if s.Char == n.Char {
			return len(s.Seqs)
		}
	}
	return -1
}

// until waits for the bench to say so, woken by every change.
func (y *yard) until(ctx context.Context, done func() bool) error {
	wake, stop := y.bench.Listen()
	defer stop()
	late := time.NewTimer(patience)
	defer late.Stop()
	for !done() {
		select {
		case <-wake:
		case <-late.C:
			return errors.New("the bench did not answer within 5 s")
		case <-ctx.Done():
			return ctx.Err()
		}
	}
	return nil
}

// question waits for the bench to hold a value and answers it.
func (y *yard) question(ctx context.Context, by string, answer func(seq int64) command.Deed) error {
	if err := y.until(ctx, func() bool { return len(y.bench.View().Held) > 0 }); err != nil {
		return err
	}
	h := y.bench.View().Held[0]
	y.say("         the bench asks about %s %s: %s", h.Gauge, h.Value, h.Reason)
	_, err := y.do(ctx, by, answer(h.Seq))
	return err
}

// answer takes any other held value: the maker has looked and it is what the gauge shows. Readings that
// do not agree are all taken again instead, the rib lifted and laid anew; again says so.
func (y *yard) answer(ctx context.Context) (again bool, err error) {
	for _, h := range y.bench.View().Held {
		if h.Repeat {
			y.say("         the bench asks: %s; the rib is lifted, laid again and read anew", h.Reason)
			if _, err := y.do(ctx, maker, command.Again{Char: h.Char, Seq: h.Seq,
				Reason: "the readings disagree: lifted and laid again"}); err != nil {
				return again, err
			}
			again = true
			continue
		}
		y.say("         the bench asks about %s %s: %s; it is right and taken", h.Gauge, h.Value, h.Reason)
		if _, err := y.do(ctx, checker, command.Take{Seq: h.Seq}); err != nil {
			return again, err
		}
	}
	return again, nil
}

// replug pulls the plug of a gauge and puts it back, which gives the port another name.
func (y *yard) replug(ctx context.Context, id string) error {
	sim := y.gauges.byID[id]
	was := sim.Device()
	if err := sim.Unplug(); err != nil {
		return err
	}
	state := func(word string) func() bool {
		return func() bool {
			for _, g := range y.bench.View().Gauges {
				if g.ID == id {
					return (g.State == "reading") == (word == "reading")
				}
			}
			return false
		}
	}
	if err := y.until(ctx, state("unplugged")); err != nil {
		return fmt.Errorf("unplugged %s: %w", id, err)
	}
	// Something else takes the old name meanwhile, as it happens with USB.
	other, err := simgauge.New(simgauge.Options{})
	if err != nil {
		return err
	}
	defer other.Yank()
	if err := sim.Replug(); err != nil {
		return err
	}
	if err := y.until(ctx, state("reading")); err != nil {
		return fmt.Errorf("replugged %s: %w", id, err)
	}
	if err := errors.Join(sim.WaitReader(ctx), settle(ctx, 200*time.Millisecond)); err != nil {
		return err
	}
	y.sum.Unplugs++
	y.say("         %s came unplugged and is read again (%s, now %s)", id, was, sim.Device())
	return nil
}
