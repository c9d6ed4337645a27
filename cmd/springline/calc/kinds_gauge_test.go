package calc

import (
	"bufio"
	"bytes"
	"encoding/json"
	"os"
	"reflect"
	"strings"
	"testing"
)

// The cases of testdata/checks/gauge_streams.jsonl come from outside this package.
func TestGaugeDecodeCases(t *testing.T) {
	file, err := os.ReadFile("../../../testdata/checks/gauge_streams.jsonl")
	if err != nil {
		t.Fatal(err)
	}
	type line struct {
		ID     string
		Kind   string
		Input  json.RawMessage
		Error  *Error
		Output struct{ Events []any }
	}
	read := func(b []byte) (ls []line) {
		sc := bufio.NewScanner(bytes.NewReader(b))
		for sc.Scan() {
			var l line
			if err := json.Unmarshal(sc.Bytes(), &l); err != nil {
				t.Fatal(err)
			}
			ls = append(ls, l)
		}
		return ls
	}
	want := read(file)
	var in, out bytes.Buffer
	for _, w := range want {
		b, _ := json.Marshal(map[string]any{"id": w.ID, "kind": w.Kind, "input": w.Input})
		in.Write(append(b, '\n'))
	}
	if err := Run(&in, &out, kindsGauge()); err != nil {
		t.Fatal(err)
	}
	got := read(out.Bytes())
	if len(want) == 0 || len(got) != len(want) {
		t.Fatalf("%d answers to %d cases", len(got), len(want))
	}
	for i, w := range want {
		if got[i].Error != nil || !reflect.DeepEqual(got[i].Output.Events, w.Output.Events) {
			t.Errorf("%s: got %v %v, want %v", w.ID, got[i].Output.Events, got[i].Error, w.Output.Events)
		}
	}
}

func TestGaugeDecodeRefusals(t *testing.T) {
	for _, c := range []struct{ input, code, field string }{
		{`{"format": {"family": "lines"}, "chunks": []}`, "bad_format", "format.family"},
		{`{"format": {"family": "line", "colour": 1}, "chunks": []}`, "bad_format", "format.colour"},
		{`{"format": {"family": "line", "max_len": 1e9}, "chunks": []}`, "bad_format", "format.max_len"},
		{`{"format": 7, "chunks": []}`, "bad_format", "format"},
		{`{"format": {"family": "line"}}`, "missing_field", "chunks"},
		{`{"format": {"family": "line"}, "chunks": [{"t_ms": -1, "hex": ""}]}`, "out_of_range", "chunks[0].t_ms"},
		{`{"format": {"family": "line"}, "chunks": [{"t_ms": 1e12, "hex": ""}]}`, "out_of_range", "chunks[0].t_ms"},
		{`{"format": {"family": "line"}, "chunks": [{"t_ms": 9, "hex": ""}, {"t_ms": 8, "hex": ""}]}`, "out_of_order", "chunks[1].t_ms"},
		{`{"format": {"family": "line"}, "chunks": [{"t_ms": 9, "hex": "3"}]}`, "bad_hex", "chunks[0].hex"},
	} {
		var out bytes.Buffer
		if err := Run(strings.NewReader(`{"id": "x", "kind": "gauge.decode", "input": `+c.input+"}\n"), &out, kindsGauge()); err != nil {
			t.Fatal(err)
		}
		var got struct{ Error *Error }
		if err := json.Unmarshal(out.Bytes(), &got); err != nil || got.Error == nil || got.Error.Code != c.code || got.Error.Field != c.field {
			t.Errorf("%s: got %s, want code %s field %s", c.input, out.String(), c.code, c.field)
		}
	}
}
