//go:build full

package web

import (
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"springline/session/command"
	"springline/session/show"
)

// wait gives the n-th command that reaches the shelf.
func (b *shelf) wait(t *testing.T, n int) command.Order {
	t.Helper()
	for range 200 {
		if got := b.did(); len(got) >= n {
			c := got[n-1]
			c.Key = ""
			return c
		}
		time.Sleep(30 * time.Millisecond)
	}
	t.Fatalf("command %d did not come; there are %+v", n, b.did())
	return command.Order{}
}

func stateOf(name string) show.View {
	for _, s := range states() {
		if s.name == name {
			return s.view
		}
	}
	panic("no state " + name)
}

// TestCautionsAtTheStartOfABatch: shown once for a batch on a screen, and in reach afterwards.
func TestCautionsAtTheStartOfABatch(t *testing.T) {
	url := serve(t, Config{Bench: &shelf{view: stateOf("empty")}})
	tab := open(t, phone, url, false)
	tab.until(`document.querySelector('#sheet').open`)
	for _, words := range []string{"whips", "pinch", "sharp", "eye protection", "nothing on strength", "licensed engineer", "local codes"} {
		if !eval[bool](tab, `document.querySelector('#sheet').innerText.includes('`+words+`')`) {
			t.Errorf("the cautions do not say %q", words)
		}
	}
	tab.picture("cautions-phone")
	tab.press("#sheet", "I have read this")
	tab.until(`!document.querySelector('#sheet').open`)
	tab.do(chromedp.Reload(), chromedp.WaitReady(chromedp.CSS("#acts button")))
	tab.until(`document.querySelector('#panel').innerText.includes('READY')`)
	if eval[bool](tab, `document.querySelector('#sheet').open`) {
		t.Error("shown a second time")
	}
	tab.press("#bench", "menu")
	tab.picture("menu-phone")
	tab.press("#sheet", "Cautions")
	tab.until(`document.querySelector('#sheet').innerText.includes('whips')`)
	tab.quiet()
}

// TestLeftHandMirrorsTheActions and thick gloves make them larger; both outlive a reload.
func TestLeftHandMirrorsTheActions(t *testing.T) {
	tab := open(t, phone, serve(t, Config{Bench: &shelf{view: stateOf("in")}}), true)
	x := func(name string) float64 {
		return eval[float64](tab, `document.querySelector('#acts .`+name+`').getBoundingClientRect().x`)
	}
	tab.until(`document.querySelector('#panel').innerText.includes('IN')`)
	if x("main") < x("again") {
		t.Error("the large action is not under the right thumb")
	}
	tab.press("#bench", "menu")
	tab.press("#sheet", "Bench hand: right")
	tab.do(chromedp.Reload(), chromedp.WaitReady(chromedp.CSS("#acts button")))
	tab.until(`document.querySelector('#panel').innerText.includes('IN')`)
	if x("main") > x("again") {
		t.Error("the large action is not under the left thumb")
	}
	tab.picture("left-phone")
	tab.press("#bench", "menu")
	tab.press("#sheet", "Gloves: thin")
	tab.until(`document.querySelector('#acts .undo').getBoundingClientRect().height >= 120`)
	tab.quiet()
}

// TestActionsSayWhatTheyDo: each action reaches the bench with the rib and the version that was seen,
// and what cannot be taken back asks first.
func TestActionsSayWhatTheyDo(t *testing.T) {
	v := stateOf("in")
	b := &shelf{view: v}
	tab := open(t, phone, serve(t, Config{Bench: b}), true)
	rib, version := v.Current.Rib, v.Current.Version
	tab.press("#acts", "Undo")
	if c := b.wait(t, 1); c != (command.Order{Sent: command.Sent{Version: version}, Deed: command.Undo{Rib: rib}}) {
		t.Errorf("%+v", c)
	}
	tab.press("#acts", "Void")
	tab.picture("void-phone")
	tab.press("#sheet", "tip-to-tip: 3342.7 mm")
	if n := len(b.did()); n != 1 {
		t.Fatal("a value was voided without asking why")
	}
	tab.press("#sheet", "gauge slipped")
	if c := b.wait(t, 2); c != (command.Order{Sent: command.Sent{Version: version},
		Deed: command.Void{Seq: v.Current.Steps[0].Seqs[0].Seq, Reason: "gauge slipped"}}) {
		t.Errorf("%+v", c)
	}
	tab.press("#acts", "Again")
	tab.press("#sheet", "station A1: 0.4 mm")
	tab.press("#sheet", "rib moved")
	if c := b.wait(t, 3); c != (command.Order{Sent: command.Sent{Version: version},
		Deed: command.Again{Rib: rib, Char: "A1", Reason: "rib moved"}}) {
		t.Errorf("%+v", c)
	}
	tab.press("#acts", "Skip")
	tab.press("#sheet", "mark is missing")
	if c := b.wait(t, 4); c != (command.Order{Sent: command.Sent{Version: version},
		Deed: command.Skip{Rib: rib, Char: "A2", Reason: "mark is missing"}}) {
		t.Errorf("%+v", c)
	}
	tab.press("#batch", "put rib 03 on the bench")
	if c := b.wait(t, 5); c != (command.Order{Deed: command.Choose{Rib: "03"}}) {
		t.Errorf("%+v", c)
	}
	tab.quiet()
}

