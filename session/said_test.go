package session

import (
	"encoding/json"
	"strings"
	"testing"

	"springline/qc/words"
	"springline/session/command"
	"springline/session/log"
	"springline/session/store"
)

// What the bench finds goes on record as a code with its arguments, and no sentence does.
func TestTheRecordHoldsFindings(t *testing.T) {
	dir, c := t.TempDir(), newClock()
	b := openTest(t, dir, c)
	setUp(t, b, 1)
	do(t, b, command.Order{Deed: command.Start{}})
	do(t, b, command.Order{Deed: command.Type{Text: "355.36"}})
	if _, err := b.Arrived(update("stranger", sample("1.0"), c.now())); err != nil {
		t.Fatal(err)
	}
	want := map[log.Kind]string{
		log.Held: `"why":{"code":"value.unit-slip","value_nm":355360000,"wanted_nm":3553600000,"factor":"10"},` +
			`"decide":{"code":"decide.meant-instead","meant_nm":3553600000}`,
		log.Refused: `"what":{"code":"refused.gauge-unknown","gauge":"stranger"}`,
	}
	found := 0
	err := b.store.Each(t.Context(), b.cfg.Bench, 0, 1<<40, func(r store.Record) error {
		part, ok := want[log.Kind(r.Kind)]
		if !ok {
			return nil
		}
		found++
		if text := string(r.Body); !strings.Contains(text, part) || strings.Contains(text, `"reason"`) || strings.Contains(text, `"ask"`) ||
			strings.Contains(text, `"detail"`) {
			t.Errorf("%s is recorded as %s", r.Kind, text)
		}
		return nil
	})
	if err != nil || found != len(want) {
		t.Fatalf("%d records looked at, %v", found, err)
	}
}

// A record of a later release, with codes that this one does not know, opens and shows the codes.
func TestALaterReleasesCodesAreShown(t *testing.T) {
	dir, c := t.TempDir(), newClock()
	b := openTest(t, dir, c)
	setUp(t, b, 1)
	do(t, b, command.Order{Deed: command.Start{}})
	later := func(code words.Code) words.Said { return words.Said{Of: words.Unknown{Named: code, Args: `{"n":3}`}} }
	b.mu.Lock()
	body := log.HeldBody{ReadingBody: log.ReadingBody{Gauge: "tape", Entry: "typed", Text: "1", Unit: "mm", ValueNM: 1e6}, Rib: "01",
		Char: "tip", Round: 1,
		Why: later("value.later"), Decide: later("decide.later")}
	_, err := b.add(log.Held, "", c.now(), body)
	if err == nil {
		_, err = b.add(log.Refused, "", c.now(), log.RefusedBody{Gauge: "tape", Code: "later", What: later("refused.later")})
	}
	b.mu.Unlock()
	if err != nil {
		t.Fatal(err)
	}
	if err := b.Close(); err != nil {
		t.Fatal(err)
	}
	v := openTest(t, dir, c).View()
	if h := v.Held[0]; h.Reason != `value.later ({"n":3})` || h.Ask != `decide.later ({"n":3})` {
		t.Errorf("%+v", h)
	}
	if v.Notices[0] != `long tape: refused, refused.later ({"n":3})` {
		t.Errorf("%q", v.Notices)
	}
	text, err := json.Marshal(body)
	if err != nil || !strings.Contains(string(text), `"why":{"code":"value.later","n":3}`) {
		t.Errorf("written again as %s, %v", text, err)
	}
}
