package session

import (
	"bytes"
	"compress/gzip"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"math/rand/v2"
	"os"
	"path/filepath"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"

	"springline/qc"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/store"
)

// day is a bench at work whose views, answers and refusals are held against files: what a person is shown
// stays as it is while the code behind it moves.
type day struct {
	t    *testing.T
	b    *Bench
	c    *clock
	rng  *rand.Rand
	name string
	says bytes.Buffer // every answer and refusal, one a line
}

// days has the name of each recorded day and what is done on it.
var days = []struct {
	name string
	work func(*day)
}{
	{"measuring", (*day).measuring}, {"study", (*day).study}, {"pairs", (*day).pairs}, {"checks", (*day).checks},
}

func (d *day) do(c command.Order) command.Ack {
	d.t.Helper()
	a, err := d.b.Do(d.t.Context(), c)
	d.note("done", a, err)
	return a
}

// asked is the value that waits for an answer, 0 when none does.
func (d *day) asked() int64 {
	for _, h := range d.b.View().Held {
		return h.Seq
	}
	return 0
}

func (d *day) send(gauge, value string) {
	d.t.Helper()
	o, err := d.b.Arrived(update(gauge, sample(value), d.c.now()))
	d.note("arrived", o, err)
}

func (d *day) note(how string, answer any, err error) {
	d.t.Helper()
	var refusal *words.Refusal
	if errors.As(err, &refusal) {
		fmt.Fprintf(&d.says, "refused: %s %s: %v\n", refusal.Code, refusal.Field, err)
		return
	}
	text, e := json.Marshal(answer)
	if err := errors.Join(err, e); err != nil {
		d.t.Fatal(err)
	}
	fmt.Fprintf(&d.says, "%s: %s\n", how, text)
}

func (d *day) rib(texts ...string) {
	d.t.Helper()
	d.do(command.Order{Deed: command.Start{}})
	for _, x := range texts {
		d.do(command.Order{Deed: command.Type{Text: x}})
	}
}

// look keeps the view under the name of this point of the day.
func (d *day) look(point string) {
	d.t.Helper()
	d.golden(point+".json", viewText(d.t, d.b))
}

func viewText(t *testing.T, b *Bench) []byte {
	t.Helper()
	text, err := json.MarshalIndent(still(b.View()), "", " ")
	if err != nil {
		t.Fatal(err)
	}
	return append(text, '\n')
}

func (d *day) golden(file string, got []byte) {
	d.t.Helper()
	path := filepath.Join("testdata", "days", d.name, file)
	if *updateGolden {
		if err := errors.Join(os.MkdirAll(filepath.Dir(path), 0o755), os.WriteFile(path, got, 0o644)); err != nil {
			d.t.Fatal(err)
		}
		return
	}
	want, err := os.ReadFile(path)
	if err != nil {
		d.t.Fatal(err)
	}
	if x := cmp.Diff(string(want), string(got)); x != "" {
		d.t.Errorf("%s (-golden +now; -update writes it anew):\n%s", path, x)
	}
}

