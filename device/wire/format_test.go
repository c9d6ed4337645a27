package wire

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"reflect"
	"testing"
)

// The defaults are those of testdata/checks/gauge_streams_rules.json, which comes from outside this
// package.
func TestDefaults(t *testing.T) {
	b, err := os.ReadFile("../../testdata/checks/gauge_streams_rules.json")
	if err != nil {
		t.Fatal(err)
	}
	var rules struct {
		Defaults struct {
			OpenGap int `json:"open_gap_ms"`
			Idle    int `json:"idle_flush_ms"`
			MaxLen  int `json:"max_len"`
			Dup     int `json:"dup_window_ms"`
		}
	}
	if err := json.Unmarshal(b, &rules); err != nil || rules.Defaults.MaxLen == 0 {
		t.Fatalf("no defaults in the rules: %v", err)
	}
	for _, family := range familyNames() {
		f := DefaultFormat(family)
		got := [4]int{f.OpenGapMS, f.IdleFlushMS, f.MaxLen, f.DupWindowMS}
		if want := [4]int{rules.Defaults.OpenGap, rules.Defaults.Idle, rules.Defaults.MaxLen, rules.Defaults.Dup}; got != want {
			t.Errorf("%s: %v, want %v", family, got, want)
		}
	}
}

func TestFormatErrorsNameTheSetting(t *testing.T) {
	const bcd = `"family": "bcd", "layout": `
	const fixed = `"family": "fixed", "layout": `
	for _, c := range []struct{ format, field string }{
		{`7`, "format"},
		{``, "format"},
		{`{"family": "line"} {}`, "format"},
		{`{"family": "line"`, "format"},
		{`{}`, "family"},
		{`{"family": "lines"}`, "family"},
		{`{"family": null}`, "family"},
		{`{"family": "line", "family": "line"}`, "family"},
		{`{"family": "line", "colour": "red"}`, "colour"},
		{`{"family": "line", "max_len": null}`, "max_len"},
		{`{"family": "line", "max_len": "64"}`, "max_len"},
		{`{"family": "line", "max_len": 3}`, "max_len"},
		{`{"family": "line", "max_len": 64.5}`, "max_len"},
		{`{"family": "line", "max_length": 3}`, "max_length"},
		{`{"family": "line", "max_len": 64, "max_length": 64}`, "max_length"},
		{`{"family": "line", "open_gap_ms": -1}`, "open_gap_ms"},
		{`{"family": "line", "open_settle_ms": 3001}`, "open_settle_ms"},
		{`{"family": "line", "idle_flush_ms": 49}`, "idle_flush_ms"},
		{`{"family": "line", "dup_window_ms": 1e9}`, "dup_window_ms"},
		{`{"family": "line", "unit": 3}`, "unit"},
		{`{"family": "line", "unit": "fixed:furlong"}`, "unit"},
		{`{"family": "line", "unit": "fixed"}`, "unit"},
		{`{"family": "line", "unit_map": {"1": "mm"}}`, "unit_map"},
		{`{"family": "line", "unit_map": {"M": "metres"}}`, "unit_map"},
		{`{"family": "line", "unit_map": ["M"]}`, "unit_map"},
		{`{"family": "line", "unit": "fixed:mm", "bound_unit": "mm"}`, "bound_unit"},
		{`{"family": "stream", "colour": 1}`, "colour"},
		{`{"family": "line", "decimal": "semicolon"}`, "decimal"},
		{`{"family": "line", "decimals": 16}`, "decimals"},
		{`{"family": "line", "number": "nr4"}`, "number"},
		{`{"family": "line", "sign": "maybe"}`, "sign"},
		{`{"family": "line", "terminator": "dot"}`, "terminator"},
		{`{"family": "line", "checksum": "crc"}`, "checksum"},
		{`{"family": "line", "channel": "chars:0"}`, "channel"},
		{`{"family": "line", "channel": "until:"}`, "channel"},
		{`{"family": "line", "prefix": "\u0001"}`, "prefix"},
		{`{"family": "line", "status": "suffix"}`, "status_map"},
		{`{"family": "line", "status": "both"}`, "status"},
		{`{"family": "line", "status": "suffix", "status_map": {"-": "hold"}}`, "status_map"},
		{`{"family": "line", "status": "suffix", "status_map": {"H": "On Hold"}}`, "status_map"},
		{`{"family": "query"}`, "query_hex"},
		{`{"family": "query", "query_hex": "5"}`, "query_hex"},
		{`{"family": "query", "query_hex": "52", "timeout_ms": 10}`, "timeout_ms"},
		{`{"family": "query", "query_hex": "52", "poll_ms": 0}`, "poll_ms"},
		{`{"family": "stream", "stable_n": 0}`, "stable_n"},
		{`{"family": "stream", "stable_band": "wide"}`, "stable_band"},
		{`{"family": "stream", "settle_tol": -1}`, "settle_tol"},
		{`{"family": "stream", "stable_n": 3, "samples": 3}`, "samples"},
		{`{"family": "stream", "rearm": "1e3"}`, "rearm"},
		{`{"family": "keyboard", "burst_gap_ms": 0}`, "burst_gap_ms"},
		{`{"family": "keyboard", "burst_gap_ms": 400}`, "burst_gap_ms"},
		{`{"family": "keyboard", "terminator": "crlf"}`, "terminator"},
		{`{"family": "fixed"}`, "layout"},
		{`{` + fixed + `"8-char number", "length": 8}`, "layout"},
		{`{` + fixed + `"'#' sign 8-char number CR CR"}`, "layout"},
		{`{` + fixed + `"'#' sign 8-char numbers CR"}`, "layout"},
		{`{` + fixed + `"'# sign 8-char number CR"}`, "layout"},
		{`{` + fixed + `"'#' sign sign 8-char number CR"}`, "layout"},
		{`{` + fixed + `"'#' sign CR"}`, "layout"},
		{`{` + fixed + `"'#' 6-char number with 6 decimals CR"}`, "layout"},
		{`{` + fixed + `"'#' sign 8-char number CR", "length": 12}`, "length"},
		{`{` + fixed + `"'#' sign 8-char number 1-char status CR"}`, "status_map"},
		{`{"family": "bcd"}`, "layout"},
		{`{` + bcd + `"S D1 K; S bit7 minus, bits3-0 decimals; D two digits; K=S"}`, "layout"},
		{`{` + bcd + `"A5 S D1 5A; S bit7 minus; D two digits"}`, "layout"},
		{`{` + bcd + `"A5 S D1 5A; S bit8 minus, bits3-0 decimals; D two digits"}`, "layout"},
		{`{` + bcd + `"A5 S D1 5A; S bit3 minus, bits3-0 decimals; D two digits"}`, "layout"},
		{`{` + bcd + `"A5 S D1 5A; S bit7 plus, bits3-0 decimals; D two digits"}`, "layout"},
		{`{` + bcd + `"A5 D2 D1 5A; D four digits, 2 decimals"}`, "layout"},
		{`{` + bcd + `"A5 D1 D2 5A; D three digits, 2 decimals"}`, "layout"},
		{`{` + bcd + `"A5 D1 D2 5A; D four digits, 5 decimals"}`, "layout"},
		{`{` + bcd + `"A5 D1 K 5A; D two digits, 1 decimal; K=(D1+X) mod 256"}`, "layout"},
		{`{` + bcd + `"A5 D1 5A; D two digits, 1 decimal; K=(D1) mod 256"}`, "layout"},
		{`{` + bcd + `"A5 D1 X 5A; D two digits, 1 decimal"}`, "layout"},
		{`{` + bcd + `"A5 D1 5A; D two digits, 1 decimal", "length": 4}`, "length"},
	} {
		_, err := ParseFormat([]byte(c.format))
		var fe *FieldError
		if !errors.As(err, &fe) || fe.Field != c.field || fe.Problem == "" {
			t.Errorf("%s: %v, want the setting %q named", c.format, err, c.field)
		}
	}
}

