package web

import (
	"encoding/json"
	"errors"
	"fmt"
	"net/http"
	"strings"
	"testing"

	"springline/qc/words"
	"springline/session"
	"springline/session/command"
	"springline/session/store"
)

func post(h http.Handler, body string, header ...string) (int, session.Problem) {
	w := ask(h, "POST", "/api/do", home, strings.NewReader(body), append([]string{"Content-Type", "application/json"}, header...)...)
	p := session.Problem{Saved: true}
	json.Unmarshal(w.Body.Bytes(), &p)
	return w.Code, p
}

func TestCommandArrivesWhole(t *testing.T) {
	b := busy()
	h := handler(t, b)
	const take = `{"op":"take","rib":"07","char":"A2","seq":12,"suggested":true,"reason":"6' 11\" because","by":"Åse Ó","key":"k-1"`
	code, _ := post(h, take+"}", "If-Match", `"101"`)
	want := command.Order{Sent: command.Sent{Key: "k-1", Version: 101, By: "Åse Ó"},
		Deed: command.Take{Rib: "07", Char: "A2", Seq: 12, Suggested: true, Reason: `6' 11" because`}}
	if got := b.did(); code != 200 || len(got) != 1 || got[0] != want {
		t.Errorf("%d %+v\nwant %+v", code, got, want)
	}
	if code, _ := post(h, take+`,"version":101}`, "If-Match", `"101"`); code != 200 {
		t.Errorf("the version given twice the same: %d", code)
	}
	if code, p := post(h, take+`,"version":99}`, "If-Match", `"101"`); code != 400 || p.Field != "If-Match" {
		t.Errorf("two versions: %d %+v", code, p)
	}
	// What a job states is no business of a page.
	for _, r := range command.Table {
		if r.From != command.Here {
			continue
		}
		if code, p := post(h, `{"op":"`+string(r.Op)+`"}`); code != 400 || len(b.did()) != 2 {
			t.Errorf("%s: %d %+v", r.Op, code, p)
		}
	}
}

// TestBadJSONIsRefused holds the strict reading of RFC 8259 that ASVS 5.0, 1.5.1 to 1.5.3 ask for.
func TestBadJSONIsRefused(t *testing.T) {
	b := busy()
	h := handler(t, b)
	for _, body := range []string{"", "null", "[]", "7", `"undo"`, "{", `{"op"`, `{"op":`, `{"op":"undo"`, `{"op":"undo",}`, `{op:"undo"}`,
		`{'op':'undo'}`,
		`{"op":"undo"} ` + `{}`, `{"op":"undo"}x`, `{"op":"undo","op":"void"}`, `{"OP":"undo"}`, `{"op":"undo","verdict":"PASS"}`,
		`{"op":["undo"]}`,
		`{"op":{"a":1}}`, `{"op":null}`, `{"op":7}`, `{"op":""}`, `{"rib":"01"}`, `{"op":"void","seq":"7"}`, `{"op":"void","seq":1.5}`,
		`{"op":"void","seq":-1}`,
		`{"op":"void","seq":1e3}`, `{"op":"void","seq":9223372036854775808}`, `{"op":"void","seq":NaN}`, `{"op":"take","suggested":"yes"}`,
		`{"op":"take","suggested":1}`,
		"{\"op\":\"undo\",\"by\":\"\xff\"}", `{"op":"undo","by":"\ud800"}`, "{\"op\":\"un\ndo\"}", "\ufeff" + `{"op":"undo"}`,
		`{"op":"undo","by":` + strings.Repeat("[", 20000) + strings.Repeat("]", 20000) + `}`,
		`{"op":"note","text":"` + strings.Repeat("x", 9000) + `"}`} {
		code, p := post(h, body)
		if code != http.StatusBadRequest || p.Saved || p.Code == "" || p.Detail == "" || p.Do == "" {
			t.Errorf("%.60q: %d %+v", body, code, p)
		}
	}
	if code, p := post(h, `{"op":"note","text":"`+strings.Repeat("x", maxBody)+`"}`); code != http.StatusRequestEntityTooLarge || p.Saved {
		t.Errorf("a body over 64 KiB: %d %+v", code, p)
	}
	for _, m := range []string{"x", `"-1"`, `"1","2"`, "*"} {
		if code, p := post(h, `{"op":"undo"}`, "If-Match", m); code != http.StatusBadRequest || p.Field != "If-Match" {
			t.Errorf("If-Match %s: %d %+v", m, code, p)
		}
	}
	if n := len(b.did()); n != 0 {
		t.Errorf("%d of them reached the bench", n)
	}
}

