//go:build full

package web

import (
	"errors"
	"slices"
	"sync"
	"testing"

	"springline/session/show"
)

// Where the next value comes from a gauge that sends when it is asked, the large button asks it; typing
// stays in the menu, and is the large button again while the gauge is away. A gauge that may be its twin
// is found or settled from the list.
func TestGaugesAreAskedFoundAndSettled(t *testing.T) {
	b := busy()
	v := b.View()
	v.Current.Next.GaugeID = "c1"
	v.Held = []show.HeldView{}
	b.put(v)
	var mu sync.Mutex
	var did []string
	note := func(act string) func(string) error {
		return func(id string) error {
			mu.Lock()
			defer mu.Unlock()
			did = append(did, act+" "+id)
			if act == "settle" {
				return errors.New("the gauge is not plugged in")
			}
			return nil
		}
	}
	wait := func(tab *tab, want ...string) {
		t.Helper()
		tab.until(`true`)
		mu.Lock()
		defer mu.Unlock()
		if !slices.Equal(did, want) {
			t.Fatalf("did %q, want %q", did, want)
		}
	}
	url := serve(t, Config{Bench: b, Asked: func() []string { return []string{"c1"} },
		Acts: GaugeActs{"ask": note("ask"), "find": note("find"), "settle": note("settle")}})
	tab := open(t, phone, url, true)
	tab.until(`document.querySelector('#acts .main').innerText === 'Read gauge'`)
	tab.picture("asked-phone")
	tab.press("#acts", "Read gauge")
	tab.press("#gauges", "Find it by its send key")
	tab.until(`document.querySelector('#message').innerText.includes('Press the send key of station caliper now.')`)
	wait(tab, "ask c1", "find c1")
	tab.picture("find-phone")
	tab.press("#message", "OK")
	tab.press("#gauges", "This is it")
	tab.until(`document.querySelector('#message').innerText.includes('not plugged in')`)
	wait(tab, "ask c1", "find c1", "settle c1")
	tab.press("#message", "OK")
	tab.press("#bench", "Menu")
	tab.press("dialog[open]", "Type station A2")
	tab.until(`document.querySelector('#pad').innerText.includes('COUNT IT')`)
	tab.press("#pad", "Close")
	v = b.View()
	v.Gauges = slices.Clone(v.Gauges)
	v.Gauges[2].State = "unplugged"
	v.Seq++
	b.put(v)
	tab.until(`document.querySelector('#acts .main').innerText === 'Type it'`)
	tab.quiet("422") // the gauge that was not plugged in
}
