package wire

import (
	"bytes"
	"encoding/json"
	"fmt"
	"slices"
	"strings"
)

// FieldError says which setting of a format cannot be and why.
type FieldError struct {
	Field   string // as written in the format file
	Problem string
}

func (e *FieldError) Error() string { return "gauge format: " + e.Field + ": " + e.Problem }

func fieldErr(field, format string, args ...any) *FieldError {
	return &FieldError{Field: field, Problem: fmt.Sprintf(format, args...)}
}

// formatField is one row of the table of settings: its name in a file, other words accepted for it,
// the families that use it (nil = all), and where it lives.
type formatField struct {
	name string
	also []string
	fam  []string
	at   func(*Format) any
}

// formatFields is the whole table, in the order in which a format is written.
func formatFields() []formatField {
	text := []string{Line, Query, Stream, Keyboard}
	columns := []string{Line, Query, Stream, Keyboard, Fixed}
	stream, keys := []string{Stream}, []string{Keyboard}
	return []formatField{
		{"family", nil, nil, func(f *Format) any { return &f.Family }},
		{"name", []string{"title"}, nil, func(f *Format) any { return &f.Name }},
		{"note", []string{"comment"}, nil, func(f *Format) any { return &f.Note }},
		{"open_gap_ms", nil, nil, func(f *Format) any { return &f.OpenGapMS }},
		{"open_settle_ms", []string{"settle_ms"}, nil, func(f *Format) any { return &f.OpenSettleMS }},
		{"idle_flush_ms", []string{"idle_ms", "flush_ms"}, nil, func(f *Format) any { return &f.IdleFlushMS }},
		{"max_len", []string{"max_length"}, nil, func(f *Format) any { return &f.MaxLen }},
		{"dup_window_ms", []string{"duplicate_window_ms"}, nil, func(f *Format) any { return &f.DupWindowMS }},
		{"terminator", []string{"terminators", "end"}, text, func(f *Format) any { return &f.Terminator }},
		{"prefix", nil, text, func(f *Format) any { return &f.Prefix }},
		{"channel", nil, text, func(f *Format) any { return &f.Channel }},
		{"sign", nil, columns, func(f *Format) any { return &f.Sign }},
		{"decimal", nil, columns, func(f *Format) any { return &f.Decimal }},
		{"number", []string{"number_form"}, text, func(f *Format) any { return &f.Number }},
		{"decimals", nil, columns, func(f *Format) any { return &f.Decimals }},
		{"unit", []string{"units"}, nil, func(f *Format) any { return &f.Unit }},
		{"bound_unit", []string{"bind_unit", "expect_unit", "expected_unit"}, nil, func(f *Format) any { return &f.BoundUnit }},
		{"unit_map", nil, columns, func(f *Format) any { return &f.UnitMap }},
		{"status", nil, text, func(f *Format) any { return &f.Status }},
		{"status_map", nil, columns, func(f *Format) any { return &f.StatusMap }},
		{"checksum", nil, text, func(f *Format) any { return &f.Checksum }},
		{"layout", nil, []string{Fixed, BCD}, func(f *Format) any { return &f.Layout }},
		{"length", nil, nil, func(f *Format) any { return &f.Length }},
		{"query_hex", []string{"query"}, []string{Query}, func(f *Format) any { return &f.QueryHex }},
		{"timeout_ms", nil, []string{Query}, func(f *Format) any { return &f.TimeoutMS }},
		{"poll_ms", []string{"period_ms", "interval_ms"}, []string{Query}, func(f *Format) any { return &f.PollMS }},
		{"stable_n", nil, stream, func(f *Format) any { return &f.StableN }},
		{"stable_ms", nil, stream, func(f *Format) any { return &f.StableMS }},
		{"stable_band", nil, stream, func(f *Format) any { return (*decimalText)(&f.StableBand) }},
		{"rearm", nil, stream, func(f *Format) any { return (*decimalText)(&f.Rearm) }},
		{"burst_gap_ms", []string{"key_gap_ms"}, keys, func(f *Format) any { return &f.BurstGapMS }},
		{"min_keys", nil, keys, func(f *Format) any { return &f.MinKeys }},
		{"repeat_min_ms", nil, keys, func(f *Format) any { return &f.RepeatMinMS }},
		{"repeat_max_ms", []string{"repeat_ms"}, keys, func(f *Format) any { return &f.RepeatMaxMS }},
	}
}

