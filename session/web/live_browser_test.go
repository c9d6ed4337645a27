//go:build full

package web

import (
	"context"
	"fmt"
	"io"
	"net"
	"strings"
	"sync"
	"testing"
	"time"

	"github.com/chromedp/chromedp"

	"springline/device"
	"springline/session/command"
	"springline/session/show"
)

// TestLiveUpdate: a record made elsewhere is on the page without a touch, and is spoken.
func TestLiveUpdate(t *testing.T) {
	b := realBench(t, t.TempDir())
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	tab := open(t, desktop, serve(t, Config{Bench: b}), true)
	tab.until(`document.querySelector('#panel').innerText.includes('MEASURE')`)
	sendCommand(t, b, command.Order{Deed: command.Type{Text: nominal(t, b)}})
	tab.until(`document.querySelector('#panel .digits')?.innerText.startsWith('` + strings.TrimSuffix(nominal(t, b), " mm") + `')`)
	tab.until(`document.querySelector('#say').textContent.includes('tip-to-tip')`)
	tab.quiet()
}

// wire is a TCP relay that can be cut, so that a page loses a bench that goes on.
type wire struct {
	mu    sync.Mutex
	to    string
	cut   bool
	conns []net.Conn
}

// relay listens on a loopback port of its own and passes everything to the page's server, which must
// be told that address.
func relay(t *testing.T) (*wire, net.Listener) {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { l.Close() })
	w := &wire{}
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				return
			}
			w.mu.Lock()
			to, cut := w.to, w.cut
			w.conns = append(w.conns, c)
			w.mu.Unlock()
			if cut {
				c.Close()
				continue
			}
			s, err := net.Dial("tcp", to)
			if err != nil {
				c.Close()
				continue
			}
			go func() { io.Copy(s, c); s.Close() }()
			go func() { io.Copy(c, s); c.Close() }()
		}
	}()
	return w, l
}

func (w *wire) set(cut bool) {
	w.mu.Lock()
	defer w.mu.Unlock()
	w.cut = cut
	if cut {
		for _, c := range w.conns {
			c.Close()
		}
		w.conns = nil
	}
}

// behind serves the page at the relay's address.
func behind(t *testing.T, cfg Config) (*wire, string) {
	t.Helper()
	w, front := relay(t)
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	w.to = l.Addr().String()
	cfg.Now = time.Now
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- Serve(ctx, named{l, front.Addr()}, cfg) }()
	t.Cleanup(func() { stop(); <-done })
	return w, "http://" + front.Addr().String()
}

// named is a listener that gives the address browsers use instead of its own.
type named struct {
	net.Listener
	addr net.Addr
}

func (n named) Addr() net.Addr { return n.addr }

// TestReconnectResumes cuts the line, records meanwhile, and joins it again: the page says that it is
// not live, then catches up and says how many records it missed.
func TestReconnectResumes(t *testing.T) {
	b := realBench(t, t.TempDir())
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	line, url := behind(t, Config{Bench: b})
	tab := open(t, phone, url, true)
	tab.until(`document.querySelector('#panel').innerText.includes('MEASURE')`)
	line.set(true)
	tab.until(`document.body.classList.contains('not-live') && document.querySelector('#stale').innerText.includes('NOT LIVE')`)
	tab.picture("not-live-phone")
	value := nominal(t, b)
	sendCommand(t, b, command.Order{Deed: command.Type{Text: value}})
	sendCommand(t, b, command.Order{Deed: command.Type{Text: value}})
	line.set(false)
	tab.until(`!document.body.classList.contains('not-live')`)
	tab.until(`document.querySelector('#message').innerText.includes('2 records')`)
	tab.until(`document.querySelector('#next').innerText.includes('crown')`)
	tab.picture("back-phone")
	tab.quiet("ERR_")
}

// TestSilenceIsMarked: a bench that says nothing for 20 s is not shown as live. The page's clock is
// moved on instead of waited for.
func TestSilenceIsMarked(t *testing.T) {
	b := busy()
	tab := open(t, phone, serve(t, Config{Bench: b, Beat: time.Hour}), true)
	tab.until(`document.querySelector('#panel').innerText.includes('IN')`)
	if eval[bool](tab, `document.body.classList.contains('not-live')`) {
		t.Fatal("marked at once")
	}
	tab.do(chromedp.Evaluate[chromedp.Void](`(() => { const now = performance.now.bind(performance); performance.now = () => now() + 19000;
	})()`))
	tab.do(chromedp.Sleep(2500 * time.Millisecond))
	tab.until(`document.body.classList.contains('not-live')`)
	b.put(states()[4].view)
	tab.until(`!document.body.classList.contains('not-live')`)
}