func (d *day) measuring() {
	d.rib("3553.6", "3553.8", "2061.4")
	d.send("caliper", "0.42")
	d.c.t = d.c.t.Add(-4950 * time.Millisecond)
	d.send("caliper", "0.42") // alike and at once: sent twice?
	d.look("asked")
	d.do(command.Order{Deed: command.CloseBatch{}})
	d.do(command.Order{Deed: command.Discard{Seq: d.asked(), Reason: "pressed twice"}})
	d.c.t = d.c.t.Add(time.Minute)
	d.send("caliper", "-1.10")
	d.look("first-rib")
	d.rib("355.36") // ten times too short
	d.do(command.Order{Deed: command.Take{Seq: d.asked(), Suggested: true}})
	d.do(command.Order{Deed: command.Type{Text: "3,553"}})
	d.do(command.Order{Deed: command.Type{Text: `11' 7 15/16"`}})
	d.do(command.Order{Deed: command.Undo{}})
	d.do(command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.Type{Text: "3553.0"}})
	d.do(command.Order{Sent: command.Sent{Version: 3}, Deed: command.Type{Text: "2061"}})
	d.do(command.Order{Deed: command.Type{Text: "2061"}})
	d.do(command.Order{Deed: command.Skip{Char: "A1", Reason: "the foot is in the way"}})
	d.send("stranger", "1.0")
	d.send("caliper", "2.20")
	d.look("skipped")
	d.rib("3590", "3590.5", "2050", "2.5", "3")
	d.look("to-bend-again")
	d.do(command.Order{Deed: command.Pull{Before: "3590", Loaded: "3400"}})
	d.do(command.Order{Deed: command.Round{Reason: "pulled"}})
	for _, x := range []string{"3556", "3556", "2060", "1", "0.5"} {
		d.do(command.Order{Deed: command.Type{Text: x}})
	}
	d.do(command.Order{Deed: command.Again{Char: "tip", Reason: "the hook slipped"}})
	d.do(command.Order{Deed: command.Void{Seq: d.b.View().Seq - 2, Reason: "read from the wrong end"}})
	d.do(command.Order{Sent: command.Sent{By: "Otto"}, Deed: command.Note{Text: "wind from the west"}})
	d.do(command.Order{Deed: command.JigBuilt{Text: "1290.5 mm"}})
	d.do(command.Order{Deed: command.NextLot{Lot: "L2"}})
	d.do(command.Order{Deed: command.Choose{Rib: "01"}})
	d.look("back-to-the-first")
	for _, half := range []int{0, 1, -1, 0, 1, -1, 0, 1, 16, 17, 16} {
		tip := fmt.Sprint(3553.5 + float64(half)/2)
		d.rib(tip, tip, "2061.5", "0.5", "-0.5")
		for _, h := range d.b.View().Held {
			d.do(command.Order{Deed: command.Take{Seq: h.Seq}})
		}
	}
	d.look("the-jig-moved")
}

func (d *day) study() {
	for range 5 {
		d.do(command.Order{Deed: command.Start{}})
	}
	d.do(command.Order{Deed: command.Choose{Rib: "01"}})
	for _, x := range []string{"3553.6", "3553.6", "2061.4", "1", "1"} {
		d.do(command.Order{Deed: command.Type{Text: x}})
	}
	d.do(command.Order{Sent: command.Sent{Key: "s1"}, Deed: command.StartStudy{Char: "tip", Gauge: "tape",
		Ribs: []string{"01", "02", "03", "04", "05"}, Persons: []string{"Ines", "Otto"}, Repeats: 2}})
	d.look("started")
	d.do(command.Order{Deed: command.Type{Text: "3553"}})
	d.do(command.Order{Deed: command.PauseStudy{}})
	d.do(command.Order{Deed: command.Type{Rib: "02", Char: "crown", Text: "2061"}})
	d.look("paused")
	d.do(command.Order{Deed: command.ResumeStudy{}})
	for d.b.View().Study.Step != nil {
		d.do(command.Order{Deed: command.Type{Text: reading(d.b.View().Study, d.rng)}})
	}
	d.send("tape", "3550.0")
	d.do(command.Order{Deed: command.CloseBatch{}})
	d.do(command.Order{Deed: command.Discard{Seq: d.asked(), Reason: "late"}})
	d.look("complete")
	d.do(command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.FinishStudy{}})
	d.look("finished")
	d.do(command.Order{Deed: command.StartStudy{Char: "crown", Gauge: "tape", Ribs: []string{"01", "02", "03", "04", "05"},
		Persons: []string{"Ines", "Otto"}, Repeats: 2}})
	d.do(command.Order{Deed: command.CancelStudy{Reason: "rain"}})
}

