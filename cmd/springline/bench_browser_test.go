//go:build full

package main

import (
	"context"
	"encoding/json"
	"fmt"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/chromedp/chromedp"
	"github.com/rs/zerolog"

	"springline/cmd/springline/job"
	"springline/cmd/springline/wiring"
	"springline/device/simgauge"
	"springline/qc"
	"springline/session"
	"springline/session/command"
	"springline/session/web"
)

// One batch measured as at the bench: the tape typed on the page in real Chromium, the caliper through a
// real pty, the report fetched from the page and compared with the record.
func TestBatchByPageAndPTY(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	defer stop()
	caliper, err := simgauge.New(simgauge.Options{Link: filepath.Join(t.TempDir(), "caliper")})
	if err != nil {
		t.Fatal(err)
	}
	defer caliper.Yank()
	r, url := benchFor(t, ctx, caliper.Address())
	if err := caliper.WaitReader(ctx); err != nil {
		t.Fatal(err)
	}
	time.Sleep(200 * time.Millisecond) // bytes right after the opening may be left over and do not count

	p := openPage(t, url)
	p.press("I have read this")
	devs := []map[string]float64{
		{"tip": 3, "crown": -1, "A1": 0.5, "A2": -0.25, "A3": 1, "B1": -2, "B2": 0.75, "B3": 0},
		{"tip": -4, "crown": 2, "A1": -2, "A2": 0.8, "A3": 0, "B1": 0.45, "B2": -0.3, "B3": 1.1},
	}
	for i, dev := range devs {
		p.press([]string{"Start first rib", "Next rib"}[min(i, 1)])
		p.until(fmt.Sprintf(`document.querySelector('#head').innerText.includes('%02d')`, i+1))
		measureRib(t, r.Bench, p, caliper, dev)
		p.until(`document.querySelector('#panel .word').innerText === 'PASS'`)
		if i == 0 {
			p.picture("page")
		}
	}
	v := r.Bench.View()
	if v.Pairs == nil || len(v.Pairs.Pairs) != 1 {
		t.Fatalf("two ribs that pass are one pair, not %+v", v.Pairs)
	}
	if _, err := r.Bench.Do(ctx, command.Order{Sent: command.Sent{By: "test"}, Deed: command.ConfirmPairs{Token: v.Pairs.Token}}); err != nil {
		t.Fatal(err)
	}
	compareReport(t, r.Bench, url)
}

func benchFor(t *testing.T, ctx context.Context, caliper string) (*wiring.Wired, string) {
	t.Helper()
	text := strings.Replace(string(job.Example()), `name = "depth caliper"`,
		fmt.Sprintf("name = \"depth caliper\"\naddress = %q\nformat = \"line\"", caliper), 1)
	text = strings.Replace(text, "planned = 24", "planned = 2", 1)
	j, err := job.Parse([]byte(text))
	if err != nil {
		t.Fatal(err)
	}
	r, err := wiring.Open(ctx, wiring.Config{Dir: t.TempDir(), Job: &j, Software: "springline test", Now: time.Now, Start: time.Now(),
		Log: zerolog.Nop()})
	if err != nil {
		t.Fatal(err)
	}
	l, err := web.Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	served := make(chan error, 1)
	serve, end := context.WithCancel(ctx)
	go func() { served <- r.Serve(serve, l) }()
	t.Cleanup(func() {
		end()
		if err := <-served; err != nil {
			t.Error(err)
		}
		if err := r.Close(); err != nil {
			t.Error(err)
		}
	})
	return r, "http://" + l.Addr().String()
}

// measureRib takes a whole round: keys for the tape, bytes in the pty for the caliper.
func measureRib(t *testing.T, b *session.Bench, p *page, caliper *simgauge.Gauge, dev map[string]float64) {
	t.Helper()
	for step := 0; ; step++ {
		v := b.View()
		n := v.Current.Next
		if n == nil {
			return
		}
		if step > 12 {
			t.Fatal("the rib does not become complete")
		}
		if n.GaugeID == "depth-1" {
			if err := caliper.Send(fmt.Appendf(nil, "%.2f mm\r\n", dev[n.Char])); err != nil {
				t.Fatal(err)
			}
		} else {
			var want float64
			if _, err := fmt.Sscanf(n.Want, "%f mm", &want); err != nil {
				t.Fatal(err)
			}
			p.press("Type it")
			for _, k := range fmt.Sprintf("%.0f", want+dev[n.Char]) {
				p.press(string(k))
			}
			p.press("COUNT IT")
		}
		deadline := time.Now().Add(10 * time.Second)
		for b.View().Seq == v.Seq {
			if time.Now().After(deadline) {
				t.Fatalf("%s: nothing was recorded; held %+v", n.Label, b.View().Held)
			}
			time.Sleep(5 * time.Millisecond)
		}
		if h := b.View().Held; len(h) > 0 {
			t.Fatalf("%s was held: %+v", n.Label, h[0])
		}
	}
}

