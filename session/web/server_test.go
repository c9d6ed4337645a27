package web

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"os"
	"strings"
	"testing"
	"time"

	"springline/device"
)

func TestListenTakesLoopbackOnly(t *testing.T) {
	for _, addr := range []string{"127.0.0.1:0", "localhost:0"} {
		l, err := Listen(addr)
		if err != nil {
			t.Fatalf("%s: %v", addr, err)
		}
		if host, _, _ := net.SplitHostPort(l.Addr().String()); !net.ParseIP(host).IsLoopback() {
			t.Errorf("%s listens at %s", addr, l.Addr())
		}
		if _, err := Listen(l.Addr().String()); err == nil || !strings.Contains(err.Error(), "choose another port") {
			t.Errorf("a busy port: %v", err)
		}
		l.Close()
	}
	for _, addr := range []string{":0", "0.0.0.0:0", "[::]:0", "192.0.2.1:0", "example.org:0", "8.8.8.8:80", "localhost.:0", "127.0.0.1", ""} {
		if l, err := Listen(addr); err == nil {
			l.Close()
			t.Errorf("%q: listens", addr)
		}
	}
}

// TestHalfHeaderIsCut: a client that never finishes its header is not waited for beyond five seconds
// and some.
func TestHalfHeaderIsCut(t *testing.T) {
	url := serve(t, Config{Bench: busy()})
	c, err := net.Dial("tcp", strings.TrimPrefix(url, "http://"))
	if err != nil {
		t.Fatal(err)
	}
	defer c.Close()
	fmt.Fprintf(c, "GET / HTTP/1.1\r\nHost: %s\r\nX-Slow: ", strings.TrimPrefix(url, "http://"))
	c.SetReadDeadline(time.Now().Add(30 * time.Second))
	if _, err := io.Copy(io.Discard, c); errors.Is(err, context.DeadlineExceeded) || err != nil && strings.Contains(err.Error(), "timeout") {
		t.Error("still open after 30 s")
	}
}

// TestConnectionsAreCapped: beyond the cap a connection waits until another ends.
func TestConnectionsAreCapped(t *testing.T) {
	addr := strings.TrimPrefix(serve(t, Config{Bench: busy()}), "http://")
	dial := func() net.Conn {
		c, err := net.Dial("tcp", addr)
		if err != nil {
			t.Fatal(err)
		}
		t.Cleanup(func() { c.Close() })
		return c
	}
	first := dial()
	for range maxConnections - 1 {
		dial()
	}
	last := dial()
	fmt.Fprintf(last, "GET / HTTP/1.1\r\nHost: %s\r\n\r\n", addr)
	last.SetReadDeadline(time.Now().Add(300 * time.Millisecond))
	if _, err := last.Read(make([]byte, 1)); !errors.Is(err, os.ErrDeadlineExceeded) {
		t.Fatalf("answered with %d connections open: %v", maxConnections, err)
	}
	first.Close()
	last.SetReadDeadline(time.Now().Add(4 * time.Second)) // the others are cut off after headerTime
	if _, err := last.Read(make([]byte, 1)); err != nil {
		t.Errorf("not answered after another ended: %v", err)
	}
}

