//go:build full

package web

import (
	"encoding/xml"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"springline/session"
	"springline/session/command"
)

// movedBlock measures 13 ribs off a jig that holds still and 3 after a block gave way by 9 mm.
func movedBlock(t *testing.T, b *session.Bench) {
	t.Helper()
	tips := []float64{0, 1, -.5, .5, 0, -1, .5, 1, 0, -.5, .5, 0, -.5, 9, 9.5, 8.5}
	for i, off := range tips {
		oneRib(t, b, off, fmt.Sprint(float64(i%4)-1.5))
	}
}

// oneRib measures one rib whose tips are off by so many millimetres.
func oneRib(t *testing.T, b *session.Bench, off float64, station string) {
	t.Helper()
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	for v := b.View(); v.Current.Next != nil; v = b.View() {
		text := v.Current.Next.Want
		switch {
		case v.Current.Next.Char == "tip":
			var want float64
			if _, err := fmt.Sscanf(text, "%f", &want); err != nil {
				t.Fatal(err)
			}
			text = fmt.Sprintf("%.1f mm", want+off)
		case v.Current.Next.Signed:
			text = station
		}
		sendCommand(t, b, command.Order{Deed: command.Type{Text: text}})
		for _, h := range b.View().Held {
			sendCommand(t, b, command.Order{Deed: command.Take{Seq: h.Seq}})
		}
	}
}

// TestTheJigIsSaidOnThePage: the sentence comes up by itself when the block has moved, and once; chart, figures
// and the numbers behind the drawing are there on request.
func TestTheJigIsSaidOnThePage(t *testing.T) {
	for _, s := range []screen{phone, desktop} {
		t.Run(s.name, func(t *testing.T) {
			b := realBench(t, t.TempDir())
			for i := range 9 {
				oneRib(t, b, float64(i%3)-1, "0.5")
			}
			tab := open(t, s, serve(t, Config{Bench: b}), true)
			tab.until(`document.querySelector('#drift').innerText.includes('No sign that the jig has moved: 9 ribs')`)
			for range 3 {
				oneRib(t, b, 9, "0.5")
			}
			tab.until(`document.querySelector('#message').innerText.includes('The tips have opened by about 9 mm since rib 10: check that block 1')`)
			tab.picture("drift-told-" + s.name)
			tab.press("#message", "OK")
			oneRib(t, b, 9.5, "0.5")
			tab.until(`document.querySelector('#drift').innerText.includes('13 ribs')`)
			if again := eval[string](tab, `document.querySelector('#message').innerText`); again != "" {
				t.Errorf("told again: %q", again)
			}
			tab.do(chromedp.ScrollIntoView(chromedp.CSS("#drift")))
			tab.picture("drift-section-" + s.name)
			tab.press("#drift", "Chart of the ribs off the jig")
			tab.until(`document.querySelector('#sheet img')?.naturalWidth > 0`)
			tab.picture("drift-sheet-" + s.name)
			eval[any](tab, `document.querySelector('#sheet details').open = true`)
			if n := eval[int](tab, `document.querySelectorAll('#sheet tbody tr').length`); n != 13 {
				t.Errorf("the table behind the drawing has %d rows", n)
			}
			if n := eval[int](tab, `[...document.querySelectorAll('#sheet dd')].filter((d) => d.textContent).length`); n < 5 {
				t.Errorf("%d figures stand under the drawing", n)
			}
			tab.do(chromedp.ScrollIntoView(chromedp.CSS("#sheet dl")))
			tab.picture("drift-numbers-" + s.name)
			if w := eval[int](tab, `document.querySelector('#sheet').scrollWidth - document.querySelector('#sheet').clientWidth`); w > 0 {
				t.Errorf("the sheet is %d px too wide", w)
			}
			tab.press("#sheet", "Another characteristic")
			tab.press("#sheet", "crown height")
			tab.until(`document.querySelector('#sheet').innerText.includes('Off the jig: crown height')`)
			checkLook(tab, "drift")
			tab.quiet()
		})
	}
}

// TestTheProofIsOnThePage: what the next measurement can prove, where its doubt comes from, and how the ribs fit.
func TestTheProofIsOnThePage(t *testing.T) {
	for _, s := range []screen{phone, desktop} {
		t.Run(s.name, func(t *testing.T) {
			b := realBench(t, t.TempDir())
			movedBlock(t, b)
			sendCommand(t, b, command.Order{Deed: command.Start{}})
			tab := open(t, s, serve(t, Config{Bench: b}), true)
			tab.until(`document.querySelector('#proof').innerText.includes('The guard band takes')`)
			tab.press("#proof", "Where the doubt comes from")
			tab.until(`document.querySelector('#sheet img')?.naturalWidth > 0`)
			tab.picture("proof-sheet-" + s.name)
			said := eval[string](tab, `document.querySelector('#sheet').innerText`)
			for _, want := range []string{"Most of the doubt", "works one way only", "The ribs so far", "Tip-to-tip: the spread is not normal"} {
				if !strings.Contains(said, want) {
					t.Errorf("the sheet does not say %q:\n%s", want, said)
				}
			}
			eval[any](tab, `document.querySelectorAll('#sheet details').forEach((d) => { d.open = true; })`)
			tab.do(chromedp.ScrollIntoView(chromedp.CSS("#sheet details:last-of-type")))
			tab.picture("proof-numbers-" + s.name)
			checkLook(tab, "proof")
			tab.quiet()
		})
	}
}

func TestStatisticsAddresses(t *testing.T) {
	b := realBench(t, t.TempDir())
	h := handler(t, b)
	movedBlock(t, b)
	for _, address := range []string{"/drawings/drift.svg?char=tip", "/drawings/budget.svg?char=tip&rib=01", "/drawings/budget.svg?char=A1"} {
		w := ask(h, "GET", address, "127.0.0.1:8420", nil)
		if w.Code != 200 || w.Header().Get("Content-Type") != "image/svg+xml" || xml.Unmarshal(w.Body.Bytes(), new(struct{})) != nil {
			t.Errorf("%s: %d %s", address, w.Code, w.Body)
		}
	}
	for _, address := range []string{"/api/drift", "/api/drift?char=crown", "/api/proof?char=tip&rib=03", "/api/proof"} {
		if w := ask(h, "GET", address, "127.0.0.1:8420", nil); w.Code != 200 || !strings.Contains(w.Body.String(), `"lines"`) {
			t.Errorf("%s: %d %s", address, w.Code, w.Body)
		}
	}
	for _, address := range []string{"/drawings/drift.svg?char=Z9", "/drawings/budget.svg", "/api/drift?char=Z9", "/api/proof?char=Z9"} {
		if w := ask(h, "GET", address, "127.0.0.1:8420", nil); w.Code < 400 || !strings.Contains(w.Body.String(), `"char"`) {
			t.Errorf("%s: %d %s", address, w.Code, w.Body)
		}
	}
}
