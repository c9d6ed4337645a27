package web

import (
	"net/http"
	"reflect"
	"strings"
	"testing"
	"time"

	"springline/session/command"
	"springline/session/show"
)

const home = "127.0.0.1:8420"

// every is one request to each address, good and bad.
func every() [][2]string {
	return [][2]string{{"GET", "/"}, {"GET", "/assets/main.js"}, {"GET", "/assets/page.css"}, {"GET", "/assets/mark.svg"},
		{"GET", "/assets/none.js"},
		{"GET", "/api/view"}, {"GET", "/api/read?text=12"}, {"GET", "/healthz"}, {"GET", "/readyz"}, {"GET", "/reports/reed-shelter.pdf"},
		{"GET", "/reports/reed-shelter.html"}, {"GET", "/reports/reed-shelter.csv"}, {"GET", "/reports/nobody.json"}, {"GET", "/nothing"},
		{"POST", "/api/do"}, {"POST", "/api/keys"}, {"POST", "/"}, {"DELETE", "/api/view"}, {"TRACE", "/"}, {"OPTIONS", "/api/do"},
		{"HEAD", "/"}, {"HEAD", "/api/events"}}
}

func busy() *shelf { return &shelf{view: states()[3].view} }

// TestHeadersOnEveryAnswer holds the header list of OWASP ASVS 5.0, 3.4.2 to 3.4.8, on every route,
// errors included; no answer may share with other origins.
func TestHeadersOnEveryAnswer(t *testing.T) {
	h := handler(t, busy())
	for _, q := range every() {
		for _, host := range []string{home, "evil.example"} {
			w := ask(h, q[0], q[1], host, nil)
			for name, part := range map[string]string{
				"Content-Security-Policy": "default-src 'none'", "X-Content-Type-Options": "nosniff", "Referrer-Policy": "no-referrer",
				"Cross-Origin-Opener-Policy": "same-origin", "Cross-Origin-Resource-Policy": "same-origin", "Permissions-Policy": "camera=()",
			} {
				if v := w.Header().Get(name); !strings.Contains(v, part) {
					t.Errorf("%s %s as %s (%d): %s is %q, want %q in it", q[0], q[1], host, w.Code, name, v, part)
				}
			}
			csp := w.Header().Get("Content-Security-Policy")
			for _, word := range []string{"unsafe-inline", "unsafe-eval", "http:", "https:", "*"} {
				if strings.Contains(csp, word) {
					t.Errorf("%s %s: the policy allows %s", q[0], q[1], word)
				}
			}
			if !strings.Contains(csp, "frame-ancestors 'none'") || !strings.Contains(csp, "base-uri 'none'") {
				t.Errorf("%s %s: policy %q lets the page be framed or based elsewhere", q[0], q[1], csp)
			}
			if cc := w.Header().Get("Cache-Control"); cc != "no-store" && !(strings.HasPrefix(q[1], "/assets/") || q[1] == "/") {
				t.Errorf("%s %s: Cache-Control %q keeps data", q[0], q[1], cc)
			}
			for name := range w.Header() {
				if strings.HasPrefix(name, "Access-Control-") {
					t.Errorf("%s %s: %s shares with other origins", q[0], q[1], name)
				}
			}
		}
	}
}

// TestHostMustBeOurs: the forms below are those that a rebound or mistyped name can take; each must be
// answered 421 and reach no route.
func TestHostMustBeOurs(t *testing.T) {
	h := handler(t, busy())
	for _, host := range []string{home, "localhost:8420", "[::1]:8420"} {
		if w := ask(h, "GET", "/", host, nil); w.Code != http.StatusOK {
			t.Errorf("%s: %d, want 200", host, w.Code)
		}
	}
	for _, host := range []string{"", "evil.example", "evil.example:8420", "127.0.0.1", "127.0.0.1:80", "127.0.0.1:8421", "localhost",
		"localhost:80",
		"localhost.:8420", "localhost.evil.example:8420", "LOCALHOST:8420", "127.0.0.1.:8420", "127.1:8420", "2130706433:8420", "0x7f000001:8420",
		"127.0.0.2:8420", "0.0.0.0:8420", "[::]:8420", "[::1%25lo]:8420", "[::ffff:127.0.0.1]:8420", "::1:8420", "user@127.0.0.1:8420",
		"127.0.0.1:8420@evil.example", "127.0.0.1:08420", " 127.0.0.1:8420", "127.0.0.1:8420 ", "localhost:8420,evil.example",
		"localhost:8420/", "bench.local:8420", "192.168.1.5:8420"} {
		for _, q := range every() {
			if w := ask(h, q[0], q[1], host, nil); w.Code != http.StatusMisdirectedRequest {
				t.Errorf("%q %s %s: %d, want 421", host, q[0], q[1], w.Code)
			}
		}
	}
}