// compareReport holds the page's JSON report against the record, whole nanometre for nanometre.
func compareReport(t *testing.T, b *session.Bench, url string) {
	t.Helper()
	resp, err := http.Get(url + "/reports/ARCH-1.json")
	if err != nil {
		t.Fatal(err)
	}
	defer resp.Body.Close()
	var doc struct {
		Ribs []struct {
			ID, Verdict string
			Deviations  []struct {
				Characteristic string
				Numbers        struct {
					Deviation int64 `json:"deviation_nm"`
				}
			}
		}
		Counts map[string]int
		Pairs  []any
	}
	if err := json.NewDecoder(resp.Body).Decode(&doc); err != nil {
		t.Fatal(err)
	}
	batch, err := b.Batch("ARCH-1")
	if err != nil {
		t.Fatal(err)
	}
	if len(doc.Ribs) != 2 || len(doc.Pairs) != 1 {
		t.Fatalf("%d ribs and %d pairs in the report", len(doc.Ribs), len(doc.Pairs))
	}
	seen := 0
	for _, rr := range doc.Ribs {
		rib, ok := batch.Rib(rr.ID)
		if !ok || rr.Verdict != string(qc.Pass) {
			t.Fatalf("rib %q is %s in the report", rr.ID, rr.Verdict)
		}
		for _, d := range rr.Deviations {
			c, _ := batch.Target.Characteristic(qc.CharID(d.Characteristic))
			want, ok := rib.Deviation(c)
			if !ok || int64(want.Dev) != d.Numbers.Deviation {
				t.Errorf("rib %s %s: %d nm in the report, %d on record", rr.ID, d.Characteristic, d.Numbers.Deviation, want.Dev)
			}
			seen++
		}
	}
	if seen != 16 {
		t.Errorf("%d deviations in the report, want 16", seen)
	}
	if batch.Counts.Typed != 6 {
		t.Errorf("%d typed values on record, want 6", batch.Counts.Typed)
	}
}

// page is the bench page in a browser.
type page struct {
	*testing.T
	ctx context.Context
}

func openPage(t *testing.T, url string) *page {
	t.Helper()
	alloc, stop := chromedp.NewExecAllocator(t.Context(),
		chromedp.ExecPath("/usr/bin/chromium"), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true), chromedp.Flag("mute-audio", true))
	t.Cleanup(stop)
	ctx, end := chromedp.NewContext(alloc)
	t.Cleanup(end)
	ctx, late := context.WithTimeout(ctx, 120*time.Second)
	t.Cleanup(late)
	p := &page{T: t, ctx: ctx}
	p.do(chromedp.EmulateViewport(1280, 800), chromedp.Navigate(url), chromedp.WaitReady(chromedp.CSS("#acts button")))
	return p
}

func (p *page) do(steps ...chromedp.Action[chromedp.Void]) {
	p.Helper()
	if err := chromedp.Do(p.ctx, steps...); err != nil {
		p.Fatalf("in Chromium (Debian package chromium): %v", err)
	}
}

func (p *page) until(expr string) {
	p.Helper()
	if _, err := chromedp.Run(p.ctx, chromedp.Poll[bool](expr, chromedp.WithPollingInterval(30*time.Millisecond),
		chromedp.WithPollingTimeout(20*time.Second))); err != nil {
		p.Fatalf("waiting for %s: %v", expr, err)
	}
}

// press presses the visible button that says words, once it has stood long enough to count.
func (p *page) press(words string) {
	p.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll('button')].find((e) => e.offsetParent && `+
		`(e.textContent.trim() === %q || e.getAttribute('aria-label') === %q))`, words, words)
	p.until("!!" + find)
	p.do(chromedp.Sleep(350 * time.Millisecond))
	at, err := chromedp.Run(p.ctx, chromedp.Evaluate[[]float64](`(() => { const e = `+find+
		`; e.scrollIntoView({block: 'nearest'}); const r = e.getBoundingClientRect(); return [r.x + r.width / 2, r.y + r.height / 2]; })()`))
	if err != nil {
		p.Fatalf("find the button %q: %v", words, err)
	}
	p.do(chromedp.MouseClickXY(at[0], at[1]))
}

// picture writes what is seen into the folder named by SPRINGLINE_PICTURES, for the README.
func (p *page) picture(name string) {
	dir := os.Getenv("SPRINGLINE_PICTURES")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(p.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		p.Fatal(err)
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644); err != nil {
		p.Fatal(err)
	}
}