// streamWord finds the stream setting that a name means, since these go by many plain names: words for
// moving away mean rearm; words for standing still mean stable_ms, stable_n or stable_band by what
// they end in. settle_ms in a stream is what the value does, not the adapter. It returns "" for others.
func streamWord(name string) string {
	words := strings.Split(name, "_")
	has := func(of ...string) bool {
		return slices.ContainsFunc(words, func(w string) bool { return slices.Contains(of, w) })
	}
	if has("rearm", "arm", "move", "moved", "movement", "change", "hysteresis") {
		return "rearm"
	}
	if !has("settle", "settled", "settling", "stable", "stability", "steady", "still", "plateau", "window", "band", "tolerance", "tol",
		"within",
		"samples", "count", "n", "quiet", "delta", "deadband", "jitter") {
		return ""
	}
	switch words[len(words)-1] {
	case "ms":
		return "stable_ms"
	case "n", "count", "samples", "frames", "readings", "values", "window":
		return "stable_n"
	}
	return "stable_band"
}

// spread writes a group of stream settings out one by one: {"stable": {"ms": 300}} means stable_ms.
func spread(names []string, values map[string]json.RawMessage) ([]string, map[string]json.RawMessage) {
	var flat []string
	all := map[string]json.RawMessage{}
	for _, n := range names {
		inner, of, err := formatObject(values[n])
		if streamWord(n) == "" || err != nil {
			flat, all[n] = append(flat, n), values[n]
			continue
		}
		for _, m := range inner {
			flat, all[n+"_"+m] = append(flat, n+"_"+m), of[m]
		}
	}
	return flat, all
}

// decimalText is a decimal number kept as text; a file may write it with or without quotes.
type decimalText string

func (d *decimalText) UnmarshalJSON(b []byte) error {
	s := string(b)
	if len(b) > 0 && b[0] == '"' {
		if err := json.Unmarshal(b, &s); err != nil {
			return err
		}
	}
	*d = decimalText(s)
	return nil
}

// ParseFormat reads one format from JSON over the defaults of its family. It is strict: a setting
// that is unknown, written twice, null or of the wrong kind, or anything after the object, is a
// *[FieldError]; so is whatever [Format.Validate] finds.
func ParseFormat(b []byte) (Format, error) {
	names, values, err := formatObject(b)
	if err != nil {
		return Format{}, err
	}
	table := formatFields()
	var family string
	if raw, ok := values["family"]; !ok {
		return Format{}, fieldErr("family", "is missing; give one of %s", strings.Join(familyNames(), ", "))
	} else if json.Unmarshal(raw, &family) != nil || !slices.Contains(familyNames(), family) {
		return Format{}, fieldErr("family", "%s is not a frame family; give one of %s", raw, strings.Join(familyNames(), ", "))
	}
	if family == Stream {
		names, values = spread(names, values)
	}
	f := DefaultFormat(family)
	written := map[string]string{}
	for _, n := range names {
		row := findField(table, family, n)
		if row == nil {
			return Format{}, fieldErr(n, "is not a setting of a gauge format; the settings of family %s are %s", family,
				strings.Join(settingNames(table, family), ", "))
		}
		if other, twice := written[row.name]; twice {
			return Format{}, fieldErr(n, "says the same as %s; give one of them", other)
		}
		written[row.name] = n
		if err := setField(row.at(&f), values[n]); err != nil {
			return Format{}, fieldErr(n, "%v", err)
		}
	}
	if family == Stream && written["stable_ms"] != "" && written["stable_n"] == "" {
		f.StableN = 2 // the time alone says how long
	}
	f.tidy()
	if err := f.Validate(); err != nil {
		if fe, ok := err.(*FieldError); ok && written[fe.Field] != "" {
			fe.Field = written[fe.Field]
		}
		return Format{}, err
	}
	return f, nil
}