func TestFormatRoundTrip(t *testing.T) {
	var all []Format
	for _, v := range vectors(t) {
		all = append(all, v.format(t))
	}
	for _, f := range append(all, NamedFormats()...) {
		b, err := json.Marshal(f)
		if err != nil {
			t.Fatal(err)
		}
		var again Format
		if err := json.Unmarshal(b, &again); err != nil {
			t.Fatalf("%s: %v", b, err)
		}
		if !reflect.DeepEqual(again, f) {
			t.Errorf("%s\n was %+v\n now %+v", b, f, again)
		}
	}
}

// Other words for the same setting give the same format.
func TestOtherWords(t *testing.T) {
	for _, c := range [][2]string{
		{`{"family": "line", "decimal": "dot", "terminator": "\r\n", "sign": "trailing", "unit": "mm"}`,
			`{"family": "line", "decimal": "point", "terminator": "crlf", "sign": "behind", "unit": "fixed:mm"}`},
		{`{"family": "line", "terminators": ["\\r", "\\n", "\\r\\n"]}`, `{"family": "line", "terminator": "any"}`},
		{`{"family": "stream", "settle_n": 5, "tolerance": 0.02, "settle_ms": 300, "rearm_mm": "0.5"}`,
			`{"family": "stream", "stable_n": 5, "stable_band": "0.02", "stable_ms": 300, "rearm": "0.5"}`},
		{`{"family": "stream", "stability_band_mm": "0.02", "window": 4, "min_move": "0.5"}`,
			`{"family": "stream", "stable_n": 4, "stable_band": "0.02", "rearm": "0.5"}`},
		{`{"family": "stream", "stable_for_ms": 400}`, `{"family": "stream", "stable_n": 2, "stable_ms": 400}`},
		{`{"family": "line", "unit": "required", "bound_unit": "mm"}`, `{"family": "line", "unit": "required:mm"}`},
		{`{"family": "line", "settle_ms": 300}`, `{"family": "line", "open_settle_ms": 300}`},
	} {
		a, b := parseFormat(t, c[0]), parseFormat(t, c[1])
		if !reflect.DeepEqual(a, b) {
			t.Errorf("%s\n%+v\n%s\n%+v", c[0], a, c[1], b)
		}
	}
}

func TestNamedFormats(t *testing.T) {
	seen := map[string]bool{}
	for _, f := range NamedFormats() {
		if err := f.Validate(); err != nil || f.Name == "" || f.Note == "" || seen[f.Name] {
			t.Errorf("%q: %v", f.Name, err)
		}
		seen[f.Name] = true
		if got, ok := NamedFormat(f.Name); !ok || !reflect.DeepEqual(got, f) {
			t.Errorf("%q is not found by its name", f.Name)
		}
	}
	if _, ok := NamedFormat("no-such"); ok || len(seen) == 0 {
		t.Errorf("%d names; an unknown one was found: %v", len(seen), ok)
	}
}

func TestValidateWithoutDefaults(t *testing.T) {
	var fe *FieldError
	if _, err := NewDecoder(Format{Family: Line}); !errors.As(err, &fe) || fe.Field == "" {
		t.Errorf("a format without settings: %v", err)
	}
	if b, err := json.Marshal(DefaultFormat(Line)); err != nil || bytes.Contains(b, []byte("burst")) {
		t.Errorf("a line format is written with settings it does not use: %s %v", b, err)
	}
}
