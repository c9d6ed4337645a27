package session

import (
	"context"
	"encoding/json"
	"errors"
	"fmt"
	"math/rand/v2"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"github.com/google/go-cmp/cmp"
	"github.com/jmoiron/sqlx"
	"pgregory.net/rapid"

	"springline/device/wire"
	"springline/qc"
	"springline/qc/length"
	"springline/qc/words"
	"springline/session/command"
	"springline/session/log"
	"springline/session/show"
)

var smallStudy = command.StartStudy{Char: "tip", Gauge: "tape", Ribs: []string{"01", "02", "03", "04", "05"},
	Persons: []string{"Ines", "Otto"}, Repeats: 2}

// studyBench is a bench with five ribs, none measured.
func studyBench(t testing.TB, dir string, c *clock) *Bench {
	t.Helper()
	b := openTest(t, dir, c)
	setUp(t, b, 1)
	for range 5 {
		do(t, b, command.Order{Deed: command.Start{}})
	}
	return b
}

// reading makes up what a person reads of a rib: ribs differ by 2 mm, persons by 0.5 mm, readings by up to
// half a millimetre.
func reading(s *show.StudyView, rng *rand.Rand) string {
	rib, person := slices.Index(s.Ribs, s.Step.Rib), slices.Index(s.Persons, s.Step.Person)
	um := 3_000_000 + 2000*rib + 500*person + 10*rng.IntN(50) + nominalTip/1000 - 3_000_000
	return length.Length(um * 1000).String()
}

const nominalTip = 3550 * 1000 * 1000 // nm, near the target's

// measureAll takes every reading that is missing, by gauge bytes and typed in turn.
func measureAll(t testing.TB, b *Bench, c *clock, rng *rand.Rand) {
	t.Helper()
	for i := 0; b.View().Study.Step != nil; i++ {
		v := b.View().Study
		if i > v.Of {
			t.Fatalf("step %d does not move on", v.Step.Step)
		}
		if i%2 == 0 {
			do(t, b, command.Order{Sent: command.Sent{Version: v.Version}, Deed: command.Type{Text: reading(v, rng)}})
		} else if o := send(t, b, "tape", reading(v, rng), c.now()); o.Kind != log.StudyMeasured {
			t.Fatalf("step %d: the gauge's reading became %q: %+v", v.Step.Step, o.Kind, b.View().Held)
		}
	}
}