// TestOtherSitesAreRefused sends what a hostile page can make a browser send.
func TestOtherSitesAreRefused(t *testing.T) {
	b := busy()
	h := handler(t, b)
	json := []string{"Content-Type", "application/json"}
	for name, header := range map[string][]string{
		"cross-site fetch": {"Sec-Fetch-Site", "cross-site"}, "same-site fetch": {"Sec-Fetch-Site", "same-site"},
		"foreign origin": {"Origin", "http://evil.example"}, "null origin": {"Origin", "null"}, "other port": {"Origin", "http://127.0.0.1:9999"},
	} {
		w := ask(h, "POST", "/api/do", home, strings.NewReader(`{"op":"undo"}`), append(header, json...)...)
		if w.Code != http.StatusForbidden {
			t.Errorf("%s: %d, want 403", name, w.Code)
		}
	}
	for _, target := range []string{"/api/view", "/api/events", "/api/read?text=1", "/reports/reed-shelter.pdf"} {
		if w := ask(h, "GET", target, home, nil, "Sec-Fetch-Site", "cross-site"); w.Code != http.StatusForbidden {
			t.Errorf("cross-site GET %s: %d, want 403", target, w.Code)
		}
	}
	for _, kind := range []string{"", "text/plain", "application/x-www-form-urlencoded", "multipart/form-data; boundary=x",
		"application/jsonp", "application/json, text/plain"} {
		if w := ask(h, "POST", "/api/do", home, strings.NewReader(`{"op":"undo"}`), "Content-Type",
			kind); w.Code != http.StatusUnsupportedMediaType {
			t.Errorf("content type %q: %d, want 415", kind, w.Code)
		}
	}
	if n := len(b.did()); n != 0 {
		t.Fatalf("%d forged commands reached the bench", n)
	}
	w := ask(h, "POST", "/api/do", home, strings.NewReader(`{"op":"undo"}`), "Origin", "http://"+home, "Sec-Fetch-Site", "same-origin",
		"Content-Type", "application/json; charset=utf-8")
	if w.Code != http.StatusOK || len(b.did()) != 1 {
		t.Errorf("the page's own command: %d, %d commands", w.Code, len(b.did()))
	}
}

// TestGetChangesNothing walks every address with GET and HEAD against a real bench: its record stays
// where it was.
func TestGetChangesNothing(t *testing.T) {
	b := realBench(t, t.TempDir())
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	h := handler(t, b)
	before := b.View()
	for _, q := range every() {
		for _, method := range []string{"GET", "HEAD"} {
			if q[1] == "/api/events" && method == "GET" {
				continue // never ends; see TestEvents
			}
			ask(h, method, q[1], home, nil)
			ask(h, method, q[1]+"?op=undo&text=1&key=k", home, strings.NewReader(`{"op":"undo"}`), "Content-Type", "application/json",
				"X-HTTP-Method-Override", "POST")
		}
	}
	if after := b.View(); after.Seq != before.Seq || !reflect.DeepEqual(after.Ribs, before.Ribs) {
		t.Errorf("GET moved the record from %d to %d", before.Seq, after.Seq)
	}
}

func TestWrongMethodIs405(t *testing.T) {
	h := handler(t, busy())
	for _, q := range [][2]string{{"POST", "/"}, {"PUT", "/api/do"}, {"GET", "/api/do"}, {"DELETE", "/api/view"}, {"TRACE", "/healthz"},
		{"PATCH", "/api/keys"}, {"POST", "/reports/reed-shelter.pdf"}} {
		w := ask(h, q[0], q[1], home, nil)
		if w.Code != http.StatusMethodNotAllowed || w.Header().Get("Allow") == "" ||
			!strings.HasPrefix(w.Header().Get("Content-Type"), "application/problem+json") {
			t.Errorf("%s %s: %d, Allow %q, %q", q[0], q[1], w.Code, w.Header().Get("Allow"), w.Header().Get("Content-Type"))
		}
	}
}

// TestFaultInsideIsNoOutage: a panic is answered 500 without a word of the inside.
func TestFaultInsideIsNoOutage(t *testing.T) {
	var told any
	h, err := New(Config{Bench: broken{busy()}, Addr: home, Now: time.Now, Warn: func(_ string, cause any) { told = cause }})
	if err != nil {
		t.Fatal(err)
	}
	w := ask(h, "GET", "/api/view", home, nil)
	if w.Code != http.StatusInternalServerError || strings.Contains(w.Body.String(), "secret") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if told != "secret inside" {
		t.Errorf("the operator was told %v", told)
	}
}

type broken struct{ *shelf }

func (broken) View() show.View { panic("secret inside") }

func TestConfigIsChecked(t *testing.T) {
	for name, cfg := range map[string]Config{
		"no bench": {Addr: home, Now: time.Now}, "no clock": {Bench: busy(), Addr: home}, "no address": {Bench: busy(), Now: time.Now},
		"all interfaces": {Bench: busy(), Addr: "0.0.0.0:8420", Now: time.Now}, "lan": {Bench: busy(), Addr: "192.168.1.5:8420", Now: time.Now},
		"half a keyboard": {Bench: busy(), Addr: home, Now: time.Now, Keyboards: func() []string { return nil }},
	} {
		if _, err := New(cfg); err == nil {
			t.Errorf("%s: taken", name)
		}
	}
}
