//go:build full

package web

import (
	"context"
	"fmt"
	"strings"
	"testing"

	"springline/qc"
	"springline/session/command"
	"springline/session/show"
)

// hostile are texts that become markup, script, attributes or addresses where a page builds them by
// string; the forms are those of the public cheat sheets on cross-site scripting, from memory.
func hostile() []string {
	heads := []string{"", `">`, `'>`, "</text>", "</title>", "</style>", "-->", "]]>", "`", "${", "{{", "javascript:",
		"&#x3c;", "\\u003c", "%3C"}
	bodies := []string{
		"<script>window.owned=1</script>", "<img src=x onerror=window.owned=1>", "<svg onload=window.owned=1>",
		"<iframe srcdoc='<script>top.owned=1</script>'>",
		"<details open ontoggle=window.owned=1>", "<a href=javascript:window.owned=1>x</a>", "<style>*{display:none}</style>",
		"<meta http-equiv=refresh content=0>",
		"<base href=//evil.example>", "<form action=//evil.example><button>x</button></form>", "<math><mtext><img src=x onerror=owned=1>",
		"constructor", "__proto__", "<input autofocus onfocus=owned=1>", "<object data=x>", "<link rel=stylesheet href=//evil.example>",
	}
	var all []string
	for _, h := range heads {
		for _, b := range bodies {
			all = append(all, h+b)
		}
	}
	return all
}

// TestNamesNeverBecomeMarkup puts the corpus into every text of the view.
func TestNamesNeverBecomeMarkup(t *testing.T) {
	corpus := hostile()
	if len(corpus) < 200 {
		t.Fatalf("only %d payloads", len(corpus))
	}
	b := &shelf{view: base(1)}
	tab := open(t, desktop, serve(t, Config{Bench: b, Reports: plainReport}), true)
	tab.until(`document.querySelectorAll('#gauges li').length > 0`)
	for i := 0; i < len(corpus); i += 15 {
		b.put(poisoned(int64(i+2), corpus[i:min(i+15, len(corpus))]))
		tab.until(fmt.Sprintf(`document.querySelector('#notices').textContent.includes(%q)`, corpus[i]))
		if n := eval[int](tab, `document.querySelectorAll('script:not([src]), iframe, img, object, meta[http-equiv], base, form, math, style, ' +
			'a[href^="javascript"], [onerror], [onload], [onfocus], [ontoggle], main input, link[href*="evil"]').length`); n != 0 {
			t.Fatalf("payloads from %d on made %d elements", i, n)
		}
		if eval[bool](tab, `window.owned !== undefined`) {
			t.Fatalf("a payload from %d on ran", i)
		}
	}
	tab.quiet()
}

// poisoned is a view with a payload wherever the page shows a text.
func poisoned(seq int64, texts []string) show.View {
	n := 0
	p := func() string { n++; return texts[n%len(texts)] }
	v := base(seq)
	v.Bench, v.Software = p(), p()
	v.Notices = texts
	v.Batch = &show.BatchView{ID: "reed-shelter", Title: p(), Target: p(), Bar: p(), Rule: p(), Planned: 24, Counts: map[string]int{p(): 1},
		Lots: []string{p(), p()}, Lot: p(), Jig: p()}
	r := ribOf(1, "RE-BEND", 94, -52, 21)
	r.Rib, r.Lot, r.Verdict, r.Reason, r.Worst, r.Pair = p(), p(), p(), p(), p(), p()
	for i := range r.Cells {
		r.Cells[i].Char, r.Cells[i].Dev, r.Cells[i].Lane = p(), p(), p()
	}
	v.Ribs = []show.RibView{r}
	v.Current = current(ribOf(1, "OPEN", 12))
	v.Current.Rib, v.Current.Lot, v.Current.Verdict, v.Current.Reason, v.Current.Action = p(), p(), p(), p(), p()
	*v.Current.Next = show.NextView{Char: p(), Label: p(), Face: p(), Want: p(), Limit: p(), Gauge: p(), GaugeID: p(), Unit: p(), Reading: 1,
		Of: 2, Hint: p()}
	for i := range v.Current.Steps {
		s := &v.Current.Steps[i]
		s.Char, s.Label, s.Short, s.Value, s.Dev, s.Lane = p(), p(), p(), p(), p(), p()
	}
	v.Last = &show.LastView{Seq: seq, Rib: v.Current.Rib, Char: p(), Label: p(), Value: p(), Read: p(), Dev: p(), Lane: p(), Sign: p(),
		Limit: p(), Doubt: p()}
	v.Gauges = []show.GaugeView{{ID: p(), Name: p(), State: p(), Detail: p(), Measures: []string{p()}, Check: p(), LastText: p()}}
	if seq%2 == 0 {
		v.Held = []show.HeldView{{Seq: seq, Label: p(), Gauge: p(), Value: p(), Reason: p(), Ask: p(), Suggest: p()}}
	}
	v.Pairs = &show.PairsView{State: p(), Note: p(), Sum: p(), Proof: p(), Confirmed: p(), Spares: []string{p()},
		Left:  []show.LeftView{{Rib: p(), Reason: p()}},
		Pairs: []show.PairView{{A: p(), B: p(), How: p(), Mismatch: p(), Largest: p()}}}
	if seq%3 == 0 {
		v.Saved, v.Fault = false, p()
	}
	return v
}

// TestHostileNamesOnARealBench: names that the bench takes are shown as they are.
func TestHostileNamesOnARealBench(t *testing.T) {
	b := realBench(t, t.TempDir())
	names := []string{`<img src=x onerror=owned=1>`, `"><script>owned=1</script>`, `'><svg/onload=owned=1>`}
	for _, n := range names {
		if err := b.Set(context.Background(), command.LotDeed(qc.Lot{ID: n, Grade: "B500B", BarLength: 6000 * mm})); err != nil {
			t.Fatal(err)
		}
		sendCommand(t, b, command.Order{Deed: command.Start{Rib: n, Lot: n}})
	}
	tab := open(t, desktop, serve(t, Config{Bench: b}), true)
	tab.until(`document.querySelectorAll('#batch tbody tr').length === 3`)
	text := eval[string](tab, `document.body.textContent`)
	for _, n := range names {
		if !strings.Contains(text, n) {
			t.Errorf("%q is not shown as it is", n)
		}
	}
	if eval[bool](tab, `window.owned !== undefined || document.querySelectorAll('img, main script').length > 0`) {
		t.Error("a name became markup")
	}
	tab.quiet()
}