func (d *day) pairs() {
	for _, r := range [][2]string{{"3", "-2"}, {"1", "1"}, {"-2", "3"}, {"1", "1.5"}, {"-4", "-4"}} {
		d.rib("3553.6", "3553.6", "2061.4", r[0], r[1])
	}
	d.look("provisional")
	d.do(command.Order{Deed: command.ChangePairRule{Limit: "4 mm", OtherLot: "0.3 mm"}})
	d.do(command.Order{Deed: command.ForbidPair{Rib: "03", With: "01", Reason: "both are bowed"}})
	d.do(command.Order{Deed: command.LockPair{Rib: "01", With: "03"}})
	d.do(command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.LockPair{Rib: "05", With: "02"}})
	d.do(command.Order{Deed: command.AllowPair{Rib: "03", With: "01"}})
	d.look("locked")
	d.do(command.Order{Deed: command.NextLot{Lot: "L2"}})
	d.rib("3553.6", "3553.6", "2061.4", "-4", "-4")
	d.do(command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: "another"}})
	d.do(command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: d.b.View().Pairs.Token}})
	d.do(command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmOrder{Token: d.b.View().Pairs.Order.Token}})
	d.look("confirmed")
	d.do(command.Order{Deed: command.ReleasePair{Rib: "02", With: "05"}})
	d.do(command.Order{Deed: command.Again{Rib: "04", Char: "B1", Reason: "slipped"}})
	d.look("outdated")
	d.do(command.Order{Deed: command.Type{Rib: "04", Char: "B1", Text: "1.5"}})
	d.do(command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.ConfirmPairs{Token: d.b.View().Pairs.Token}})
}

func (d *day) checks() {
	d.do(command.Order{Sent: command.Sent{By: "Ada"}, Deed: command.CheckGauge{Gauge: "tape", Reference: "1000", Due: "2027-05-04",
		Reason: "block 7", Readings: []string{"1000", "1000.25"}}})
	d.do(command.Order{Deed: command.ReadTemperature{Bar: "20", Tape: "30,0 °C"}})
	first := d.b.View().Seq
	d.rib("3553.6", "3553.6", "2061.4", "1", "1")
	d.do(command.Order{Deed: command.Start{Text: "6004"}})
	d.do(command.Order{Deed: command.Type{Text: "3557.6"}})
	d.look("warm")
	d.do(command.Order{Deed: command.ReadTemperature{Bar: "27.5", Tape: "30", Seq: first, Doubt: "0.5"}})
	d.do(command.Order{Deed: command.ReadTemperature{Bar: "hot", Tape: "30"}})
	d.look("put-right")
	d.do(command.Order{Deed: command.CheckGauge{Gauge: "tape", Reference: "1000", Readings: []string{"999.5", "1000.5"}}})
	d.do(command.Order{Deed: command.RetireGauge{Gauge: "caliper", Reason: "dropped"}})
	d.send("caliper", "1.5")
	d.do(command.Order{Deed: command.Type{Text: "3557.8"}})
	d.look("dropped")
}

func openDay(t *testing.T, name, dir string) *day {
	c := newClock()
	cfg := testConfig(dir, c)
	b, err := Open(t.Context(), cfg)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	return &day{t: t, b: b, c: c, name: name, rng: rand.New(rand.NewPCG(1, 1))}
}

// The views, answers and refusals of four made-up days stay as they are, live and after opening again.
func TestDaysShowWhatTheyShowed(t *testing.T) {
	for _, x := range days {
		t.Run(x.name, func(t *testing.T) {
			dir := t.TempDir()
			d := openDay(t, x.name, dir)
			setUp(t, d.b, 1)
			x.work(d)
			for _, h := range d.b.View().Held {
				d.do(command.Order{Deed: command.Discard{Seq: h.Seq, Reason: "the day is over"}})
			}
			d.do(command.Order{Deed: command.CloseBatch{}})
			d.look("closed")
			d.golden("answers.txt", d.says.Bytes())
			if err := d.b.Close(); err != nil {
				t.Fatal(err)
			}
			again := openDay(t, x.name, dir)
			again.golden("closed.json", viewText(t, again.b))
		})
	}
}

