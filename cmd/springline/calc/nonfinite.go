package calc

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"

	"springline/qc/strict"
)

// notANumber stands in for a bare NaN or Infinity while its field is looked for. The control
// character keeps it apart from any text a caller may send unescaped.
const notANumber = "\x00not a finite number"

// nonFinite explains a line that would be JSON but for bare NaN, Infinity or -Infinity, which many
// programs print: it answers with the field, and returns the line made readable so that id and kind
// can be told. For any other line the error is nil.
func nonFinite(line []byte) ([]byte, *Error) {
	stand, err := json.Marshal(notANumber)
	if err != nil {
		return nil, nil
	}
	var b bytes.Buffer
	found := ""
	for i := 0; i < len(line); {
		if line[i] == '"' {
			end := i + 1
			for end < len(line) && line[end] != '"' {
				if line[end] == '\\' {
					end++
				}
				end++
			}
			end = min(end+1, len(line))
			b.Write(line[i:end])
			i = end
			continue
		}
		word := ""
		for _, w := range [...]string{"NaN", "-Infinity", "Infinity"} {
			if bytes.HasPrefix(line[i:], []byte(w)) {
				word = w
				break
			}
		}
		if word == "" {
			b.WriteByte(line[i])
			i++
			continue
		}
		if found == "" {
			found = word
		}
		b.Write(stand)
		i += len(word)
	}
	if found == "" || !json.Valid(b.Bytes()) {
		return nil, nil
	}
	path, ok := pathOfStandIn(json.NewDecoder(bytes.NewReader(b.Bytes())), "")
	if !ok {
		return nil, nil
	}
	return bytes.ReplaceAll(b.Bytes(), stand, []byte("null")),
		refuse("not_finite", strings.TrimPrefix(path, "input."), "is %s; give a finite number", found)
}

// pathOfStandIn walks one value and returns the path of the first stand-in.
func pathOfStandIn(dec *json.Decoder, path string) (string, bool) {
	dec.UseNumber()
	tok, err := dec.Token()
	if err != nil {
		return "", false
	}
	switch tok {
	case notANumber:
		return path, true
	case json.Delim('{'):
		for dec.More() {
			name, err := dec.Token()
			if err != nil {
				return "", false
			}
			if p, ok := pathOfStandIn(dec, strict.Join(path, fmt.Sprint(name))); ok {
				return p, true
			}
		}
		_, _ = dec.Token() // the closing brace: the text is known to be valid
	case json.Delim('['):
		for i := 0; dec.More(); i++ {
			if p, ok := pathOfStandIn(dec, fmt.Sprintf("%s[%d]", path, i)); ok {
				return p, true
			}
		}
		_, _ = dec.Token()
	}
	return "", false
}
