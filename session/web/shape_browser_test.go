//go:build full

package web

import (
	"encoding/xml"
	"fmt"
	"strings"
	"testing"

	"github.com/chromedp/chromedp"

	"springline/qc/arch"
	"springline/qc/length"
	"springline/session"
	"springline/session/command"
)

// openRib measures a rib of one even radius whose tips stand wide by so many millimetres: its crown and stations
// follow from the geometry of a plain arc.
func openRib(t *testing.T, b *session.Bench, wide float64) {
	t.Helper()
	want := arch.Shape{Radius: 1600, Leg: 900, Arc: 4200}
	r, err := arch.RadiusFromTip(want.TipToTip()+wide, want.Leg, want.Arc)
	if err != nil {
		t.Fatal(err)
	}
	is := arch.Shape{Radius: r, Leg: want.Leg, Arc: want.Arc}
	target, rib := want.Curve().Place(), is.Curve().Place()
	off := map[string]float64{"tip": wide, "crown": is.CrownHeight() - want.CrownHeight()}
	for _, s := range []arch.Station{{Leg: arch.LegA, Index: 1, X: -want.Arc / 4}, {Leg: arch.LegB, Index: 1, X: want.Arc / 4}} {
		off[s.String()] = target.OffsetOf(rib, s)
	}
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	for v := b.View().Current; v.Next != nil; v = b.View().Current {
		var nominal float64
		if _, err := fmt.Sscanf(v.Next.Want, "%f", &nominal); err != nil {
			t.Fatal(err)
		}
		l, err := length.FromMM(nominal + off[v.Next.Char])
		if err != nil {
			t.Fatal(err)
		}
		sendCommand(t, b, command.Order{Deed: command.Type{Text: l.Round(length.Millimetre/10, length.TieEven).String() + " mm"}})
		for len(b.View().Held) > 0 {
			sendCommand(t, b, command.Order{Deed: command.Take{Seq: b.View().Held[0].Seq}})
		}
	}
}

// TestShapeAndJigOnThePage bends four ribs, the last too open: its shape is drawn and named with the next
// action under it, the jig advises a tighter radius, and a jig that was rebuilt goes on record by touch.
func TestShapeAndJigOnThePage(t *testing.T) {
	for _, s := range []screen{phone, desktop} {
		t.Run(s.name, func(t *testing.T) {
			b := realBench(t, t.TempDir())
			tab := open(t, s, serve(t, Config{Bench: b}), true)
			tab.until(`document.querySelector('#jig').innerText.includes('no bar of this lot has been bent yet') ||
				document.querySelector('#jig').innerText.includes('No bar of this lot')`)
			for _, wide := range []float64{3, -2, 4, 38} {
				openRib(t, b, wide)
			}
			tab.until(`document.querySelector('#shape img.shape')?.naturalWidth > 0 &&
				document.querySelector('#shape').innerText.includes('rib 04')`)
			tab.do(chromedp.ScrollIntoView(chromedp.CSS("#shape")))
			tab.picture("shape-" + s.name)
			v := b.View()
			said := eval[string](tab, `document.querySelector('#shape').innerText`)
			for _, want := range []string{"arc is too open", "±", v.Current.Action} {
				if !strings.Contains(said, want) {
					t.Errorf("the shape does not say %q:\n%s", want, said)
				}
			}
			tab.do(chromedp.ScrollIntoView(chromedp.CSS("#jig")))
			tab.picture("jig-" + s.name)
			said = eval[string](tab, `document.querySelector('#jig').innerText`)
			for _, want := range []string{v.Jig.Advised, v.Jig.Band, "1 mm of jig radius", "earned from 4 bars", "Jig sheet to print"} {
				if !strings.Contains(said, want) {
					t.Errorf("the jig does not say %q:\n%s", want, said)
				}
			}
			tab.press("#jig", "Spring constant, rib by rib")
			tab.until(`document.querySelector('#sheet img')?.naturalWidth > 0`)
			tab.picture("spring-" + s.name)
			tab.press("#sheet", "Close")
			tab.press("#jig", "Enter a rebuilt jig")
			tab.until(`!!document.querySelector('#sheet input')`)
			tab.do(chromedp.SendKeys(chromedp.CSS("#sheet input"), "1288 mm"))
			tab.press("#sheet", "Keep it")
			tab.until(`document.querySelector('#jig').innerText.includes('1288.0 mm')`)
			if q, err := b.Batch(v.Batch.ID); err != nil || len(q.Jigs) != 2 || q.Jigs[1].FaceRadius != 1288*length.Millimetre ||
				b.View().Batch.Jig != q.Jigs[1].ID {
				t.Errorf("jigs %+v, %v", q.Jigs, err)
			}
			checkLook(tab, "jig")
			tab.quiet()
		})
	}
}

// What cannot be drawn is refused by name, and what can is a whole picture.
func TestShapeAddresses(t *testing.T) {
	b := realBench(t, t.TempDir())
	h := handler(t, b)
	for address, code := range map[string]int{
		"/drawings/shape.svg?rib=01": 404, "/drawings/spring.svg": 404,
	} {
		if w := ask(h, "GET", address, "127.0.0.1:8420", nil); w.Code != code {
			t.Errorf("%s: %d %s, want %d", address, w.Code, w.Body, code)
		}
	}
	for range 3 {
		openRib(t, b, 4)
	}
	for _, address := range []string{"/drawings/shape.svg?rib=01", "/drawings/spring.svg"} {
		w := ask(h, "GET", address, "127.0.0.1:8420", nil)
		if w.Code != 200 || xml.Unmarshal(w.Body.Bytes(), new(struct{})) != nil || strings.Contains(w.Body.String(), "NaN") {
			t.Errorf("%s: %d %s", address, w.Code, w.Body)
		}
	}
	if w := ask(h, "GET", "/jig-sheet.pdf?lot=L1", "127.0.0.1:8420", nil); w.Code != 200 || !strings.HasPrefix(w.Body.String(), "%PDF-") {
		t.Errorf("the jig sheet: %d", w.Code)
	}
}