// The records of those days as release 6245f24 wrote them open, hold together up to the head that they had
// then, show what they showed, and give the rows that stood beside them until the bench was opened.
func TestOlderRecordsReadTheSame(t *testing.T) {
	for _, x := range days {
		t.Run(x.name, func(t *testing.T) {
			dir := t.TempDir()
			unzip(t, filepath.Join("testdata", "days", x.name, "record.db.gz"), filepath.Join(dir, "record.db"))
			if _, err := Rebuild(t.Context(), testConfig(dir, newClock()), true); err != nil {
				t.Errorf("the rows are not those of that release: %v", err)
			}
			d := openDay(t, x.name, dir)
			heads, err := d.b.Verify(t.Context())
			if err != nil {
				t.Fatal(err)
			}
			d.golden("head.txt", fmt.Appendf(nil, "%+v\n", heads))
			d.golden("closed.json", viewText(t, d.b))
			if err := d.b.Close(); err != nil {
				t.Fatal(err)
			}
			var old *store.RebuildError
			if _, err := Rebuild(t.Context(), testConfig(dir, newClock()), true); !errors.As(err, &old) {
				t.Errorf("rows outlived the opening of the bench: %v", err)
			}
		})
	}
}

func unzip(t *testing.T, from, to string) {
	t.Helper()
	packed, err := os.ReadFile(from)
	if err != nil {
		t.Fatal(err)
	}
	r, err := gzip.NewReader(bytes.NewReader(packed))
	if err != nil {
		t.Fatal(err)
	}
	raw, err := io.ReadAll(r)
	if err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(to, raw, 0o600); err != nil {
		t.Fatal(err)
	}
}

// Rib 01 of a closed batch was judged by the tape as it was then. A study in the next batch finds that the
// tape repeats badly: the next batch is judged anew and the closed one is not, live and after opening again.
func TestAClosedBatchKeepsItsVerdicts(t *testing.T) {
	dir, c := t.TempDir(), newClock()
	b := openTest(t, dir, c)
	target := setUp(t, b, 1)
	measured := func() {
		do(t, b, command.Order{Deed: command.Start{}})
		values(t, b, "3553.6", "3553.6", "2061.4", "1", "1")
	}
	measured()
	do(t, b, command.Order{Deed: command.CloseBatch{}})
	closed, err := b.Batch("B1")
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Set(t.Context(), command.BatchSetup{ID: "B2", Planned: 5, Target: target.ID, Revision: 1, Decision: qc.DefaultDecision,
		Jig: "J1", Lot: "L1"}.Deed()); err != nil {
		t.Fatal(err)
	}
	measured()
	for range 4 {
		do(t, b, command.Order{Deed: command.Start{}})
	}
	do(t, b, command.Order{Deed: smallStudy})
	rng := rand.New(rand.NewPCG(1, 1))
	for b.View().Study.Step != nil {
		do(t, b, command.Order{Deed: command.Type{Text: fmt.Sprint(3553 + rng.IntN(30))}})
		for _, h := range b.View().Held {
			do(t, b, command.Order{Deed: command.Take{Seq: h.Seq}})
		}
	}
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.FinishStudy{}})
	if w := b.View().Ribs[0].Verdict; w != string(qc.ReMeasure) {
		t.Fatalf("rib 01 of the open batch is %s with a tape that repeats within %d nm", w, b.View().Study.Result.RepeatNM)
	}
	for _, when := range []string{"live", "opened again"} {
		s := b.state
		if v, err := s.Judge(s.Batches[0], s.Batches[0].Ribs[0]); v.Word != qc.Pass || err != nil {
			t.Errorf("%s: rib 01 of the closed batch is %s, %v", when, v.Word, err)
		}
		now, err := b.Batch("B1")
		if err != nil {
			t.Fatal(err)
		}
		if x := cmp.Diff(closed, now); x != "" {
			t.Errorf("%s: the closed batch is another (-closed +now):\n%s", when, x)
		}
		if err := b.Close(); err != nil {
			t.Fatal(err)
		}
		b = openTest(t, dir, c)
	}
}