// The whole run: blind order, readings to the study and not to the ribs, a result, and its repeatability in
// the gauge.
func TestGaugeStudyFromStartToFinish(t *testing.T) {
	c := newClock()
	b := studyBench(t, t.TempDir(), c)
	ribs, err := b.Batch("B1")
	if err != nil {
		t.Fatal(err)
	}
	if b.View().Offer == nil || b.View().Offer.Chars[0].Char != "tip" {
		t.Fatalf("nothing is offered to study: %+v", b.View().Offer)
	}
	do(t, b, command.Order{Deed: smallStudy})
	v := b.View().Study
	if v == nil || v.State != "running" || v.Of != 20 || v.Step == nil || v.Step.Step != 1 ||
		v.Say != "Readings go to the gauge study, not to a rib." || b.View().Offer != nil {
		t.Fatalf("after the start: %+v", v)
	}
	measureAll(t, b, c, rand.New(rand.NewPCG(1, 1)))
	after, err := b.Batch("B1")
	if err != nil {
		t.Fatal(err)
	}
	if d := cmp.Diff(ribs.Ribs, after.Ribs); d != "" {
		t.Fatalf("the study touched the ribs:\n%s", d)
	}
	for i, r := range after.Ribs {
		was, _ := ribs.Judge(ribs.Ribs[i])
		is, _ := after.Judge(r)
		if d := cmp.Diff(was, is); d != "" {
			t.Fatalf("the study touched the verdict of rib %s:\n%s", r.ID, d)
		}
	}
	if v = b.View().Study; v.State != "complete" || v.Result == nil || len(v.Readings) != 20 {
		t.Fatalf("complete: %+v", v)
	}
	// A late reading waits and lands on no rib.
	if o := send(t, b, "tape", "3550.0", c.now()); o.Kind != log.Held {
		t.Errorf("a reading after the last became %q", o.Kind)
	}
	_, err = b.Do(context.Background(), command.Order{Deed: command.CloseBatch{}})
	wantCode(t, err, words.CodeHeld)
	do(t, b, command.Order{Deed: command.Discard{Seq: b.View().Held[0].Seq, Reason: "late"}})
	if e := fails(t, b, words.CodeHeld, command.Order{Deed: command.CloseBatch{}}); e.Field != "study" {
		t.Errorf("closing with an open study: %v", e)
	}
	do(t, b, command.Order{Sent: command.Sent{By: "Ines"}, Deed: command.FinishStudy{}})
	v = b.View().Study
	after, _ = b.Batch("B1")
	g, _ := after.Gauge("tape")
	if v.State != "finished" || g.RepeatSD != length.Length(v.Result.RepeatNM) || g.RepeatSD == 0 || g.RepeatDOF != v.Result.RepeatDOF ||
		!after.Studies[0].Finished {
		t.Fatalf("finished: %+v, gauge %+v", v, g)
	}
	// Uniform on 0 to 0.49 mm in steps of 10 um has a standard deviation of 0.144 mm; on 14 or 10 degrees of
	// freedom the estimate lies within a half of it nearly always (fixed seed).
	if sd := g.RepeatSD.MM(); sd < 0.07 || sd > 0.22 {
		t.Errorf("repeatability %v mm, want about 0.144", sd)
	}
	// The gauge keeps it when it is set up again.
	again := tape
	again.Name = "the long tape"
	if err := b.Set(context.Background(), command.StateGauge(again.Stated())); err != nil {
		t.Fatal(err)
	}
	after, _ = b.Batch("B1")
	if now, _ := after.Gauge("tape"); now.RepeatSD != g.RepeatSD || now.Name != "the long tape" {
		t.Errorf("set up again the gauge is %+v", now)
	}
	// Readings go to the ribs again.
	if o := send(t, b, "tape", "3551.5", c.now()); o.Kind != log.Measured {
		t.Errorf("after the study a reading became %q: %+v", o.Kind, b.View().Held)
	}
}

// What supports no result is refused before the first reading.
func TestStudyIsRefusedBelowItsCounts(t *testing.T) {
	b := studyBench(t, t.TempDir(), newClock())
	for name, x := range map[string]struct {
		change func(*command.StartStudy)
		code   string
		field  string
	}{
		"four ribs":      {func(c *command.StartStudy) { c.Ribs = []string{"01", "02", "03", "04"} }, words.CodeBadValue, "ribs"},
		"a rib twice":    {func(c *command.StartStudy) { c.Ribs = []string{"01", "02", "03", "04", "04"} }, words.CodeBadValue, "ribs"},
		"no such rib":    {func(c *command.StartStudy) { c.Ribs = []string{"01", "02", "03", "04", "09"} }, words.CodeUnknown, "ribs"},
		"nobody":         {func(c *command.StartStudy) { c.Persons = []string{} }, words.CodeBadValue, "persons"},
		"somebody twice": {func(c *command.StartStudy) { c.Persons = []string{"Ines", "Ines"} }, words.CodeBadValue, "persons"},
		"no repeat":      {func(c *command.StartStudy) { c.Repeats = 1 }, words.CodeBadValue, "repeats"},
		"one, two times": {func(c *command.StartStudy) { c.Persons = []string{"Ines"} }, words.CodeBadValue, "repeats"},
		// five degrees of freedom
		"too many":        {func(c *command.StartStudy) { c.Repeats = 1 << 40 }, words.CodeBadValue, "repeats"},
		"no char":         {func(c *command.StartStudy) { c.Char = "" }, words.CodeMissing, "char"},
		"unknown char":    {func(c *command.StartStudy) { c.Char = "Z9" }, words.CodeUnknown, "char"},
		"gauge not bound": {func(c *command.StartStudy) { c.Gauge = "caliper" }, words.CodeBadValue, "gauge"},
	} {
		cmd := smallStudy
		x.change(&cmd)
		_, err := b.Do(context.Background(), command.Order{Deed: cmd})
		var ce *words.Refusal
		if !errors.As(err, &ce) || ce.Code != x.code || ce.Field != x.field {
			t.Errorf("%s: %v, want %s on %s", name, err, x.code, x.field)
		}
	}
	_, err := b.Do(context.Background(), command.Order{Deed: command.FinishStudy{}})
	wantCode(t, err, words.CodeNoStudy)
	alone := smallStudy
	alone.Persons, alone.Repeats = []string{"Ines"}, 3
	do(t, b, command.Order{Deed: alone})
	_, err = b.Do(context.Background(), command.Order{Deed: smallStudy})
	wantCode(t, err, words.CodeExists)
	_, err = b.Do(context.Background(), command.Order{Deed: command.FinishStudy{}})
	wantCode(t, err, words.CodeIncomplete)
	_, err = b.Do(context.Background(), command.Order{Deed: command.CancelStudy{Reason: "  "}})
	wantCode(t, err, words.CodeMissing)
	do(t, b, command.Order{Deed: command.CancelStudy{Reason: "rain"}})
	if v := b.View().Study; v.State != "cancelled" || v.Reason != "rain" || b.View().Offer == nil {
		t.Errorf("cancelled: %+v", v)
	}
}