func TestEachErrorHasItsStatus(t *testing.T) {
	for _, c := range []struct {
		err    error
		status int
		code   string
	}{
		{words.Problem(words.CodeMissing, "reason", "say why", "needs a reason"), 422, "missing"},
		{words.Problem("ambiguous_separator", "text", "", "1,234"), 422, "ambiguous_separator"},
		{&words.Refusal{Code: words.CodeConflict, Field: "version", What: words.Prose{Text: "moved on"}, Yours: 3, Now: 9}, 409, "conflict"},
		{&words.Refusal{Code: words.CodeComplete, What: words.Prose{Text: "measured already"}}, 409, "complete"},
		{fmt.Errorf("wrapped: %w", &words.Refusal{Code: words.CodeKeyUsed, Field: "key"}), 409, "key-used"},
		{&store.NotSavedError{Cause: errors.New("disk full")}, 503, "not_saved"},
		{session.ErrReadOnly, 403, "read_only"},
		{errors.New("surprise"), 500, "fault"},
	} {
		b := busy()
		b.answer = c.err
		code, p := post(handler(t, b), `{"op":"undo"}`)
		if code != c.status || p.Code != c.code || p.Saved || p.Status != code || p.Type != "about:blank" {
			t.Errorf("%v: %d %+v, want %d %s", c.err, code, p, c.status, c.code)
		}
		var ce *words.Refusal
		if errors.As(c.err, &ce) && p.Field != ce.Field {
			t.Errorf("%v: field %q", c.err, p.Field)
		}
		if c.code == "conflict" && (p.Both == nil || p.Both.Yours != 3 || p.Both.Now != 9) {
			t.Errorf("conflict without both sides: %+v", p)
		}
	}
}

// TestSameKeyCountsOnce sends one command twice to a real bench.
func TestSameKeyCountsOnce(t *testing.T) {
	b := realBench(t, t.TempDir())
	h := handler(t, b)
	post(h, `{"op":"start","key":"s"}`)
	body := fmt.Sprintf(`{"op":"type","text":%q,"key":"one"}`, nominal(t, b))
	first := ask(h, "POST", "/api/do", home, strings.NewReader(body), "Content-Type", "application/json").Body.String()
	seq := b.View().Seq
	second := ask(h, "POST", "/api/do", home, strings.NewReader(body), "Content-Type", "application/json").Body.String()
	if first != second || b.View().Seq != seq || !strings.Contains(first, `"saved":true`) {
		t.Errorf("first %s second %s, record %d then %d", first, second, seq, b.View().Seq)
	}
	if code, p := post(h, `{"op":"undo","version":1}`); code != 409 || p.Code != "conflict" || p.Both == nil {
		t.Errorf("an undo decided on an old view: %d %+v", code, p)
	}
}

func TestReadBack(t *testing.T) {
	b := realBench(t, t.TempDir())
	sendCommand(t, b, command.Order{Deed: command.Start{}})
	h := handler(t, b)
	read := func(query string) (r typedText) {
		w := ask(h, "GET", "/api/read?"+query, home, nil)
		if err := json.Unmarshal(w.Body.Bytes(), &r); err != nil || w.Code != 200 {
			t.Fatalf("%s: %d %s", query, w.Code, w.Body)
		}
		return r
	}
	// 83.75 in x 25.4 mm exactly (international inch, 1959)
	if r := read("text=6%27+11+3/4%22"); r.MM != "2127.25" || r.Read != `6' 11 3/4" = 2127.25 mm` || r.Code != "" {
		t.Errorf("%+v", r)
	}
	if r := read("text=-3"); r.Read != "" || r.Code != "negative_not_allowed" {
		t.Errorf("a minus in an unsigned field: %+v", r)
	}
	if r := read("text=1,234"); r.Code != "ambiguous_separator" || len(r.Choose) != 2 || r.Choose[0].Text != "1234 mm" ||
		r.Choose[1].Text != "1.234 mm" {
		t.Errorf("%+v", r)
	}
	if r := read("text=3298&for=pull"); r.MM != "3298" {
		t.Errorf("%+v", r)
	}
	if w := ask(h, "GET", "/api/read?text="+strings.Repeat("9", 300), home, nil); w.Code != 422 {
		t.Errorf("a text of 300 digits: %d", w.Code)
	}
	if w := ask(handler(t, &shelf{view: states()[1].view}), "GET", "/api/read?text=1", home, nil); w.Code != 409 {
		t.Errorf("read back with nothing to measure: %d", w.Code)
	}
}
