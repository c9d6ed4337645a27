package web

import (
	"encoding/json"
	"fmt"
	"testing"

	"springline/session"
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
				if w := eval[int](tab, `document.documentElement.scrollWidth`); w > int(s.width) {
					t.Errorf("%s: the page is %d px wide on a screen of %d", st.name, w, s.width)
				}
			}
			tab.quiet()
		})
	}
}

// settled is true once the page shows v whole.
func settled(v session.View) string {
	n, _ := json.Marshal(len(v.Ribs))
	return fmt.Sprintf(`document.querySelectorAll('#batch tbody tr').length === %s && document.querySelectorAll('#gauges li').length === %d`, n, len(v.Gauges))
}
