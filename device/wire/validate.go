package wire

import (
	"encoding/hex"
	"maps"
	"slices"
	"strconv"
	"strings"
)

// wordTable lists, for a setting that takes one word, what it may say and which other spellings mean the same.
type wordTable struct {
	field  string
	words  []string
	others map[string]string
	at     func(*Format) *string
}

func wordTables() []wordTable {
	return []wordTable{
		{"terminator", []string{"any", "cr", "lf", "crlf", "tab"}, map[string]string{
			`\r`: "cr", "\r": "cr", `\n`: "lf", "\n": "lf", `\r\n`: "crlf", "\r\n": "crlf", `\t`: "tab", "\t": "tab", "cr lf": "any",
			`\r \n`: "any", `\r \n \r\n`: "any", "\r \n \r\n": "any", "\r \n": "any", "cr lf crlf": "any", "either": "any",
		}, func(f *Format) *string { return &f.Terminator }},
		{"sign", []string{"front", "required", "behind", "none"}, map[string]string{
			"optional": "front", "leading": "front", "before": "front", "any": "front",
			"trailing": "behind", "after": "behind", "unsigned": "none",
		}, func(f *Format) *string { return &f.Sign }},
		{"decimal", []string{"either", "point", "comma"}, map[string]string{
			"dot": "point", ".": "point", ",": "comma", "auto": "either", "any": "either",
		}, func(f *Format) *string { return &f.Decimal }},
		{"number", []string{"plain", "nr1", "nr2", "nr3", "nrf"}, map[string]string{
			"decimal": "plain", "any": "nrf", "exponent": "nr3", "integer": "nr1",
		}, func(f *Format) *string { return &f.Number }},
		{"status", []string{"none", "suffix", "prefix"}, map[string]string{
			"behind": "suffix", "front": "prefix", "trailing": "suffix", "leading": "prefix",
		}, func(f *Format) *string { return &f.Status }},
		{"checksum", []string{"none", "xor", "sum"}, nil, func(f *Format) *string { return &f.Checksum }},
	}
}

// tidy replaces the other spellings of words by the ones that the documentation uses.
func (f *Format) tidy() {
	if u := unitByName(f.Unit); u != "" {
		f.Unit = "fixed:" + u // a bare unit: the gauge measures in it
	}
	if u := unitByName(f.BoundUnit); u != "" && (f.Unit == "required" || f.Unit == "optional") {
		f.Unit, f.BoundUnit = f.Unit+":"+u, ""
	}
	for _, t := range wordTables() {
		w := t.at(f)
		if o, ok := t.others[strings.ToLower(*w)]; ok {
			*w = o
		} else if l := strings.ToLower(*w); slices.Contains(t.words, l) {
			*w = l
		}
	}
}

// Validate checks every setting and returns a *[FieldError] that names the first one that cannot be.
func (f Format) Validate() error {
	if !slices.Contains(familyNames(), f.Family) {
		return fieldErr("family", "%q is not a frame family; give one of %s", f.Family, strings.Join(familyNames(), ", "))
	}
	if err := f.validateNumbers(); err != nil {
		return err
	}
	for _, t := range wordTables() {
		if w := *t.at(&f); !slices.Contains(t.words, w) {
			return fieldErr(t.field, "%q is not known here; give one of %s", w, strings.Join(t.words, ", "))
		}
	}
	if err := f.validateText(); err != nil {
		return err
	}
	return f.validateFamily()
}

func (f Format) validateNumbers() error {
	for _, r := range []struct {
		field      string
		v, low, hi int
	}{
		{"open_gap_ms", f.OpenGapMS, 0, 60_000},
		{"open_settle_ms", f.OpenSettleMS, 0, 3_000},
		{"idle_flush_ms", f.IdleFlushMS, 50, 60_000},
		{"max_len", f.MaxLen, 4, 4_096},
		{"dup_window_ms", f.DupWindowMS, 0, 60_000},
		{"length", f.Length, 0, 4_096},
		{"decimals", f.Decimals, -1, 15},
		{"timeout_ms", f.TimeoutMS, 50, 60_000},
		{"poll_ms", f.PollMS, 50, 3_600_000},
		{"stable_n", f.StableN, 1, 1_000},
		{"stable_ms", f.StableMS, 0, 60_000},
		{"burst_gap_ms", f.BurstGapMS, 1, 5_000},
		{"min_keys", f.MinKeys, 1, 64},
		{"repeat_min_ms", f.RepeatMinMS, 0, 5_000},
		{"repeat_max_ms", f.RepeatMaxMS, 0, 5_000},
	} {
		if r.v < r.low || r.v > r.hi {
			return fieldErr(r.field, "%d is outside %d to %d", r.v, r.low, r.hi)
		}
	}
	if f.Family == Keyboard && f.IdleFlushMS < f.BurstGapMS {
		return fieldErr("burst_gap_ms", "%d is longer than idle_flush_ms %d", f.BurstGapMS, f.IdleFlushMS)
	}
	return nil
}

