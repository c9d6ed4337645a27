package wire

import (
	"errors"
	"fmt"
	"slices"
	"strings"
	"testing"
	"time"

	"pgregory.net/rapid"
)

// made is a gauge that does not exist: it writes hundredths or thousandths in its own way.
type made struct {
	prefix, plus, pad, mark, unit, status, end, sum string
	gap                                             string
	width, decimals                                 int
	exponent, behind                                bool
}

func drawGauge(t *rapid.T) made {
	pick := func(name string, of ...string) string { return rapid.SampledFrom(of).Draw(t, name) }
	g := made{
		prefix: pick("prefix", "", "", "", "X", "A:", "VAL ", "#"),
		plus:   pick("plus", "", "+", " "),
		pad:    pick("pad", "", "0", " "),
		mark:   pick("mark", ".", ","),
		unit:   pick("unit", "", "mm", "in", "MM", " mm", "  inch"),
		status: pick("status", "", "", "", "N", " OK"),
		end:    pick("end", "\r\n", "\r", "\n"),
		sum:    pick("sum", "none", "none", "xor", "sum"),
		gap:    pick("gap", "", "", "  "),
		width:  7, decimals: rapid.IntRange(0, 4).Draw(t, "decimals"),
		exponent: rapid.IntRange(0, 5).Draw(t, "exponent") == 0,
		behind:   rapid.IntRange(0, 5).Draw(t, "behind") == 0,
	}
	if g.unit == "" && g.status != "" {
		g.status = " OK"
	}
	return g
}

// show is what the display shows, send what the gauge sends for n units of the last place.
func (g made) show(n int) string {
	s := fmt.Sprintf("%0*d", g.decimals+1, max(n, -n))
	if g.decimals > 0 {
		s = s[:len(s)-g.decimals] + "." + s[len(s)-g.decimals:]
	}
	if n < 0 {
		s = "-" + s
	}
	if u := strings.ToLower(strings.TrimSpace(g.unit)); u != "" {
		s += " " + u
	}
	return s
}

func (g made) send(n int) []byte {
	digits := strings.Fields(strings.TrimPrefix(g.show(n), "-"))[0]
	if g.exponent {
		whole, frac, _ := strings.Cut(digits, ".")
		digits = fmt.Sprintf("%s.%sE+%02d", whole[:1], whole[1:]+frac, len(whole)-1)
	} else if g.pad != "" {
		digits = strings.Repeat(g.pad, max(0, g.width-len(digits))) + digits
	}
	digits = strings.Replace(digits, ".", g.mark, 1)
	sign := g.plus
	if n < 0 {
		sign = "-"
	}
	if g.behind {
		digits += sign
	} else {
		digits = sign + digits
	}
	s := g.prefix + g.gap + digits + g.unit + g.status
	if g.sum != "none" {
		s += fmt.Sprintf("*%02X", checksum(g.sum, []byte(s)))
	}
	return []byte(s + g.end)
}

// A format learned from three values decodes values it has not seen.
func TestInferDecodesFreshValues(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		g := drawGauge(t)
		value := rapid.IntRange(1, 99999)
		ns := []int{value.Draw(t, "a"), -value.Draw(t, "b"), value.Draw(t, "c")}
		var seen []Observation
		for _, n := range ns {
			seen = append(seen, Observation{g.show(n), g.send(n)})
		}
		cands, err := Infer(DefaultFormat(Line), seen)
		if err != nil {
			t.Fatalf("%+v sends %q: %v", g, seen, err)
		}
		best := cands[0]
		if strings.Contains(strings.Join(best.Ambiguous, ";"), "check digits") {
			k := slices.IndexFunc(cands, func(c Candidate) bool { return c.Format.Checksum == g.sum })
			if k < 0 {
				t.Fatalf("%+v is not among the candidates %+v", g, cands)
			}
			best = cands[k]
		}
		d, err := NewDecoder(best.Format)
		if err != nil {
			t.Fatal(err)
		}
		at := 10 * time.Second
		for range 20 {
			n := rapid.IntRange(-99999, 99999).Draw(t, "fresh")
			if n == 0 {
				continue
			}
			at += 10 * time.Second
			ev := d.Feed(at, g.send(n))
			want := strings.Fields(g.show(n))[0]
			if len(ev) != 1 || ev[0].Sample == nil || ev[0].Sample.Value != want {
				t.Fatalf("learned %+v from %q;\n%q gives %v, want %s", best.Format, seen, g.send(n), shown(ev), want)
			}
			if u := strings.ToLower(strings.TrimSpace(g.unit)); u != "" && ev[0].Sample.Unit != unitByName(u) {
				t.Fatalf("unit %q, want %q", ev[0].Sample.Unit, u)
			}
		}
	})
}

