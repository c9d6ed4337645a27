package calc

import (
	"encoding/hex"
	"encoding/json"
	"errors"
	"fmt"
	"math"
	"time"

	"springline/device/wire"
	"springline/qc/strict"
)

func kindsGauge() []Kind {
	return []Kind{
		row("gauge.decode",
			"what the bytes of a gauge say, by a description of its frames; a gauge of the query family is asked at 500 ms and then every poll_ms",
			"number forms NR1, NR2, NR3: IEEE 488.2; the rest is our own description of common gauge output",
			gaugeDecode),
	}
}

type gaugeDecodeIn struct {
	Format json.RawMessage `json:"format" doc:"how the gauge writes: family (line, fixed, query, stream, bcd, keyboard) and its settings"`
	Chunks []gaugeChunk    `json:"chunks" doc:"what arrived, in order of time"`
}

type gaugeChunk struct {
	TMS float64 `json:"t_ms" doc:"when, in milliseconds since the port was opened"`
	Hex string  `json:"hex" doc:"the bytes, in hexadecimal"`

	Repeat bool `json:"repeat" need:"no" doc:"keyboard: the first key repeats because it is held down"`
}

type gaugeDecodeOut struct {
	Events []gaugeEvent  `json:"events" doc:"readings and errors in order"`
	More   []gaugeDetail `json:"more" doc:"for each event: when it happened, the frame as received, and why it is an error"`
}

type gaugeEvent struct {
	Reading *gaugeReading `json:"reading,omitempty"`
	Error   string        `json:"error,omitempty"`
}

type gaugeReading struct {
	Value   string   `json:"value"`
	Unit    *string  `json:"unit"`
	Channel *string  `json:"channel"`
	Flags   []string `json:"flags"`
	Accept  string   `json:"accept"`
}

type gaugeDetail struct {
	TMS    float64 `json:"t_ms"`
	RawHex string  `json:"raw_hex"`
	Detail string  `json:"detail,omitempty"`
}

// maxChunkMS bounds a stream to a day, so that a typing slip cannot ask for endless questions.
const maxChunkMS = 24 * 3600 * 1000

func gaugeDecode(in gaugeDecodeIn) (gaugeDecodeOut, error) {
	f, err := wire.ParseFormat(in.Format)
	if err != nil {
		return gaugeDecodeOut{}, formatError(err)
	}
	chunks := make([]wire.Chunk, len(in.Chunks))
	for i, c := range in.Chunks {
		field := fmt.Sprintf("chunks[%d]", i)
		if c.TMS < 0 || c.TMS > maxChunkMS {
			return gaugeDecodeOut{}, refuse("out_of_range", field+".t_ms", "%g is outside 0 to %d ms", c.TMS, maxChunkMS)
		}
		if i > 0 && c.TMS < in.Chunks[i-1].TMS {
			return gaugeDecodeOut{}, refuse("out_of_order", field+".t_ms",
				"%g is earlier than the chunk before it; put the chunks in order of time", c.TMS)
		}
		b, err := hex.DecodeString(c.Hex)
		if err != nil {
			return gaugeDecodeOut{}, refuse("bad_hex", field+".hex", "%q is not bytes in hexadecimal: %v", strict.Brief([]byte(c.Hex)), err)
		}
		chunks[i] = wire.Chunk{At: time.Duration(math.Round(c.TMS * 1e6)), Bytes: b, Repeat: c.Repeat}
	}
	events, err := wire.Replay(f, chunks)
	if err != nil {
		return gaugeDecodeOut{}, err
	}
	out := gaugeDecodeOut{Events: make([]gaugeEvent, 0, len(events)), More: make([]gaugeDetail, 0, len(events))}
	for _, e := range events {
		more := gaugeDetail{TMS: float64(e.At) / 1e6}
		if e.Err != nil {
			more.RawHex, more.Detail = hex.EncodeToString(e.Err.Raw), e.Err.Detail()
			out.Events = append(out.Events, gaugeEvent{Error: e.Err.Code})
		} else {
			s := e.Sample
			more.RawHex = hex.EncodeToString(s.Raw)
			out.Events = append(out.Events, gaugeEvent{Reading: &gaugeReading{
				Value: s.Value, Unit: orNull(s.Unit), Channel: orNull(s.Channel), Flags: append([]string{}, s.Flags...), Accept: string(s.Accept)}})
		}
		out.More = append(out.More, more)
	}
	return out, nil
}

func orNull(s string) *string {
	if s == "" {
		return nil
	}
	return &s
}

// formatError names the setting by its path in the request.
func formatError(err error) error {
	var fe *wire.FieldError
	if !errors.As(err, &fe) {
		return err
	}
	field := "format"
	if fe.Field != "format" {
		field = "format." + fe.Field
	}
	return refuse("bad_format", field, "%s", fe.Problem)
}