func (f Format) validateText() error {
	if !printable(f.Prefix) {
		return fieldErr("prefix", "%q holds characters outside printable ASCII", f.Prefix)
	}
	if _, err := parseChannel(f.Channel); err != nil {
		return err
	}
	if _, err := parseUnitRule(f.Unit); err != nil {
		return err
	}
	if f.BoundUnit != "" {
		return fieldErr("bound_unit", "%q does not go with unit %q; give one of mm, cm, m, in, ft with unit required", f.BoundUnit, f.Unit)
	}
	for _, w := range slices.Sorted(maps.Keys(f.UnitMap)) {
		if w == "" || !printable(w) || strings.ContainsAny(w, "0123456789 +-.,") {
			return fieldErr("unit_map", "%q cannot be a unit word: digits, signs, spaces and decimal marks belong to the number", w)
		}
		if unitByName(f.UnitMap[w]) == "" {
			return fieldErr("unit_map", "%q stands for %q, which is not one of mm, cm, m, in, ft", w, f.UnitMap[w])
		}
	}
	if f.Status != "none" && len(f.StatusMap) == 0 {
		return fieldErr("status_map", "is empty although status is %s; say what each letter means", f.Status)
	}
	for _, w := range slices.Sorted(maps.Keys(f.StatusMap)) {
		if w == "" || !printable(w) || strings.ContainsAny(w, "0123456789 +-.,") {
			return fieldErr("status_map", "%q cannot be a status word: digits, signs, spaces and decimal marks belong to the number", w)
		}
		if m := f.StatusMap[w]; m == "" || strings.Trim(m, "abcdefghijklmnopqrstuvwxyz_") != "" {
			return fieldErr("status_map", "%q means %q; give a word in lower case with _ for spaces", w, m)
		}
	}
	return nil
}

func (f Format) validateFamily() error {
	switch f.Family {
	case Fixed:
		_, err := compileLayout(f)
		return err
	case BCD:
		_, err := compileBCD(f)
		return err
	case Query:
		b, err := hex.DecodeString(f.QueryHex)
		if err != nil || len(b) == 0 || len(b) > 64 {
			return fieldErr("query_hex", "%q is not 1 to 64 bytes in hexadecimal", f.QueryHex)
		}
	case Stream:
		for _, d := range []struct{ field, v string }{{"stable_band", f.StableBand}, {"rearm", f.Rearm}} {
			if d.v == "" {
				continue
			}
			if v, ok := scaled(d.v); !ok || v.Sign() < 0 {
				return fieldErr(d.field, "%q is not a decimal number of zero or more", d.v)
			}
		}
	case Keyboard:
		if f.Terminator == "crlf" {
			return fieldErr("terminator", "crlf is two keys; a keyboard gauge ends with one, give any, cr, lf or tab")
		}
	}
	return nil
}

func printable(s string) bool {
	for i := range len(s) {
		if s[i] < 0x20 || s[i] > 0x7e {
			return false
		}
	}
	return true
}

// channelRule says how a text frame names its channel.
type channelRule struct {
	chars int    // that many characters, or
	until string // up to this text
}

func parseChannel(s string) (channelRule, error) {
	how, what, _ := strings.Cut(s, ":")
	switch how {
	case "none", "":
		if what == "" {
			return channelRule{}, nil
		}
	case "chars":
		if n, err := strconv.Atoi(what); err == nil && n >= 1 && n <= 16 {
			return channelRule{chars: n}, nil
		}
	case "until":
		if what != "" && printable(what) {
			return channelRule{until: what}, nil
		}
	}
	return channelRule{}, fieldErr("channel", "%q is not known here; give none, chars:N with N from 1 to 16, or until:X with the "+
		"text that ends it", s)
}