// TestStopCutsStreams: Serve returns soon after its context ends though a page is listening; serve
// fails the test if it does not return nil.
func TestStopCutsStreams(t *testing.T) {
	l, err := Listen("127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	ctx, stop := context.WithCancel(context.Background())
	done := make(chan error, 1)
	go func() { done <- Serve(ctx, l, Config{Bench: busy(), Now: time.Now}) }()
	await(t, listenTo(t, "http://"+l.Addr().String(), ""))
	stop()
	select {
	case err := <-done:
		if err != nil {
			t.Error(err)
		}
	case <-time.After(20 * time.Second):
		t.Fatal("Serve did not return")
	}
}

func TestReadyTellsOfStoring(t *testing.T) {
	ok, bad := handler(t, busy()), busy()
	bad.view.Saved, bad.view.Fault = false, "disk full"
	if w := ask(ok, "GET", "/readyz", home, nil); w.Code != 200 {
		t.Errorf("%d", w.Code)
	}
	if w := ask(handler(t, bad), "GET", "/readyz", home, nil); w.Code != 503 || !strings.Contains(w.Body.String(), "disk full") {
		t.Errorf("%d %s", w.Code, w.Body)
	}
	if w := ask(handler(t, bad), "GET", "/healthz", home, nil); w.Code != 200 {
		t.Errorf("%d", w.Code)
	}
}

func TestReports(t *testing.T) {
	h := handler(t, busy())
	w := ask(h, "GET", "/reports/reed-shelter.pdf", home, nil)
	if w.Code != 200 || w.Header().Get("Content-Type") != "application/pdf" ||
		!strings.Contains(w.Header().Get("Content-Disposition"), `"report-reed-shelter.pdf"`) {
		t.Errorf("%d %v", w.Code, w.Header())
	}
	// printf '%s' 'p{color:#000}' | openssl dgst -sha256 -binary | base64
	w = ask(h, "GET", "/reports/reed-shelter.html", home, nil)
	if csp := w.Header().Get("Content-Security-Policy"); !strings.Contains(csp,
		"style-src 'sha256-bsKuyVWsclkVVeSiyIIq0ZDnzXKG45Ry3EUi2XhvlH4='") || strings.Contains(csp, "script-src") ||
		strings.Contains(csp, "unsafe") {
		t.Errorf("policy of the report: %s", csp)
	}
	if w := ask(h, "GET", "/reports/reed-shelter.csv", home, nil); w.Code != 500 || strings.Contains(w.Body.String(), "csv of") {
		t.Errorf("a report that fails half way: %d %s", w.Code, w.Body)
	}
	for _, path := range []string{"/reports/", "/reports/reed-shelter", "/reports/.pdf", "/reports/reed-shelter.exe",
		"/reports/..%2f..%2fetc%2fpasswd.pdf", "/reports/other.pdf", "/reports/reed-shelter.PDF"} {
		if w := ask(h, "GET", path, home, nil); w.Code != 404 {
			t.Errorf("%s: %d", path, w.Code)
		}
	}
}

func TestKeysReachTheGauge(t *testing.T) {
	var got []device.Key
	h, err := New(Config{Bench: busy(), Addr: home, Now: time.Now, Keyboards: func() []string { return []string{"k1"} },
		Keys: func(_ context.Context, gauge string, keys []device.Key) error { got = keys; return nil }})
	if err != nil {
		t.Fatal(err)
	}
	keys := func(body string) int {
		return ask(h, "POST", "/api/keys", home, strings.NewReader(body), "Content-Type", "application/json").Code
	}
	if code := keys(`{"gauge":"k1","text":"1.8\r","times":"1000 1004.5 1009 1014"}`); code != 204 {
		t.Fatal(code)
	}
	want := []device.Key{{Char: '1', At: time.Second}, {Char: '.', At: 1004500 * time.Microsecond}, {Char: '8', At: 1009 * time.Millisecond},
		{Char: '\r', At: 1014 * time.Millisecond}}
	if fmt.Sprint(got) != fmt.Sprint(want) {
		t.Errorf("%v\nwant %v", got, want)
	}
	for body, code := range map[string]int{
		`{"gauge":"k2","text":"1\r","times":"1 2"}`: 422, `{"gauge":"k1","text":"","times":""}`: 400,
		`{"gauge":"k1","text":"12\r","times":"1 2"}`:   400,
		`{"gauge":"k1","text":"12\r","times":"3 2 1"}`: 400, `{"gauge":"k1","text":"12\r","times":"1 NaN 2"}`: 400,
		`{"gauge":"k1","text":"é\r","times":"1 2 3"}`:       400,
		`{"gauge":"k1","text":"1\r","times":"1 2","x":"y"}`: 400, `{"gauge":"k1","text":7}`: 400, `[]`: 400,
	} {
		if c := keys(body); c != code {
			t.Errorf("%s: %d, want %d", body, c, code)
		}
	}
	if w := ask(handler(t, busy()), "POST", "/api/keys", home, strings.NewReader(`{"gauge":"k1","text":"1\r","times":"1 2"}`),
		"Content-Type", "application/json"); w.Code != 422 {
		t.Errorf("keys without a keyboard gauge: %d", w.Code)
	}
}

// TestPageIsSmall: at most 150 KiB for everything the page loads.
func TestPageIsSmall(t *testing.T) {
	files, err := loadAssets()
	if err != nil {
		t.Fatal(err)
	}
	total := 0
	for name, a := range files {
		total += len(a.body)
		if a.kind == "" {
			t.Errorf("%s has no content type", name)
		}
		text := string(a.body)
		for _, bad := range []string{"innerHTML", "outerHTML", "insertAdjacentHTML", "document.write", "eval(", "new Function", "style=\"",
			"onclick=\"", "https://"} {
			if strings.Contains(text, bad) {
				t.Errorf("%s holds %s", name, bad)
			}
		}
		for line := range strings.Lines(text) {
			if strings.Contains(line, "http://") && !strings.Contains(line, "http://www.w3.org/2000/svg") {
				t.Errorf("%s names an outside address: %s", name, line)
			}
		}
	}
	if total > 150<<10 || len(files) < 10 {
		t.Errorf("%d files of %d bytes together, want at most %d", len(files), total, 150<<10)
	}
	t.Logf("%d files, %d bytes", len(files), total)
}
