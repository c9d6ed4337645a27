//go:build full

package web

import (
	"encoding/xml"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"springline/session"
	"springline/session/command"
)

// sixRibs measures six ribs: 01 and 03 are mirror images, 02 and 04 nearly equal, 05 and 06 alike.
func sixRibs(t *testing.T, b *session.Bench) {
	t.Helper()
	for _, off := range [][2]string{{"3", "-2"}, {"1", "1"}, {"-2", "3"}, {"1", "1.5"}, {"-4", "-4"}, {"-4", "-3.5"}} {
		sendCommand(t, b, command.Order{Deed: command.Start{}})
		for v := b.View().Current; v.Next != nil; v = b.View().Current {
			text := v.Next.Want
			switch v.Next.Char {
			case "A1", "A2", "A3":
				text = off[0]
			case "B1", "B2", "B3":
				text = off[1]
			}
			sendCommand(t, b, command.Order{Deed: command.Type{Text: text}})
		}
		if v := b.View().Current; v.Verdict != "PASS" {
			t.Fatalf("rib %s is %s: %s", v.Rib, v.Verdict, v.Reason)
		}
	}
}

// TestPairsAreDecidedOnThePage looks at a pair as it will stand, forbids it, locks another, confirms the
// rest and the run order, by touch on a phone; the record holds what was pressed.
func TestPairsAreDecidedOnThePage(t *testing.T) {
	b := realBench(t, t.TempDir())
	sixRibs(t, b)
	tab := open(t, phone, serve(t, Config{Bench: b}), true)
	tab.press("#pairs", "look at the pair 01 and 03")
	tab.until(`document.querySelector('#sheet img.pair')?.naturalWidth > 0`)
	tab.picture("pair-look-phone")
	said := eval[string](tab, `document.querySelector('#sheet').innerText`)
	for _, want := range []string{"turn 03 end for end", "leg A of 01 with leg B of 03", "Locking it now costs nothing"} {
		if !strings.Contains(said, want) {
			t.Errorf("the sheet does not say %q:\n%s", want, said)
		}
	}
	tab.press("#sheet", "Lock 01 + 03")
	tab.press("#sheet", "Press again to lock")
	tab.until(`document.querySelector('#pairs .locked')?.innerText.includes('01 + 03')`)
	tab.press("#pairs", "look at the pair 02 and 04")
	tab.until(`document.querySelector('#sheet img.pair')?.naturalWidth > 0`)
	tab.picture("pair-differ-phone")
	tab.press("#sheet", "Who else could stand with 02")
	tab.until(`document.querySelectorAll('#sheet .partner').length === 3`)
	tab.picture("pair-partners-phone")
	if said := eval[string](tab, `document.querySelector('#sheet').innerText`); !strings.Contains(said, "mm in all") {
		t.Errorf("no partner says what it costs:\n%s", said)
	}
	tab.press("#sheet", "Close")
	tab.press("#pairs", "Confirm 3 pairs")
	tab.press("#pairs", "Press again to confirm")
	tab.until(`!!document.querySelector('#sheet input')`)
	tab.do(chromedp.SendKeys(chromedp.CSS("#sheet input"), "Ida Vollan"))
	tab.press("#sheet", "Keep it")
	tab.until(`document.querySelectorAll('#pairs .stand').length === 3`)
	tab.do(chromedp.ScrollIntoView(chromedp.CSS("#pairs .run")))
	tab.picture("pair-order-phone")
	tab.press("#pairs", "Confirm this order")
	tab.press("#pairs", "Press again to confirm")
	tab.until(`document.querySelector('#pairs .run').innerText.includes('confirmed by Ida Vollan')`)
	q, err := b.Batch(b.View().Batch.ID)
	if err != nil || len(q.Pairs) != 3 || !q.Pairs[0].Locked || q.Order == nil || q.Order.By != "Ida Vollan" {
		t.Errorf("%+v %+v, %v", q.Pairs, q.Order, err)
	}
	checkLook(tab, "pairs")
	tab.quiet()
}

func TestPairsOnADesk(t *testing.T) {
	b := realBench(t, t.TempDir())
	sixRibs(t, b)
	sendCommand(t, b, command.Order{Sent: command.Sent{By: "Ida Vollan"}, Deed: command.ConfirmPairs{Token: b.View().Pairs.Token}})
	tab := open(t, desktop, serve(t, Config{Bench: b}), true)
	tab.until(`document.querySelectorAll('#pairs .stand').length === 3`)
	tab.do(chromedp.ScrollIntoView(chromedp.CSS("#pairs .run")))
	tab.picture("pair-order-desktop")
	tab.press("#pairs", "look at the pair 01 and 03")
	tab.until(`document.querySelector('#sheet img.pair')?.naturalWidth > 0`)
	tab.picture("pair-look-desktop")
	tab.quiet()
}

// The picture of a pair is a whole document, and the addresses refuse what is not there.
func TestPairAddresses(t *testing.T) {
	b := realBench(t, t.TempDir())
	h := handler(t, b)
	sixRibs(t, b)
	w := ask(h, "GET", "/drawings/pair.svg?a=01&b=03&flip=true", "127.0.0.1:8420", nil)
	if w.Code != 200 || w.Header().Get("Content-Type") != "image/svg+xml" || xml.Unmarshal(w.Body.Bytes(), new(struct{})) != nil ||
		!strings.Contains(w.Body.String(), "03 leg B") {
		t.Errorf("%d %s\n%s", w.Code, w.Header(), w.Body)
	}
	for address, code := range map[string]int{
		"/drawings/pair.svg?a=01&b=99": 404, "/drawings/pair.svg": 404, "/api/partners?rib=99": 422, "/api/partners?rib=02": 200,
		"/api/order": 422,
	} {
		if w := ask(h, "GET", address, "127.0.0.1:8420", nil); w.Code != code {
			t.Errorf("%s: %d %s, want %d", address, w.Code, w.Body, code)
		}
	}
}