// Same reading rules as the bench: wrong gauge, other unit, double send, slip of unit, gauge on hold; typed
// junk is refused with the parser's code.
func TestStudyReadingsAreQuestionedLikeAnyOther(t *testing.T) {
	c := newClock()
	b := studyBench(t, t.TempDir(), c)
	do(t, b, command.Order{Deed: smallStudy})
	arrive := func(gauge string, s wire.Sample, at time.Time) show.HeldView {
		t.Helper()
		o, err := b.Arrived(update(gauge, s, at))
		if err != nil || o.Kind != log.Held {
			t.Fatalf("%s sent %s: %q, %v", gauge, s.Value, o.Kind, err)
		}
		return b.View().Held[len(b.View().Held)-1]
	}
	at := c.now()
	h := arrive("caliper", sample("1.25"), at)
	if !strings.Contains(h.Reason, "runs with long tape") {
		t.Errorf("another gauge: %+v", h)
	}
	do(t, b, command.Order{Deed: command.Discard{Seq: h.Seq, Reason: "wrong gauge"}})
	inch := sample("139.8")
	inch.Unit = "in"
	h = arrive("tape", inch, c.now())
	do(t, b, command.Order{Deed: command.Discard{Seq: h.Seq, Reason: "inches"}})
	on := sample("3550.5")
	on.Accept, on.Flags = wire.Never, []string{wire.FlagHold}
	h = arrive("tape", on, c.now())
	if !strings.Contains(h.Reason, "on hold") {
		t.Errorf("on hold: %+v", h)
	}
	twin := update("tape", sample("3550.5"), c.now())
	twin.Unsure = words.WhichGauge{Why: "exchanged", Gauge: "tape"}
	if o, err := b.Arrived(twin); err != nil || o.Kind != log.Held {
		t.Errorf("of an unsure gauge: %+v %v", o, err)
	}
	do(t, b, command.Order{Deed: command.Discard{Seq: b.View().Seq, Reason: "which gauge?"}})
	finer := tape
	finer.Resolution = mm / 10
	wantCode(t, b.Set(context.Background(), command.StateGauge(finer.Stated())), words.CodeExists)
	do(t, b, command.Order{Deed: command.Take{Seq: h.Seq}})
	if v := b.View().Study; v.Done != 1 || v.Step.Step != 2 {
		t.Fatalf("a taken value is no reading of the study: %+v", v)
	}
	slip := arrive("tape", sample("355.00"), c.now())
	if slip.Suggest != "3550 mm" {
		t.Errorf("ten times off: %+v", slip)
	}
	do(t, b, command.Order{Deed: command.Take{Seq: slip.Seq, Suggested: true}})
	at = c.now()
	if o := send(t, b, "tape", "3551.0", at); o.Kind != log.StudyMeasured {
		t.Fatal(o)
	}
	h = arrive("tape", sample("3551.0"), at.Add(100*time.Millisecond))
	if !strings.Contains(h.Reason, "sent twice") {
		t.Errorf("double: %+v", h)
	}
	do(t, b, command.Order{Deed: command.Discard{Seq: h.Seq, Reason: "bounced"}})
	at = c.now()
	if o := send(t, b, "tape", "3552.0", at); o.Kind != log.StudyMeasured {
		t.Fatal(o)
	}
	h = arrive("tape", sample("3552.0"), at.Add(time.Second))
	if !strings.Contains(h.Reason, "came again") {
		t.Errorf("the next step within a second: %+v", h)
	}
	_, err := b.Do(context.Background(), command.Order{Deed: command.CancelStudy{Reason: "rain"}})
	wantCode(t, err, words.CodeHeld)
	do(t, b, command.Order{Deed: command.Type{Text: "3552"}})
	_, err = b.Do(context.Background(), command.Order{Deed: command.Take{Seq: h.Seq}})
	wantCode(t, err, words.CodeComplete)
	do(t, b, command.Order{Deed: command.Discard{Seq: h.Seq, Reason: "twice"}})
	_, err = b.Do(context.Background(), command.Order{Deed: command.Type{Text: "3,5,5"}})
	wantCode(t, err, string(length.BadGrouping))
	_, err = b.Do(context.Background(), command.Order{Deed: command.Type{Text: "3550", Char: "tip"}})
	wantCode(t, err, words.CodeStudyRuns)
	_, err = b.Do(context.Background(), command.Order{Sent: command.Sent{Version: 1}, Deed: command.Type{Text: "3550"}})
	wantCode(t, err, words.CodeConflict)
	ack := do(t, b, command.Order{Deed: command.Type{Text: "35.5"}})
	if !ack.Held {
		t.Errorf("a typed slip was taken: %+v", ack)
	}
}

