package job

import (
	"strings"
	"testing"
)

// Gauges that share a line are told apart by channels; without them the job says so before the port is busy.
func TestGaugesThatShareAnAddress(t *testing.T) {
	with := func(first, second string) string {
		text := string(Example())
		from, to := strings.Index(text, "[[gauge]]"), strings.Index(text, "[[lot]]")
		one := func(id, measures, channel string) string {
			return `[[gauge]]
id = "` + id + `"
name = "` + id + `"
kind = "caliper"
largest_error = "0.05 mm"
resolution = "0.01 mm"
unit = "mm"
measures = [` + measures + `]
address = "/dev/ttyUSB0"
format = "two-channel"
` + channel + "\n"
		}
		return text[:from] + one("a", `"tip-to-tip", "crown height"`, first) + one("b", `"station offset"`, second) + text[to:]
	}
	j, err := Parse([]byte(with(`channel = "01"`, `channel = "02"`)))
	if err != nil || j.Gauges[0].Channel != "01" || j.Gauges[1].Channel != "02" {
		t.Fatalf("%+v %v", j.Gauges, err)
	}
	for _, second := range []string{"", `channel = "02"`} {
		if _, err := Parse([]byte(with("", second))); err == nil || !strings.Contains(err.Error(), "the same address") {
			t.Errorf("second %q: %v", second, err)
		}
	}
}

func TestLineOfAGauge(t *testing.T) {
	with := func(line string) string {
		return strings.Replace(string(Example()), "# line = \"9600 8N1\"",
			"address = \"/dev/ttyUSB0\"\nformat = \"line-mm\"\nline = \""+line+"\"", 1)
	}
	j, err := Parse([]byte(with("4800 7E1, DTR on")))
	if err != nil || j.Gauges[0].Line != "4800 7E1, DTR on" {
		t.Fatalf("%+v %v", j.Gauges, err)
	}
	if _, err := Parse([]byte(with("quick"))); err == nil || !strings.Contains(err.Error(), "gauge[1] (tape-1).line") {
		t.Errorf("%v", err)
	}
}
