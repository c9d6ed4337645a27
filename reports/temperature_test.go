package reports_test

import (
	"bytes"
	"strings"
	"testing"

	"springline/qc"
	"springline/reports"
	"springline/reports/typeset"
)

// The correction stands on the report as read, added and corrected. 11.5e-6 * 10 K of the length, from
// memory for steel; the sum is checked by hand below.
func TestTemperaturesOnTheReport(t *testing.T) {
	b := shelter(t)
	text := func() string {
		t.Helper()
		m, err := reports.New(b, "test")
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		if err := typeset.WriteText(&out, m.Sheet); err != nil {
			t.Fatal(err)
		}
		return out.String()
	}
	if strings.Contains(text(), "At 20 °C") {
		t.Fatal("corrected without temperatures")
	}
	read := qc.TemperatureRead{Temperatures: qc.Temperatures{Seq: 3, Bar: 20, Tape: 30, Doubt: 1}, At: at(0), By: "Ada"}
	b.Temps = []qc.TemperatureRead{read}
	r := &b.Ribs[0]
	for i := range r.Measurements {
		m := &r.Measurements[i]
		c, _ := b.Target.Characteristic(m.Char)
		g, _ := b.Gauge(m.Gauge)
		if qc.CorrectedTo20(g, c.Kind) {
			m.Temp = read.Temperatures
			m.To20 = m.Temp.To20(g, c.Kind, m.Value)
		}
	}
	d, ok := r.Deviation(b.Target.Round[0])
	if !ok || d.To20 <= 0 {
		t.Fatalf("%+v", d)
	}
	got := text()
	for _, want := range []string{"Temperatures read", "At 20 °C", "Ada", "+" + d.To20.Text(0, 10_000)} {
		if !strings.Contains(got, want) {
			t.Errorf("the report lacks %q", want)
		}
	}
}