// While the study runs nothing that is shown tells a reading: neither view nor notices nor the gauge's line.
func TestStudyIsBlind(t *testing.T) {
	c := newClock()
	b := studyBench(t, t.TempDir(), c)
	do(t, b, command.Order{Deed: smallStudy})
	value := "3551.37"
	if o := send(t, b, "tape", value, c.now()); o.Kind != log.StudyMeasured {
		t.Fatal(o)
	}
	held := send(t, b, "tape", "3551.38", c.now())
	_ = held
	twice := update("tape", sample("3551.38"), c.t.Add(50*time.Millisecond))
	if o, err := b.Arrived(twice); err != nil || o.Kind != log.Held {
		t.Fatal(o, err)
	}
	v := b.View()
	do(t, b, command.Order{Deed: command.Discard{Seq: v.Held[0].Seq, Reason: "bounced"}})
	text, err := json.Marshal(b.View())
	if err != nil {
		t.Fatal(err)
	}
	for _, told := range []string{"3551.37", "3551.38", "3551.4"} {
		if strings.Contains(string(text), told) {
			t.Errorf("the view tells %s: %s", told, text)
		}
	}
	if len(b.View().Study.Readings) != 0 || b.View().Study.Result != nil {
		t.Error("readings are shown before the study is complete")
	}
}

// A withdrawn reading is taken again before there is a result; withdrawing needs a cause that says something.
func TestWithdrawnStudyReadingIsTakenAgain(t *testing.T) {
	c := newClock()
	b := studyBench(t, t.TempDir(), c)
	do(t, b, command.Order{Deed: smallStudy})
	rng := rand.New(rand.NewPCG(2, 2))
	measureAll(t, b, c, rng)
	r := b.View().Study.Readings[7]
	_, err := b.Do(context.Background(), command.Order{Deed: command.Void{Seq: r.Seq, Reason: " \u00a0"}})
	wantCode(t, err, words.CodeMissing)
	do(t, b, command.Order{Deed: command.Void{Seq: r.Seq, Reason: "tape off the mark"}})
	v := b.View().Study
	if v.State != "running" || v.Step.Step != r.Step || v.Step.Rib != r.Rib || v.Step.Person != r.Person || !v.Step.Again || v.Result != nil {
		t.Fatalf("after withdrawing step %d: %+v %+v", r.Step, v, v.Step)
	}
	_, err = b.Do(context.Background(), command.Order{Deed: command.FinishStudy{}})
	wantCode(t, err, words.CodeIncomplete)
	measureAll(t, b, c, rng)
	if v = b.View().Study; v.State != "complete" || len(v.Readings) != 21 {
		t.Fatalf("taken again: %d readings, %s", len(v.Readings), v.State)
	}
	do(t, b, command.Order{Deed: command.Undo{}})
	if v = b.View().Study; v.State != "running" {
		t.Errorf("undo after the last reading left the study %s", v.State)
	}
	measureAll(t, b, c, rng)
	do(t, b, command.Order{Deed: command.FinishStudy{}})
	_, err = b.Do(context.Background(), command.Order{Deed: command.Void{Seq: b.View().Study.Readings[0].Seq, Reason: "late thought"}})
	wantCode(t, err, words.CodeSettled)
}