func findField(table []formatField, family, name string) *formatField {
	if w := streamWord(name); family == Stream && w != "" && name != "open_settle_ms" && name != "dup_window_ms" {
		name = w
	}
	for i := range table {
		if table[i].name == name || slices.Contains(table[i].also, name) {
			return &table[i]
		}
	}
	return nil
}

func settingNames(table []formatField, family string) []string {
	var out []string
	for _, row := range table {
		if row.fam == nil || slices.Contains(row.fam, family) {
			out = append(out, row.name)
		}
	}
	return out
}

func setField(dst any, raw json.RawMessage) error {
	if string(raw) == "null" {
		return fmt.Errorf("is null; leave it out to get the default")
	}
	if t, ok := dst.(*string); ok && len(raw) > 0 && raw[0] == '[' {
		var list []string // terminators may be given as a list
		if json.Unmarshal(raw, &list) == nil {
			*t = strings.Join(list, " ")
			return nil
		}
	}
	if json.Unmarshal(raw, dst) != nil {
		switch dst.(type) {
		case *int:
			return fmt.Errorf("must be a whole number, not %s", raw)
		case *map[string]string:
			return fmt.Errorf("must be an object of texts, not %s", raw)
		}
		return fmt.Errorf("must be text, not %s", raw)
	}
	return nil
}

// formatObject splits a JSON object into its members and refuses a repeated name.
func formatObject(b []byte) ([]string, map[string]json.RawMessage, error) {
	dec := json.NewDecoder(bytes.NewReader(b))
	if tok, err := dec.Token(); err != nil || tok != json.Delim('{') {
		return nil, nil, fieldErr("format", "must be one JSON object")
	}
	var names []string
	values := map[string]json.RawMessage{}
	for dec.More() {
		tok, err := dec.Token()
		if err != nil {
			return nil, nil, fieldErr("format", "is not JSON: %v", err)
		}
		name, _ := tok.(string)
		var v json.RawMessage
		if err := dec.Decode(&v); err != nil {
			return nil, nil, fieldErr("format", "is not JSON after %q: %v", name, err)
		}
		if name == "" {
			return nil, nil, fieldErr("format", "a setting without a name")
		}
		if _, twice := values[name]; twice {
			return nil, nil, fieldErr(name, "stands twice")
		}
		names, values[name] = append(names, name), v
	}
	if _, err := dec.Token(); err != nil {
		return nil, nil, fieldErr("format", "is not JSON: %v", err)
	}
	if rest := bytes.TrimSpace(b[dec.InputOffset():]); len(rest) > 0 {
		return nil, nil, fieldErr("format", "something follows the object: %q", brief(rest))
	}
	return names, values, nil
}

func brief(b []byte) string {
	if len(b) > 40 {
		return string(b[:37]) + "..."
	}
	return string(b)
}

// UnmarshalJSON is [ParseFormat] for use inside larger files.
func (f *Format) UnmarshalJSON(b []byte) error {
	got, err := ParseFormat(b)
	if err == nil {
		*f = got
	}
	return err
}

// MarshalJSON writes the settings that the family uses, all of them, so that a later change of a
// default cannot change what a stored format means.
func (f Format) MarshalJSON() ([]byte, error) {
	var out bytes.Buffer
	out.WriteByte('{')
	for _, row := range formatFields() {
		if row.fam != nil && !slices.Contains(row.fam, f.Family) {
			continue
		}
		v := row.at(&f)
		if m, ok := v.(*map[string]string); ok && len(*m) == 0 {
			continue
		}
		b, err := json.Marshal(v)
		if err != nil {
			return nil, fmt.Errorf("write gauge format setting %s: %w", row.name, err)
		}
		if s := string(b); s == `""` {
			continue // an empty text means the same as leaving it out
		}
		if out.Len() > 1 {
			out.WriteByte(',')
		}
		fmt.Fprintf(&out, "%q:", row.name)
		out.Write(b)
	}
	out.WriteByte('}')
	return out.Bytes(), nil
}
