//go:build full

package web

import (
	"context"
	"fmt"
	"iter"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/cdproto/page"
	"github.com/chromedp/chromedp"
)

// chromium starts the browser that all tests of this package share, each in a tab of its own. A
// machine without it fails the tests: a page that no browser has opened is not a page that works.
var chromium = sync.OnceValues(func() (context.Context, context.CancelFunc) {
	path := "/usr/bin/chromium"
	if p := os.Getenv("CHROMIUM"); p != "" {
		path = p
	}
	alloc, stop := chromedp.NewExecAllocator(context.Background(),
		chromedp.ExecPath(path), chromedp.Headless, chromedp.NoSandbox, chromedp.DisableGPU, chromedp.NoFirstRun,
		chromedp.Flag("disable-quic", true), chromedp.Flag("disable-background-networking", true),
		chromedp.Flag("disable-component-update", true), chromedp.Flag("disable-sync", true),
		chromedp.Flag("disable-extensions", true), chromedp.Flag("mute-audio", true),
		chromedp.Flag("disable-dev-shm-usage", true), chromedp.Flag("force-color-profile", "srgb"),
		chromedp.Flag("disable-background-timer-throttling", true), chromedp.Flag("disable-renderer-backgrounding", true))
	ctx, _ := chromedp.NewContext(alloc)
	return ctx, stop
})

func TestMain(m *testing.M) {
	code := m.Run()
	_, stop := chromium()
	stop()
	os.Exit(code)
}

// tab is one browser window on the page, with everything it complained of.
type tab struct {
	*testing.T
	ctx context.Context

	mu         sync.Mutex
	complaints []string
}

// screen is a window size; mobile ones have a finger instead of a mouse.
type screen struct {
	name          string
	width, height int64
	mobile        bool
}

var (
	phone   = screen{"phone", 360, 740, true}
	narrow  = screen{"narrow", 320, 640, true}
	desktop = screen{"desktop", 1280, 800, false}
)

// open opens url; seen keeps the cautions of a batch from covering the page.
func open(t *testing.T, s screen, url string, seen bool) *tab {
	t.Helper()
	root, _ := chromium()
	if err := chromedp.Do(root); err != nil {
		t.Fatalf("start Chromium (Debian package chromium): %v", err)
	}
	ctx, stop := chromedp.NewContext(root)
	t.Cleanup(stop)
	ctx, end := context.WithTimeout(ctx, 90*time.Second)
	t.Cleanup(end)
	b := &tab{T: t, ctx: ctx}
	b.do(func(context.Context, *chromedp.Target) (chromedp.Void, error) { return chromedp.Void{}, nil })
	go b.hear(chromedp.Console(ctx))
	size := []chromedp.EmulateViewportOption{}
	if s.mobile {
		size = append(size, chromedp.EmulateMobile, chromedp.EmulateTouch)
	}
	b.do(chromedp.EmulateViewport(s.width, s.height, size...))
	if seen {
		if _, err := chromedp.Call(ctx, page.AddScriptToEvaluateOnNewDocument, page.AddScriptToEvaluateOnNewDocumentParams{
			Source: `try { localStorage.getItem('springline-screen') || localStorage.setItem('springline-screen',
				'{"seen":"reed-shelter"}') } catch {}`}); err != nil {
			t.Fatal(err)
		}
	}
	b.do(chromedp.Navigate(url), chromedp.WaitReady(chromedp.CSS("#acts button")))
	return b
}

func (b *tab) hear(messages iter.Seq2[chromedp.ConsoleMessage, error]) {
	for m, err := range messages {
		if err != nil {
			return
		}
		if m.IsException() || m.Type == "error" || m.Type == "warning" {
			b.mu.Lock()
			b.complaints = append(b.complaints, fmt.Sprintf("%s %s %s", m.Source, m.String(), m.URL))
			b.mu.Unlock()
		}
	}
}

// quiet fails the test for each complaint but those that hold one of the allowed texts.
func (b *tab) quiet(allowed ...string) {
	b.Helper()
	b.mu.Lock()
	defer b.mu.Unlock()
next:
	for _, c := range b.complaints {
		for _, a := range allowed {
			if strings.Contains(c, a) {
				continue next
			}
		}
		b.Errorf("the browser complained: %s", c)
	}
}

func (b *tab) do(steps ...chromedp.Action[chromedp.Void]) {
	b.Helper()
	if err := chromedp.Do(b.ctx, steps...); err != nil {
		b.picture("failed-" + strings.ReplaceAll(b.Name(), "/", "-"))
		b.Fatal(err)
	}
}

// eval gives the value of an expression, awaiting a promise.
func eval[V any](b *tab, expr string) V {
	b.Helper()
	v, err := chromedp.Run(b.ctx, chromedp.Evaluate[V](expr, chromedp.EvalAwaitPromise))
	if err != nil {
		b.Fatalf("evaluate %.300s: %v", expr, err)
	}
	return v
}

// until waits until the expression is true.
func (b *tab) until(expr string) {
	b.Helper()
	if _, err := chromedp.Run(b.ctx, chromedp.Poll[bool](expr, chromedp.WithPollingInterval(30*time.Millisecond),
		chromedp.WithPollingTimeout(20*time.Second))); err != nil {
		b.picture("failed-" + strings.ReplaceAll(b.Name(), "/", "-"))
		b.Fatalf("waiting for %s: %v; the page says: %.600s", expr, err, eval[string](b, `document.body.innerText`))
	}
}

// press presses the visible button that says words, after the time a new button needs to count.
func (b *tab) press(scope, words string) {
	b.Helper()
	find := fmt.Sprintf(`[...document.querySelectorAll(%q)].find((e) => e.offsetParent && (e.textContent.trim() === %q ||
		e.getAttribute('aria-label') === %q))`, scope+" button", words, words)
	b.until(`!!` + find)
	b.do(chromedp.Sleep(400 * time.Millisecond))
	at := eval[[]float64](b, `(() => { const e = `+find+`; e.scrollIntoView({block: 'nearest'}); const r = e.getBoundingClientRect();
		return [r.x + r.width / 2, r.y + r.height / 2]; })()`)
	b.do(chromedp.MouseClickXY(at[0], at[1]))
}

// picture writes what is seen into the folder named by SPRINGLINE_PICTURES, for a person to look at.
func (b *tab) picture(name string) {
	dir := os.Getenv("SPRINGLINE_PICTURES")
	if dir == "" {
		return
	}
	png, err := chromedp.Run(b.ctx, chromedp.CaptureScreenshot())
	if err != nil {
		b.Log(err)
		return
	}
	if err := os.WriteFile(filepath.Join(dir, name+".png"), png, 0o644); err != nil {
		b.Error(err)
	}
}
