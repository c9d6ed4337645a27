package session

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"math/rand/v2"
	"os"
	"os/exec"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/rs/zerolog"

	"springline/qc"
	"springline/session/command"
)

// measureForEver is the child of the kill loop: it measures rib after rib and tells of every answer it
// gets, key and seq, on standard output, which the parent keeps as the ledger.
func measureForEver(dir, run string) error {
	ctx := context.Background()
	b, err := Open(ctx, Config{Dir: dir, Bench: "bench-1", Software: "springline test", Now: time.Now, Log: zerolog.Nop()})
	if err != nil {
		return err
	}
	if len(b.Batches()) == 0 {
		target, err := qc.NewArch(testSpec(1))
		if err != nil {
			return err
		}
		for _, err := range []error{
			b.Set(ctx, command.StateGauge(tape.Stated())), b.Set(ctx, command.StateGauge(caliper.Stated())),
			b.Set(ctx, command.LotDeed(qc.Lot{ID: "L1"})), b.Set(ctx, command.JigDeed(qc.Jig{ID: "J1", FaceRadius: 1300 * mm})),
			b.Set(ctx, command.TargetDeed(target)),
			b.Set(ctx, command.BatchSetup{ID: "B1", Target: target.ID, Revision: 1, Decision: qc.DefaultDecision, Jig: "J1", Lot: "L1"}.Deed()),
		} {
			if err != nil {
				return err
			}
		}
	}
	n := 0
	step := func(c command.Order) error {
		n++
		c.Key = run + "-" + strconv.Itoa(n)
		a, err := b.Do(ctx, c)
		if err != nil {
			return err
		}
		if v := b.View(); v.Seq < a.Seq {
			return fmt.Errorf("record %d was acknowledged and the view is at %d", a.Seq, v.Seq)
		}
		_, err = fmt.Printf("%s %d\n", c.Key, a.Seq)
		return err
	}
	for {
		if err := step(command.Order{Deed: command.Start{}}); err != nil {
			return err
		}
		for {
			next := b.View().Current.Next
			if next == nil {
				break
			}
			want, _, _ := strings.Cut(next.Want, " ")
			if err := step(command.Order{Deed: command.Type{Text: want}}); err != nil {
				return err
			}
			if n%7 == 0 {
				if err := step(command.Order{Deed: command.Undo{}}); err != nil {
					return err
				}
			}
		}
	}
}

// TestKillLoop kills a real process at random moments and expects everything it was told was stored to
// be there, once, and the record to be whole. SPRINGLINE_KILLS asks for more kills than 25.
func TestKillLoop(t *testing.T) {
	kills := 25
	if v := os.Getenv("SPRINGLINE_KILLS"); v != "" {
		var err error
		if kills, err = strconv.Atoi(v); err != nil || kills < 1 {
			t.Fatalf("SPRINGLINE_KILLS=%q: %v", v, err)
		}
	}
	dir := t.TempDir()
	rng := rand.New(rand.NewPCG(1, uint64(kills)))
	ledger := map[string]int64{}
	// On a busy machine a process may die before it answered anything: go on until enough was answered.
	for run := 0; run < kills || len(ledger) < 4*kills && run < 40*kills; run++ {
		runOnce(t, dir, run, time.Duration(rng.Int64N(int64(120*time.Millisecond))), ledger)
	}
	if len(ledger) < 4*kills {
		t.Fatalf("only %d answers over %d kills: the loop proves little", len(ledger), kills)
	}
	ctx := context.Background()
	b, err := Open(ctx, testConfig(dir, newClock()))
	if err != nil {
		t.Fatal(err)
	}
	if _, err := b.Verify(ctx); err != nil {
		t.Error(err)
	}
	for key, seq := range ledger {
		r, ok, err := b.store.ByKey(ctx, "bench-1", key)
		if err != nil || !ok || r.Seq != seq {
			t.Fatalf("acknowledged as record %d under key %s: found %d %v %v", seq, key, r.Seq, ok, err)
		}
	}
	b.Close()
	if n, err := Rebuild(ctx, testConfig(dir, newClock()), false); err != nil {
		t.Error(err)
	} else {
		t.Logf("%d kills, %d acknowledged, %d records, none lost", kills, len(ledger), n)
	}
}

func runOnce(t *testing.T, dir string, run int, life time.Duration, ledger map[string]int64) {
	t.Helper()
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), childEnv+"="+dir, fmt.Sprintf("%s_RUN=r%d", childEnv, run))
	var stderr strings.Builder
	cmd.Stderr = &stderr
	out, err := cmd.StdoutPipe()
	if err != nil {
		t.Fatal(err)
	}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	lines := bufio.NewScanner(out)
	for first := true; lines.Scan(); first = false {
		if first {
			time.AfterFunc(life, func() { _ = cmd.Process.Kill() })
		}
		key, seq, _ := strings.Cut(lines.Text(), " ")
		n, err := strconv.ParseInt(seq, 10, 64)
		if err != nil {
			continue // the line that the kill cut
		}
		ledger[key] = n
	}
	err = cmd.Wait()
	var exit *exec.ExitError
	if !errors.As(err, &exit) || exit.Exited() {
		t.Fatalf("run %d ended by itself: %v %s", run, err, stderr.String())
	}
}