// A study goes on where it was when the bench was off, and readings go to the ribs while it rests.
func TestStudyRestsOverARestart(t *testing.T) {
	c := newClock()
	dir := t.TempDir()
	b := studyBench(t, dir, c)
	do(t, b, command.Order{Deed: smallStudy})
	rng := rand.New(rand.NewPCG(3, 3))
	for range 7 {
		do(t, b, command.Order{Deed: command.Type{Text: reading(b.View().Study, rng)}})
	}
	do(t, b, command.Order{Deed: command.PauseStudy{}})
	was := b.View().Study
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	b = openTest(t, dir, c)
	if d := cmp.Diff(was, b.View().Study); d != "" {
		t.Fatalf("after the restart (-before +after):\n%s", d)
	}
	if o := send(t, b, "tape", "3551.5", c.now()); o.Kind != log.Measured {
		t.Errorf("while it rests a reading became %q", o.Kind)
	}
	do(t, b, command.Order{Deed: command.ResumeStudy{}})
	if v := b.View().Study; v.State != "running" || v.Done != 7 || v.Step.Step != 8 {
		t.Fatalf("resumed: %+v", v)
	}
	measureAll(t, b, c, rng)
	if got := b.View().Study; got.Done != 20 {
		t.Errorf("%d readings", got.Done)
	}
}

// The ribs are judged anew with what the study found of the gauge: one that passed close to its limit is no
// longer proven; the bench says so, the record's rows say so, and a closed batch stays as it was.
func TestFinishedStudyCountsInTheVerdicts(t *testing.T) {
	ctx := context.Background()
	c := newClock()
	dir := t.TempDir()
	b := studyBench(t, dir, c)
	do(t, b, command.Order{Deed: command.Choose{Rib: "01"}})
	want := b.View().Current.Next.Want
	nominal, err := length.Parse(want, length.Options{})
	if err != nil {
		t.Fatal(err)
	}
	for range 2 { // +11.2 of 12 mm
		do(t, b, command.Order{Deed: command.Type{Text: (nominal + 11200*length.Micrometre).String()}})
	}
	for b.View().Current.Next != nil {
		do(t, b, command.Order{Deed: command.Type{Text: b.View().Current.Next.Want}})
	}
	word := func() string { return b.View().Ribs[0].Verdict }
	if word() != string(qc.Pass) {
		t.Fatalf("rib 01 is %s before the study: %s", word(), b.View().Ribs[0].Reason)
	}
	do(t, b, command.Order{Deed: smallStudy})
	for i := 0; b.View().Study.Step != nil; i++ { // readings 3 mm apart
		do(t, b, command.Order{Deed: command.Type{Text: (nominal + length.Length(i%4)*mm).String()}})
	}
	if word() != string(qc.Pass) {
		t.Fatalf("rib 01 is %s before the study is finished", word())
	}
	do(t, b, command.Order{Deed: command.FinishStudy{}})
	if word() != string(qc.ReMeasure) {
		t.Fatalf("rib 01 is %s with a gauge that repeats within %s mm: %s", word(), length.Length(b.View().Study.Result.RepeatNM),
			b.View().Ribs[0].Reason)
	}
	notices := strings.Join(b.View().Notices, "\n")
	if !strings.Contains(notices, "counts in every uncertainty from now on") ||
		!strings.Contains(notices, "gauge study study-1 changed verdicts: rib 01 from PASS to RE-MEASURE") {
		t.Errorf("nobody is told: %q", notices)
	}
	view := b.View()
	if err := b.Set(ctx, command.CloseBatch{}); err != nil {
		t.Fatal(err)
	}
	seq := b.View().Seq
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	if n, err := Rebuild(ctx, testConfig(dir, c), false); err != nil || n != seq {
		t.Errorf("rows rebuilt from %d records of %d: %v", n, seq, err)
	}
	db, err := sqlx.Open("sqlite", "file:"+filepath.Join(dir, "record.db")+"?mode=ro")
	if err != nil {
		t.Fatal(err)
	}
	defer db.Close()
	var row string
	if err := db.GetContext(ctx, &row, `SELECT verdict FROM v1_rib WHERE id = '01'`); err != nil || row != string(qc.ReMeasure) {
		t.Errorf("the row of rib 01 says %s, %v", row, err)
	}
	b = openTest(t, dir, c)
	if word() != view.Ribs[0].Verdict {
		t.Errorf("rib 01 is %s after a restart", word())
	}
}

