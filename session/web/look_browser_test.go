//go:build full

package web

import (
	"encoding/json"
	"fmt"
	"testing"

	"springline/session/show"
)

// TestEveryStateLooksRight walks the page through its states on three screens: no complaint of the
// browser, no sideways scroll, targets of 96 px and contrasts as computed from what was rendered.
func TestEveryStateLooksRight(t *testing.T) {
	for _, s := range []screen{phone, narrow, desktop} {
		t.Run(s.name, func(t *testing.T) {
			b := &shelf{view: states()[0].view}
			tab := open(t, s, serve(t, Config{Bench: b, Reports: plainReport}), true)
			for _, st := range states() {
				b.put(st.view)
				tab.until(fmt.Sprintf(`document.querySelector('#panel').innerText.includes(%q)`, st.want))
				tab.until(settled(st.view))
				tab.picture(st.name + "-" + s.name)
				checkLook(tab, st.name)
				if w := eval[int](tab, `document.documentElement.scrollWidth`); w > int(s.width) {
					t.Errorf("%s: the page is %d px wide on a screen of %d", st.name, w, s.width)
				}
			}
			tab.quiet()
		})
	}
}

// checkLook holds what is painted against WCAG 2.2: 1.4.6 contrast (7:1, and 12:1 for reading and
// verdict by our own rule for daylight), and our sizes for gloves: 96 px for bench actions with 8 px
// between, 44 px (2.5.5) for the rest, no type below 15 px.
func checkLook(tab *tab, state string) {
	tab.Helper()
	texts := eval[[]contrast](tab, contrasts)
	if len(texts) < 10 {
		tab.Fatalf("%s: only %d texts found", state, len(texts))
	}
	for _, c := range texts {
		need := 7.0
		if c.Panel {
			need = 12
		}
		if c.Ratio < need || c.Opacity < 1 {
			tab.Errorf("%s: %q has a contrast of %.1f (opacity %v), want %.0f", state, c.Text, c.Ratio, c.Opacity, need)
		}
		if c.Size < 15 {
			tab.Errorf("%s: %q is %.0f px high", state, c.Text, c.Size)
		}
	}
	all := eval[[]target](tab, targets)
	actions := 0
	for i, a := range all {
		least := 44.0
		if a.Action {
			least = 96
			actions++
		}
		if a.Width < least-0.01 || a.Height < least-0.01 {
			tab.Errorf("%s: %q is %.0f by %.0f px, want %.0f", state, a.Name, a.Width, a.Height, least)
		}
		for _, b := range all[:i] {
			if a.Action && b.Action && a.X < b.X+b.Width+8 && b.X < a.X+a.Width+8 && a.Y < b.Y+b.Height+8 && b.Y < a.Y+a.Height+8 {
				tab.Errorf("%s: %q and %q are less than 8 px apart", state, a.Name, b.Name)
			}
		}
	}
	if actions > 5 {
		tab.Errorf("%s: %d bench actions, want at most five", state, actions)
	}
	if eval[bool](tab, `!!document.querySelector('.digits')`) {
		if mm := eval[float64](tab, digitHeight); mm < 12 {
			tab.Errorf("%s: the digits are %.1f mm high", state, mm)
		}
		if over := eval[bool](tab, `(() => { const d = document.querySelector('.digits').getBoundingClientRect(),
			p = document.querySelector('.figure').getBoundingClientRect(); return d.right > p.right + 1; })()`); over {
			tab.Errorf("%s: the reading is cut off", state)
		}
	}
}

// settled is true once the page shows v whole.
func settled(v show.View) string {
	n, _ := json.Marshal(len(v.Ribs))
	return fmt.Sprintf(`document.querySelectorAll('#batch tbody tr').length === %s && document.querySelectorAll('#gauges li').length === %d`,
		n, len(v.Gauges))
}