// TestPairsNeedTwoPressesAndAName.
func TestPairsNeedTwoPressesAndAName(t *testing.T) {
	b := &shelf{view: stateOf("pairs")}
	tab := open(t, phone, serve(t, Config{Bench: b}), true)
	tab.press("#pairs", "Confirm 2 pairs")
	tab.picture("pairs-armed-phone")
	if len(b.did()) != 0 {
		t.Fatal("one press confirmed the pairs")
	}
	tab.press("#pairs", "Press again to confirm")
	tab.until(`document.querySelector('#sheet').open && !!document.querySelector('#sheet input')`)
	tab.do(chromedp.SendKeys(chromedp.CSS("#sheet input"), "Ida Vollan"))
	tab.press("#sheet", "Keep it")
	if c := b.wait(t, 1); c != (command.Order{Sent: command.Sent{By: "Ida Vollan"}, Deed: command.ConfirmPairs{Token: "p-77"}}) {
		t.Errorf("%+v", c)
	}
	tab.quiet()
}

// TestGoOnAfterReBend notes a pull by the keypad, then opens a round.
func TestGoOnAfterReBend(t *testing.T) {
	v := stateOf("rebend")
	b := &shelf{view: v}
	tab := open(t, phone, serve(t, Config{Bench: b}), true)
	tab.press("#acts", "Go on")
	tab.picture("go-on-phone")
	tab.press("#sheet", "Note a pull: tips under load")
	for _, k := range "3298" {
		tab.press("#pad .numbers", string(k))
	}
	tab.until(`document.querySelector('.understood')?.innerText === '3298 mm'`)
	tab.press("#pad", "COUNT IT")
	if c := b.wait(t, 1); c != (command.Order{Deed: command.Pull{Rib: "07", Loaded: "3298 mm"}}) {
		t.Errorf("%+v", c)
	}
	tab.press("#acts", "Go on")
	tab.press("#sheet", "New round: rib was re-bent")
	if c := b.wait(t, 2); c != (command.Order{Sent: command.Sent{Version: v.Current.Version},
		Deed: command.Round{Rib: "07", Reason: "rib was re-bent"}}) {
		t.Errorf("%+v", c)
	}
	tab.quiet()
}

// TestSoundsAreApart: every word has a tune of its own, in the range that ear-muffs and age leave, and
// the first press switches sound on.
func TestSoundsAreApart(t *testing.T) {
	tab := open(t, phone, serve(t, Config{Bench: &shelf{view: stateOf("in")}}), true)
	type note = []float64
	tunes := eval[map[string][]note](tab, `import('/assets/sound.js').then((s) => Object.fromEntries(s.names().map((n) => [n, s.tuneOf(n)])))`)
	for _, name := range []string{"in", "out proud", "out shy", "unsure", "PASS", "RE-BEND", "RE-MEASURE", "REJECT", "NOT SAVED", "CHECK"} {
		if len(tunes[name]) == 0 {
			t.Errorf("%s has no sound", name)
		}
	}
	seen := map[string]string{}
	for name, tune := range tunes {
		key := ""
		for _, n := range tune {
			if n[0] < 800 || n[0] > 3000 || n[1] < 150 {
				t.Errorf("%s: a note of %.0f Hz for %.0f ms", name, n[0], n[1])
			}
			key += time.Duration(n[0]*1e6+n[1]).String() + " "
		}
		if seen[key] != "" {
			t.Errorf("%s sounds like %s", name, seen[key])
		}
		seen[key] = name
	}
	if s := eval[string](tab, `import('/assets/sound.js').then((s) => s.state())`); s != "off" {
		t.Errorf("before the first press sound is %s", s)
	}
	tab.press("#bench", "menu")
	tab.until(`window.state ? window.state === 'on' :
		(import('/assets/sound.js').then((s) => { window.state = s.state() === 'on' ? 'on' : undefined; }), false)`)
	tab.quiet()
}
