package calc

import (
	"bufio"
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"reflect"

	"springline/qc/arch"
	"springline/qc/pairing"
	"springline/qc/stats"
	"springline/qc/strict"
)

// maxLine bounds one request line; a longer one is answered with an error and skipped whole.
const maxLine = 64 << 20

// Error is a refused request. Field is the JSON path of the offending input field, empty when the
// request as a whole is at fault.
type Error = strict.Error

// refuse makes an Error for a field whose value cannot be.
func refuse(code, field, format string, args ...any) *Error {
	return strict.Refuse(code, field, format, args...)
}

// Kind is one computation: a name, what it takes, what it answers and where the method comes from.
type Kind struct {
	Name    string
	Summary string
	Source  string
	In, Out []strict.Field
	run     func(raw json.RawMessage) (any, error)
}

// row declares a kind from a typed function, whose output counts only without an error. The input is decoded
// strictly (see package strict); an error that names a code and a field keeps them, any other becomes "refused".
func row[I, O any](name, summary, source string, f func(I) (O, error)) Kind {
	return Kind{
		Name: name, Summary: summary, Source: source,
		In: strict.Fields(reflect.TypeFor[I]()), Out: strict.Fields(reflect.TypeFor[O]()),
		run: func(raw json.RawMessage) (any, error) {
			var in I
			if err := strict.Decode(raw, &in); err != nil {
				var e *Error
				if errors.As(err, &e) && e.Field == "" {
					e.Field = "input"
				}
				return nil, err
			}
			return f(in)
		},
	}
}

type request struct {
	ID    json.RawMessage `json:"id"`
	Kind  string          `json:"kind"`
	Input json.RawMessage `json:"input"`
}

type answer struct {
	ID     json.RawMessage `json:"id"`
	Kind   string          `json:"kind"`
	Output any             `json:"output,omitempty"`
	Error  *Error          `json:"error,omitempty"`
}

// Run answers every line of r on w in order and flushes each answer, so that a script may hold a
// conversation. It returns an error only when r or w fails.
func Run(r io.Reader, w io.Writer, kinds []Kind) error {
	byName := make(map[string]Kind, len(kinds))
	for _, k := range kinds {
		byName[k.Name] = k
	}
	in := bufio.NewReaderSize(r, 1<<16)
	out := bufio.NewWriter(w)
	for {
		line, tooLong, err := readLine(in)
		if len(bytes.TrimSpace(line)) > 0 || tooLong {
			a := answer{ID: json.RawMessage("null")}
			if tooLong {
				a.Error = refuse("too_long", "", "the line is longer than %d bytes", maxLine)
			} else {
				a = reply(line, byName)
			}
			if werr := writeAnswer(out, a); werr != nil {
				return werr
			}
		}
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return fmt.Errorf("read a request line: %w", err)
		}
	}
}

func readLine(in *bufio.Reader) (line []byte, tooLong bool, err error) {
	for {
		part, err := in.ReadSlice('\n')
		if !tooLong {
			line = append(line, part...)
		}
		if len(line) > maxLine {
			line, tooLong = nil, true
		}
		if err == nil || !errors.Is(err, bufio.ErrBufferFull) {
			return line, tooLong, err
		}
	}
}

func writeAnswer(out *bufio.Writer, a answer) error {
	b, err := json.Marshal(a)
	if err != nil {
		// A NaN or infinity reached the output: that is a fault of ours, said as such, never printed.
		a.Output, a.Error = nil, refuse("not_finite", "", "the result is not a finite number (%v)", err)
		if b, err = json.Marshal(a); err != nil {
			return fmt.Errorf("encode an answer: %w", err)
		}
	}
	if _, err := out.Write(append(b, '\n')); err != nil {
		return fmt.Errorf("write an answer: %w", err)
	}
	if err := out.Flush(); err != nil {
		return fmt.Errorf("write an answer: %w", err)
	}
	return nil
}

func reply(line []byte, kinds map[string]Kind) (a answer) {
	a.ID = json.RawMessage("null")
	var req request
	if err := strict.Decode(line, &req); err != nil {
		if readable, e := nonFinite(line); e != nil {
			line, err = readable, e
		}
		// Keep the caller's id and kind where they can be read, so that the answer can be matched.
		var loose struct {
			ID   json.RawMessage `json:"id"`
			Kind json.RawMessage `json:"kind"`
		}
		if json.Unmarshal(line, &loose) == nil {
			if len(loose.ID) > 0 {
				a.ID = loose.ID
			}
			_ = json.Unmarshal(loose.Kind, &a.Kind) // a kind that is no text stays empty
		}
		a.Error = asError(err)
		return a
	}
	a.ID, a.Kind = req.ID, req.Kind
	k, ok := kinds[req.Kind]
	if !ok {
		a.Error = refuse("unknown_kind", "kind", "no computation is called %q; `springline calc --list` names them", req.Kind)
		return a
	}
	defer func() {
		if p := recover(); p != nil {
			a.Output, a.Error = nil, refuse("internal", "", "%s failed on this input: %v; please report it with the line sent", req.Kind, p)
		}
	}()
	out, err := k.run(req.Input)
	if err != nil {
		a.Error = asError(err)
		return a
	}
	a.Output = out
	return a
}

// asError keeps code and field of what a subject refuses.
func asError(err error) *Error {
	var (
		own    *Error
		shape  *arch.InputError
		number *stats.Error
		rib    *pairing.InputError
	)
	switch {
	case errors.As(err, &own):
		return own
	case errors.As(err, &shape):
		return refuse(shape.Code, shape.Field, "%s", shape.Why)
	case errors.As(err, &number):
		return refuse(string(number.Code), number.Field, "%s", number.Message)
	case errors.As(err, &rib):
		return refuse(rib.Code, rib.Field, "%s", rib.Message)
	}
	return refuse("refused", "", "%v", err)
}