// Random runs with studies: replay equals live, the rows for SQL say the same, the rib rules hold.
func TestStudyReplayEqualsLive(t *testing.T) {
	ctx := context.Background()
	rapid.Check(t, func(rt *rapid.T) {
		dir, c := t.TempDir(), newClock()
		b := studyBench(t, dir, c)
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(rt, "rng"), 0))
		for range rapid.IntRange(5, 60).Draw(rt, "steps") {
			v := b.View()
			var err error
			switch rapid.IntRange(0, 11).Draw(rt, "what") {
			case 0:
				_, err = b.Do(ctx, someCommand(rt, b))
			case 1:
				_, err = b.Do(ctx, command.Order{Deed: rapid.SampledFrom(
					[]command.Deed{command.PauseStudy{}, command.ResumeStudy{}, command.CancelStudy{}, command.CancelStudy{Reason: "rain"},
						command.FinishStudy{}, command.Undo{}}).Draw(rt, "turn")})
			case 2:
				_, err = b.Arrived(someReading(rt, v, c.now()))
			case 3:
				if n := int64(len(v.Held)); n > 0 {
					_, err = b.Do(ctx, command.Order{Deed: rapid.SampledFrom(
						[]command.Deed{command.Take{Seq: v.Held[0].Seq, Reason: "so"}, command.Discard{Seq: v.Held[0].Seq, Reason: "so"}}).Draw(rt,
						"answer")})
				} else {
					_, err = b.Do(ctx, command.Order{Deed: command.Void{Seq: rapid.Int64Range(1, v.Seq).Draw(rt, "seq"), Reason: "so"}})
				}
			default:
				switch {
				case v.Study == nil || v.Study.State == "finished" || v.Study.State == "cancelled":
					_, err = b.Do(ctx, command.Order{Deed: smallStudy})
				case v.Study.State == "complete":
					_, err = b.Do(ctx, command.Order{Deed: command.FinishStudy{}})
				case v.Study.State == "paused":
					_, err = b.Do(ctx, command.Order{Deed: command.ResumeStudy{}})
				default:
					_, err = b.Do(ctx, command.Order{Deed: command.Type{Text: reading(v.Study, rng)}})
				}
			}
			var ce *words.Refusal
			if errors.As(err, &ce) {
				if err = nil; b.View().Seq != v.Seq {
					rt.Fatalf("refused, and yet something was recorded: %v", ce)
				}
			}
			if err != nil {
				rt.Fatal(err)
			}
		}
		view := b.View()
		batch, err := b.Batch("B1")
		if err != nil {
			rt.Fatal(err)
		}
		checkInvariants(rt, batch)
		if err := b.Close(); err != nil {
			rt.Fatal(err)
		}
		again := openTest(t, dir, c)
		compareBench(rt, "opened again", again, view, batch)
		if err := again.Close(); err != nil {
			rt.Fatal(err)
		}
		checkRows(rt, testConfig(dir, c), batch, view)
	})
}

// The blind order takes every rib by every person once in each round and brings no rib to the same person
// twice running.
func TestBlindStepsAreWholeAndShuffled(t *testing.T) {
	for seed := range uint64(200) {
		steps := qc.BlindSteps(5, 2, 3, seed)
		seen := map[qc.StudyStep]bool{}
		for i, s := range steps {
			seen[s] = true
			if s.Round != i/10+1 {
				t.Fatalf("seed %d: step %d is of round %d", seed, i, s.Round)
			}
			if i > 0 && steps[i-1].Rib == s.Rib && steps[i-1].Person == s.Person {
				t.Fatalf("seed %d: step %d repeats the one before", seed, i)
			}
		}
		if len(seen) != 30 || len(steps) != 30 {
			t.Fatalf("seed %d: %d different steps of %d", seed, len(seen), len(steps))
		}
	}
	if fmt.Sprint(qc.BlindSteps(5, 2, 2, 1)) == fmt.Sprint(qc.BlindSteps(5, 2, 2, 2)) {
		t.Error("two seeds give one order")
	}
}
