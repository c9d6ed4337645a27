//go:build full

package web

import (
	"fmt"
	"strings"
	"testing"

	"springline/session/command"
)

// TestTypedRibReachesVerdict measures a whole rib with the on-screen keys, against a real bench.
func TestTypedRibReachesVerdict(t *testing.T) {
	b := realBench(t, t.TempDir())
	tab := open(t, phone, serve(t, Config{Bench: b}), true)
	tab.press("#acts", "Start first rib")
	tab.until(`document.querySelector('#head').innerText.includes('01')`)
	for i := 0; b.View().Current.Next != nil; i++ {
		if i > 8 {
			t.Fatal("the rib does not become complete")
		}
		want := strings.TrimSuffix(nominal(t, b), " mm")
		seq := b.View().Seq
		tab.press("#acts", "Type it")
		tab.until(`document.querySelector('#pad').open`)
		for _, k := range want {
			tab.press("#pad .numbers", keyFor(k))
		}
		tab.until(fmt.Sprintf(`document.querySelector('.understood')?.innerText === %q`, want+" mm"))
		tab.picture(fmt.Sprintf("keypad-%d", i))
		if b.View().Seq != seq {
			t.Fatal("a value counted before it was confirmed")
		}
		tab.press("#pad", "COUNT IT")
		tab.until(`!document.querySelector('#pad').open`)
		if b.View().Seq != seq+1 {
			t.Fatalf("one value made %d records", b.View().Seq-seq)
		}
		tab.picture(fmt.Sprintf("typed-%d", i))
	}
	tab.until(`document.querySelector('#panel .word').innerText === 'PASS'`)
	if w := b.View().Current.Verdict; w != "PASS" {
		t.Errorf("the bench says %s", w)
	}
	batch, err := b.Batch("reed-shelter")
	if err != nil {
		t.Fatal(err)
	}
	if batch.Counts.Typed != 5 {
		t.Errorf("%d typed values on record, want 5: two of the tips, crown, A1, B1", batch.Counts.Typed)
	}
	tab.quiet()
}

// keyFor is the name of the key that types c.
func keyFor(c rune) string {
	switch c {
	case '.':
		return "point"
	case '-':
		return "minus or joining hyphen"
	case '\'':
		return "feet mark"
	case '"':
		return "inch mark"
	}
	return string(c)
}

// TestFeetAndInchesByKeys types 6' 11 3/4" with the second sheet of keys and sees it read back.
func TestFeetAndInchesByKeys(t *testing.T) {
	b := realBench(t, t.TempDir())
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	tab := open(t, phone, serve(t, Config{Bench: b}), true)
	tab.press("#acts", "Type it")
	tab.press("#pad .numbers", "6")
	tab.press("#pad", "more keys: feet, inches, units")
	tab.press("#pad .marks", "feet mark")
	tab.press("#pad .marks", "space")
	tab.picture("keypad-marks")
	tab.press("#pad", "more keys: feet, inches, units")
	tab.press("#pad .numbers", "1")
	tab.press("#pad .numbers", "1")
	tab.press("#pad", "more keys: feet, inches, units")
	tab.press("#pad .marks", "space")
	tab.press("#pad", "more keys: feet, inches, units")
	tab.press("#pad .numbers", "3")
	tab.press("#pad", "more keys: feet, inches, units")
	tab.press("#pad .marks", "stroke of a fraction")
	tab.press("#pad", "more keys: feet, inches, units")
	tab.press("#pad .numbers", "4")
	tab.press("#pad", "more keys: feet, inches, units")
	tab.press("#pad .marks", "inch mark")
	// 83.75 in x 25.4 mm, the international inch of 1959
	tab.until(`document.querySelector('.understood')?.innerText === '6\' 11 3/4" = 2127.25 mm'`)
	tab.picture("keypad-feet")
	if n := b.View().Current.Next; n.Reading != 1 {
		t.Error("reading it back counted it")
	}
	tab.quiet()
}

// TestAmbiguousEntryIsAsked types 1,234 and chooses what was meant.
func TestAmbiguousEntryIsAsked(t *testing.T) {
	b := realBench(t, t.TempDir())
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	tab := open(t, desktop, serve(t, Config{Bench: b}), true)
	tab.press("#acts", "Type it")
	for _, k := range []string{"1", "comma", "2", "3", "4"} {
		tab.press("#pad .numbers", k)
	}
	tab.until(`document.querySelectorAll('#pad .choice').length === 2`)
	tab.picture("keypad-choice")
	if eval[bool](tab, `document.querySelector('#pad .go').classList.contains('ready')`) {
		t.Error("an ambiguous entry can be counted")
	}
	tab.press("#pad", "1234 mm")
	tab.until(`document.querySelector('.understood')?.innerText === '1234 mm'`)
	tab.quiet()
}