// TestLostCommandIsSentAgainOnce: a typed value whose answer is lost says NOT SAVED; sent again with
// the same key it counts once.
func TestLostCommandIsSentAgainOnce(t *testing.T) {
	b := realBench(t, t.TempDir())
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	line, url := behind(t, Config{Bench: b})
	tab := open(t, phone, url, true)
	seq := b.View().Seq
	tab.until(`document.querySelector('#panel').innerText.includes('MEASURE')`)
	tab.do(chromedp.Evaluate[chromedp.Void](`(() => { const f = window.fetch; let n = 0; window.fetch = async (u, o) => {
		const r = await f(u, o); if (String(u).includes('/api/do') && n++ === 0) throw new TypeError('answer lost'); return r; }; })()`))
	tab.press("#acts", "Skip")
	tab.press("#sheet", "mark is missing")
	tab.until(`document.querySelector('#alarm').innerText.includes('NOT SAVED')`)
	tab.picture("lost-phone")
	tab.press("#alarm", "Send again")
	tab.until(`document.querySelector('#alarm').innerText === ''`)
	if n := b.View().Seq - seq; n != 1 {
		t.Errorf("one skip made %d records", n)
	}
	_ = line
}

// TestLostCommandOutlivesAReload: a skip that never reached the bench is named after a reload, is not sent by
// itself, does not go away with another command, and counts once when a person presses.
func TestLostCommandOutlivesAReload(t *testing.T) {
	b := realBench(t, t.TempDir())
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	tab := open(t, phone, serve(t, Config{Bench: b}), true)
	tab.until(`document.querySelector('#panel').innerText.includes('MEASURE')`)
	seq, char := b.View().Seq, b.View().Current.Next.Char
	tab.do(chromedp.Evaluate[chromedp.Void](`(() => { const f = window.fetch; window.fetch = (u, o) => String(u).includes('/api/do') ?
		 Promise.reject(new TypeError('no network')) : f(u, o); })()`))
	tab.press("#acts", "Skip")
	tab.press("#sheet", "mark is missing")
	tab.until(`document.querySelector('#alarm').innerText.includes('NOT SAVED')`)
	tab.do(chromedp.Reload())
	tab.until(`document.querySelector('#alarm').innerText.includes('did not answer to: skip, rib 01, ` + char + `')`)
	tab.picture("lost-reloaded-phone")
	if b.View().Seq != seq {
		t.Fatal("sent without a press")
	}
	sendCommand(t, b, command.Order{Sent: command.Sent{Key: "elsewhere"}, Deed: command.NextLot{Lot: b.View().Batch.Lot}})
	seq = b.View().Seq
	tab.press("#alarm", "Send again")
	tab.until(`document.querySelector('#alarm').innerText === ''`)
	if n := b.View().Seq - seq; n != 1 {
		t.Errorf("one skip made %d records", n)
	}
	tab.do(chromedp.Reload())
	tab.until(`document.querySelector('#panel').innerText !== ''`)
	if eval[bool](tab, `document.querySelector('#alarm').innerText !== '' || sessionStorage.length > 0`) {
		t.Error("an answered command is still kept")
	}
	tab.quiet()
}

// TestNotSavedStaysUntilSeen: the alarm is assertive, sounds until touched and stays while nothing can
// be stored; no action is offered.
func TestNotSavedStaysUntilSeen(t *testing.T) {
	b := busy()
	tab := open(t, phone, serve(t, Config{Bench: b}), true)
	var fault show.View
	for _, s := range states() {
		if s.name == "fault" {
			fault = s.view
		}
	}
	b.put(fault)
	tab.until(`document.querySelector('#alarm').innerText.includes('NOT SAVED')`)
	if !eval[bool](tab, `document.querySelector('#alarm').getAttribute('aria-live') === 'assertive' &&
		document.querySelector('#alarm').textContent.includes('disk is full')`) {
		t.Error("the alarm is not announced with its cause")
	}
	if eval[bool](tab, `document.querySelector('#acts').offsetParent !== null`) {
		t.Error("actions are offered though nothing can be stored")
	}
	tab.press("#alarm", "Seen")
	tab.until(`!document.querySelector('#alarm button')`)
	if !eval[bool](tab, `document.querySelector('#alarm').innerText.includes('NOT SAVED')`) {
		t.Error("the alarm went away though nothing can be stored")
	}
	mended := states()[3].view
	mended.Seq = fault.Seq + 1
	b.put(mended)
	tab.until(`document.querySelector('#alarm').innerText === '' && document.querySelector('#acts').offsetParent !== null`)
}

