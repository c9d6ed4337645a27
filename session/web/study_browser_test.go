//go:build full

package web

import (
	"context"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/rs/zerolog"

	"springline/qc"
	"springline/qc/length"
	"springline/session"
	"springline/session/command"
	"springline/session/log"
	"springline/session/show"
)

// benchOfSix is a bench with a batch and six ribs, none measured; invented.
func benchOfSix(t *testing.T) *session.Bench {
	t.Helper()
	const mm = length.Millimetre
	ctx := context.Background()
	b, err := session.Open(ctx, session.Config{Dir: t.TempDir(), Bench: "bench-1", Software: "springline test", Now: time.Now,
		Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { b.Close() })
	target, err := qc.NewArch(qc.ArchSpec{ID: "shelter", Name: "shelter rib", Revision: 1,
		Bar: qc.Bar{Diameter: 12 * mm, Grade: "B500B", YieldMPa: 500},
		Leg: 900 * mm, Arc: 4200 * mm, Radius: 1600 * mm, Face: qc.Centre, StationsPerSide: 1, TolTip: 12 * mm, TolCrown: 10 * mm,
		TolStation: 6 * mm, TipRepeats: 2, Band: 2 * mm})
	if err != nil {
		t.Fatal(err)
	}
	for _, err := range []error{
		b.Set(ctx, command.StateGauge(log.GaugeSetup{Gauge: qc.Gauge{ID: "tape", Name: "long tape", Kind: qc.Tape, Class: "I",
			Resolution: mm / 2, Unit: "mm", Measures: []qc.Kind{qc.TipToTip, qc.CrownHeight, qc.StationOffset}}}.Stated())),
		b.Set(ctx, command.LotDeed(qc.Lot{ID: "L1", Grade: "B500B", BarLength: 6000 * mm})),
		b.Set(ctx, command.JigDeed(qc.Jig{ID: "J1", FaceRadius: 1300 * mm, Blocks: 9})), b.Set(ctx, command.TargetDeed(target)),
		b.Set(ctx, command.BatchSetup{ID: "reed-shelter", Title: "Reed pond shelter", Planned: 24, Target: "shelter", Revision: 1,
			Decision: qc.DefaultDecision, Jig: "J1", Lot: "L1"}.Deed()),
	} {
		if err != nil {
			t.Fatal(err)
		}
	}
	for range 6 {
		if _, err := b.Do(ctx, command.Order{Deed: command.Start{}}); err != nil {
			t.Fatal(err)
		}
	}
	return b
}

// A study from the first press to the last on a phone: laid out by its sheets, told in large words whose turn it
// is, a reading typed on the keypad, a slip asked about, paused and resumed, the result read and taken over. No
// reading is to be seen before the end, and everything keeps to the sizes and contrasts of the page.
func TestGaugeStudyOnThePage(t *testing.T) {
	for _, s := range []screen{{"phone", 390, 844, true}, {"desktop", 1366, 850, false}} {
		t.Run(s.name, func(t *testing.T) {
			b := benchOfSix(t)
			tab := open(t, s, serve(t, Config{Bench: b, Reports: plainReport}), true)
			shot := func(name string) {
				t.Helper()
				tab.picture("study-" + name + "-" + s.name)
				checkLook(tab, name)
				if w := eval[int](tab, `document.documentElement.scrollWidth`); w > int(s.width) {
					t.Errorf("%s: the page is %d px wide on a screen of %d", name, w, s.width)
				}
			}
			tab.press("#study", "Start a gauge study")
			tab.press("#sheet", "tip-to-tip, centre")
			tab.until(`document.querySelector('#sheet').innerText.includes('Name who measures.')`)
			for _, name := range []string{"Ines", "Otto-Karl Weidenbach"} {
				tab.press("#sheet", "Add a person")
				tab.until(`document.activeElement === document.querySelector('#sheet input')`)
				tab.do(chromedp.SendKeys(chromedp.CSS("#sheet input"), name))
				tab.press("#sheet", "Keep it")
			}
			tab.until(`document.querySelector('#sheet').innerText.includes('20 readings, in a blind order.')`)
			shot("start")
			tab.press("#sheet", "Start the study")
			tab.until(`document.querySelector('#panel').innerText.includes('RIB 0') &&
				document.querySelector('#next').innerText.includes('not to a rib')`)
			shot("turn")
			tab.press("#acts", "Type it")
			tab.until(`document.querySelector('#pad').innerText.includes('COUNT IT')`)
			tab.do(chromedp.SendKeys(chromedp.CSS("#pad input"), "3551.37"))
			tab.until(`document.querySelector('#pad .go.ready') !== null`)
			tab.picture("study-pad-" + s.name)
			tab.press("#pad", "COUNT IT")
			tab.until(`document.querySelector('#head').innerText.includes('2 of 20')`)
			tab.until(`!document.querySelector('#pad').open`) // which closes on the answer, whenever that is here
			if seen := eval[string](tab, `document.body.innerText`); strings.Contains(seen, "3551.37") || strings.Contains(seen, "3551.4") {
				t.Error("the reading is to be seen while the study runs")
			}
			if _, err := b.Do(t.Context(), command.Order{Deed: command.Type{Text: "355.1"}}); err != nil {
				t.Fatal(err)
			}
			tab.until(`document.querySelector('#panel').innerText.includes('unit slip')`)
			shot("asked")
			tab.press("#answers", "Take 3551 mm")
			tab.until(`document.querySelector('#head').innerText.includes('3 of 20')`)
			tab.press("#study", "Pause: measure ribs")
			tab.until(`document.querySelector('#panel').innerText.includes('MEASURE')`)
			shot("paused")
			tab.press("#study", "Go on with the study")
			tab.until(`document.querySelector('#panel').innerText.includes('RIB 0')`)
			for n := 0; b.View().Study.Step != nil; n++ {
				v := b.View().Study
				at := 3548 + float64(v.Step.Rib[1]-'0') + 0.1*float64(n%4)
				if v.Step.Person == "Ines" {
					at += 0.4
				}
				if _, err := b.Do(t.Context(), command.Order{Deed: command.Type{Text: fmt.Sprintf("%.1f", at)}}); err != nil {
					t.Fatal(err)
				}
			}
			tab.until(`document.querySelector('#panel').innerText.includes('ALL TAKEN')`)
			tab.until(`document.querySelector('#study img.pair')?.complete && document.querySelector('#study img.pair').naturalWidth > 0`)
			shot("all-taken")
			tab.press("#acts", "See the result")
			tab.do(chromedp.Sleep(300 * time.Millisecond)) // for the picture only
			tab.picture("study-result-" + s.name)
			tab.press("#study", "Finish: count the repeatability")
			tab.press("#study", "Press again to finish")
			tab.until(`document.querySelector('#study').innerText.includes('its repeatability counts')`)
			shot("finished")
			batch, err := b.Batch("reed-shelter")
			if err != nil {
				t.Fatal(err)
			}
			if g, _ := batch.Gauge("tape"); g.RepeatSD == 0 || len(batch.Ribs[0].Measurements) != 0 {
				t.Errorf("gauge %+v, rib 01 has %d measurements", g, len(batch.Ribs[0].Measurements))
			}
			tab.quiet()
		})
	}
}

// A reading that disagrees with its repeats: both ways out stand on the page, and taking it asks for the cause.
func TestDisagreeingRepeatOnThePage(t *testing.T) {
	b := busy()
	v := b.View()
	v.Held = []show.HeldView{{Seq: 77, Rib: v.Current.Rib, Char: "tip", Label: "tip-to-tip", Gauge: "long tape", Value: "3349.5 mm",
		Repeat: true,
		Reason: "2 readings of tip-to-tip lie 8.00 mm apart; repeats agree within 3.10 mm (2.8 x 1.12 mm by the batch)",
		Ask:    "Measure all again, or take it and write the cause."}}
	cur := *v.Current
	cur.Steps = append([]show.StepView{}, cur.Steps...)
	cur.Steps[0].Odd = &show.OddView{Seq: 40, Text: "Reading 3 of tip-to-tip, 3352.1 mm, is odd beside the others."}
	v.Current = &cur
	v.Seq++
	b.put(v)
	tab := open(t, phone, serve(t, Config{Bench: b}), true)
	tab.until(`document.querySelector('#answers').innerText.includes('with a cause')`)
	tab.until(`document.querySelector('#round .odd').innerText.includes('is odd beside the others')`)
	tab.picture("disagree-phone")
	checkLook(tab, "disagree")
	tab.press("#answers", "Take 3349.5 mm with a cause")
	tab.press("#sheet", "Write it")
	tab.until(`document.activeElement === document.querySelector('#sheet input')`)
	tab.do(chromedp.SendKeys(chromedp.CSS("#sheet input"), "rests on a stone"))
	tab.press("#sheet", "Keep it")
	tab.until(`!document.querySelector('#sheet').open`)
	wait := func(want command.Order) {
		t.Helper()
		for range 200 {
			if did := b.did(); len(did) > 0 {
				last := did[len(did)-1]
				last.Key = ""
				if last == want {
					return
				}
			}
			tab.do(chromedp.Sleep(20 * time.Millisecond))
		}
		text, _ := json.Marshal(b.did())
		t.Fatalf("did %s, want %+v", text, want)
	}
	wait(command.Order{Deed: command.Take{Seq: 77, Reason: "rests on a stone"}})
	tab.press("#answers", "Measure all again")
	wait(command.Order{Deed: command.Again{Rib: v.Current.Rib, Char: "tip", Seq: 77, Reason: "readings disagree"}})
	tab.quiet()
}