func TestInferCases(t *testing.T) {
	for _, c := range []struct {
		title string
		seen  []Observation
		want  func(f Format) bool
		open  string // a part of what must be said to be open, "" = nothing may be
	}{
		{"everything is clear", []Observation{{"12.34", []byte("+0012.34 mm\r\n")}, {"-0.05", []byte("-0000.05 mm\r\n")}},
			func(f Format) bool {
				return f.Unit == "required:mm" && f.Sign == "required" && f.Decimals == 2 && f.Length == 11 && f.Decimal == "point"
			}, ""},
		{"no negative value", []Observation{{"12.34", []byte("12.34mm\r")}, {"5.05", []byte("5.05mm\r")}},
			func(f Format) bool { return f.Sign == "front" && f.Length == 0 }, "no negative value"},
		{"no unit", []Observation{{"12,34", []byte("12,34\r")}, {"-5.05", []byte("-5,05\r")}},
			func(f Format) bool { return f.Unit == "none" && f.Decimal == "comma" }, "no unit"},
		{"unit only on the display", []Observation{{"12.34 mm", []byte("12.34\r")}, {"-5.05 mm", []byte("-5.05\r")}},
			func(f Format) bool { return f.Unit == "fixed:mm" }, ""},
		{"own unit word", []Observation{{"12.34 mm", []byte("12.34 M\r")}, {"-5.05 mm", []byte("-5.05 M\r")}},
			func(f Format) bool { return f.UnitMap["M"] == "mm" && f.Unit == "required:mm" }, ""},
		{"status letter", []Observation{{"12.34", []byte("12.34mmN\r")}, {"-5.05", []byte("-5.05mmN\r")}},
			func(f Format) bool { return f.Status == "suffix" && f.StatusMap["N"] == "ok" }, "all is well"},
		{"a number in front", []Observation{{"12.34", []byte("01 12.34mm\r")}, {"-5.05", []byte("01 -5.05mm\r")}},
			func(f Format) bool { return f.Prefix == "01" }, "names a channel"},
		{"the same number twice", []Observation{{"1", []byte("1 1mm\r")}, {"-2", []byte("1 -2mm\r")}},
			func(f Format) bool { return f.Prefix == "1" }, "names a channel"},
		{"sent twice", []Observation{{"12.34", []byte("12.34mm\r\n12.34mm\r\n")}, {"-5.05", []byte("-5.05mm\r\n")}},
			func(f Format) bool { return f.Unit == "required:mm" }, ""},
		{"no decimal mark", []Observation{{"12.34", []byte("D+001234mm\r\n")}, {"-0.05", []byte("D-000005mm\r\n")}},
			func(f Format) bool {
				return f.Layout == "'D' sign 6-digit number with 2 decimals 2-char unit CR LF" && f.Unit == "required:mm"
			}, "no decimal mark"},
		{"one value", []Observation{{"12.34", []byte("12.34 mm\r\n")}},
			func(f Format) bool { return f.Decimals == -1 && f.Length == 0 }, "only one value"},
	} {
		got, err := Infer(DefaultFormat(Line), c.seen)
		if err != nil {
			t.Errorf("%s: %v", c.title, err)
			continue
		}
		if !c.want(got[0].Format) {
			t.Errorf("%s: got %+v", c.title, got[0].Format)
		}
		if said := strings.Join(got[0].Ambiguous, "; "); (said == "") != (c.open == "") || !strings.Contains(said, c.open) {
			t.Errorf("%s: open is %q, want %q", c.title, said, c.open)
		}
	}
}

func TestInferRefusals(t *testing.T) {
	ok := Observation{"12.34", []byte("12.34 mm\r")}
	for _, c := range []struct {
		title string
		seen  []Observation
		at    int
	}{
		{"nothing", nil, -1},
		{"shown is no number", []Observation{{"twelve", ok.Bytes}}, 0},
		{"shown with an unknown unit", []Observation{ok, {"12 kg", ok.Bytes}}, 1},
		{"no terminator", []Observation{ok, {"12.34", []byte("12.34")}}, 1},
		{"another terminator", []Observation{ok, {"12.34", []byte("12.34 mm\n")}}, 1},
		{"not text", []Observation{{"12.34", []byte("\xb112.34\r")}}, 0},
		{"mistyped", []Observation{ok, {"12.43", []byte("12.34 mm\r")}}, -1},
		{"last digit rounded by the display", []Observation{{"12.3", ok.Bytes}}, -1},
		{"digits behind the unit", []Observation{{"12.34", []byte("12.34 mm 7\r")}}, -1},
		{"sign mistyped", []Observation{{"-12.34", ok.Bytes}}, -1},
		{"front text changes", []Observation{{"12.34", []byte("A12.34\r")}, {"12.35", []byte("B12.35\r")}}, -1},
	} {
		got, err := Infer(DefaultFormat(Line), c.seen)
		var ie *InferError
		if !errors.As(err, &ie) || ie.Observation != c.at || ie.Problem == "" {
			t.Errorf("%s: %v %v, want value %d named", c.title, got, err, c.at)
		}
	}
	var fe *FieldError
	if _, err := Infer(DefaultFormat(BCD), []Observation{ok}); !errors.As(err, &fe) || fe.Field != "family" {
		t.Errorf("bcd: %v", err)
	}
}