// TestHeldValueIsAnswered takes, takes the suggestion and discards, each from a press.
func TestHeldValueIsAnswered(t *testing.T) {
	var held show.View
	for _, s := range states() {
		if s.name == "held" {
			held = s.view
		}
	}
	for words, want := range map[string]command.Order{
		"Take 50.7 mm":   {Deed: command.Take{Seq: 140}},
		"Take 1287.8 mm": {Deed: command.Take{Seq: 140, Suggested: true}},
		"Discard":        {Deed: command.Discard{Seq: 140, Reason: "wrong gauge or unit"}},
	} {
		t.Run(words, func(t *testing.T) {
			b := &shelf{view: held}
			tab := open(t, phone, serve(t, Config{Bench: b}), true)
			if eval[bool](tab, `document.querySelector('#answers .primary') !== null`) {
				t.Error("one of two values stands out before the other")
			}
			tab.picture("held-suggestion-phone")
			tab.press("#answers", words)
			if d, ok := want.Deed.(command.Discard); ok {
				tab.press("#sheet", d.Reason)
			}
			for i := 0; len(b.did()) == 0 && i < 100; i++ {
				time.Sleep(50 * time.Millisecond)
			}
			got := b.did()
			if len(got) != 1 || got[0].Key == "" {
				t.Fatalf("%+v", got)
			}
			got[0].Key = ""
			if got[0] != want {
				t.Errorf("%+v, want %+v", got[0], want)
			}
			tab.quiet()
		})
	}
}

// TestBurstIsCaught: what a keyboard gauge types goes to the gauge and presses nothing, wherever the
// focus is; a person's keys still work.
func TestBurstIsCaught(t *testing.T) {
	b := busy()
	var mu sync.Mutex
	var bursts []string
	url := serve(t, Config{Bench: b, Keyboards: func() []string { return []string{"k1"} },
		Keys: func(_ context.Context, gauge string, keys []device.Key) error {
			mu.Lock()
			defer mu.Unlock()
			text := gauge + ":"
			for _, k := range keys {
				text += string(k.Char)
			}
			bursts = append(bursts, text)
			return nil
		}})
	tab := open(t, phone, url, true)
	tab.until(`document.querySelector('#panel').innerText.includes('IN')`)
	type keys struct {
		focus, burst string
		repeat       bool
	}
	// The times of the keys are given, 4 ms apart and a second between bursts: the machine's own pace, when
	// it is busy, is that of a person.
	send := func(k keys) {
		script := `(() => {
			const at = document.querySelector(` + fmt.Sprintf("%q", k.focus) + `); at.focus();
			window.keyTime = (window.keyTime || performance.now()) + 1000;
			for (const key of ` + fmt.Sprintf("%q", k.burst) + `) {
				const name = key === '\r' ? 'Enter' : key;
				const press = new KeyboardEvent('keydown', { key: name, bubbles: true, cancelable: true, repeat: ` + fmt.Sprint(k.repeat) + ` });
				Object.defineProperty(press, 'timeStamp', { value: window.keyTime += 4 });
				const ok = document.activeElement.dispatchEvent(press);
				if (ok && name === 'Enter' && document.activeElement.matches('button')) document.activeElement.click();
				if (ok && document.activeElement.matches('input') && name.length === 1) { document.activeElement.value += name;
					document.activeElement.dispatchEvent(new Event('input', { bubbles: true })); }
			}
		})()`
		eval[any](tab, script)
	}
	wait := func(n int) {
		t.Helper()
		for i := 0; i < 1000; i++ {
			mu.Lock()
			l := len(bursts)
			mu.Unlock()
			if l >= n {
				return
			}
			time.Sleep(30 * time.Millisecond)
		}
		t.Fatalf("want %d bursts, have %v", n, bursts)
	}
	send(keys{focus: "#catch", burst: "12.5\r"})
	wait(1)
	send(keys{focus: "#acts .undo", burst: "+1.25\r"}) // a focused button must not be pressed by the Enter
	wait(2)
	send(keys{focus: "#acts .undo", burst: " 13.5\r"}) // nor by a leading space
	wait(3)
	if n := len(b.did()); n != 0 {
		t.Fatalf("bursts pressed buttons: %+v", b.did())
	}
	send(keys{focus: "#acts .undo", burst: "14.5\r", repeat: true})
	tab.until(`document.querySelector('#message').innerText.includes('held down')`)
	tab.press("#message", "OK")
	tab.press("#acts", "Type it")
	send(keys{focus: "#pad input", burst: "15.5\r"})
	wait(4)
	if v := eval[string](tab, `document.querySelector('#pad input').value`); v != "" {
		t.Errorf("the burst stayed in the field: %q", v)
	}
	mu.Lock()
	got := strings.Join(bursts, "|")
	mu.Unlock()
	if got != "k1:12.5\r|k1:+1.25\r|k1: 13.5\r|k1:15.5\r" {
		t.Errorf("%q", got)
	}
	tab.press("#pad", "Close")
	eval[any](tab, `addEventListener('keyup', () => { window.keyUp = true; })`)
	tab.do(chromedp.Focus(chromedp.CSS("#acts .undo")), chromedp.KeyEvent("\r"))
	for i := 0; len(b.did()) == 0 && i < 100; i++ {
		time.Sleep(30 * time.Millisecond)
	}
	tab.until(`window.keyUp === true`) // a second press would come before it, with the key's own events
	if got := b.did(); len(got) != 1 || got[0].Op() != "undo" {
		t.Errorf("a person's Enter on Undo: %+v", got)
	}
	tab.quiet()
}
