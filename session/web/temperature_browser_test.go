//go:build full

package web

import (
	"strings"
	"testing"

	"springline/session/command"
)

// Temperatures are entered from the gauge panel; a refusal says why and keeps what was entered; the value
// then read stands beside its correction, on a phone and on a desk.
func TestTemperaturesAreEntered(t *testing.T) {
	for _, s := range []screen{phone, desktop} {
		t.Run(s.name, func(t *testing.T) {
			b := realBench(t, t.TempDir())
			sendCommand(t, b, command.Order{Deed: command.Start{}})
			tab := open(t, s, serve(t, Config{Bench: b, Reports: plainReport}), true)
			tab.until(`document.querySelector('#gauges').innerText.includes('bar and tape not read')`)
			enter := func(bar, tape string) {
				t.Helper()
				tab.until(`document.querySelectorAll('dialog[open] input.line').length === 2`)
				eval[bool](tab, `(() => { const [a, b] = document.querySelectorAll('dialog[open] input.line'); a.value = '`+bar+`';
					b.value = '`+tape+`'; return true; })()`)
			}
			tab.press("#gauges", "Enter temperatures")
			enter("20", "300")
			tab.press("dialog[open]", "Count from now on")
			tab.until(`document.querySelector('dialog[open] .why').innerText.includes('-40 to 80')`)
			enter("20", "38,5")
			checkLook(tab, "temperatures")
			tab.picture("temperatures-" + s.name)
			tab.press("dialog[open]", "Count from now on")
			tab.until(`!document.querySelector('dialog[open]') && document.querySelector('#gauges').innerText.includes('bar 20 °C, tape 38.5 °C')`)
			text := nominal(t, b)
			sendCommand(t, b, command.Order{Deed: command.Type{Text: text}})
			sendCommand(t, b, command.Order{Deed: command.Type{Text: text}})
			tab.until(`document.querySelector('#round .note')?.innerText.startsWith('corrected +0.')`)
			tab.until(`document.querySelector('#panel').innerText.includes('mm to 20 °C')`)
			tab.picture("corrected-" + s.name)
			eval[bool](tab, `(() => { document.querySelector('#gauges').scrollIntoView(); return true; })()`)
			tab.picture("gauges-" + s.name)
			if was := b.View().Batch.Temperature; was == nil || !strings.Contains(was.Text, "tape 38.5") {
				t.Errorf("%+v", was)
			}
			tab.press("#gauges", "Read temperatures again")
			enter("38.5", "38.5")
			tab.press("dialog[open]", "The last reading was wrong: put it right")
			tab.until(`document.querySelector('#round .note')?.innerText.startsWith('corrected 0 mm')`)
			tab.quiet("422")
		})
	}
}
