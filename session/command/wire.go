package command

import (
	"cmp"
	"crypto/sha256"
	"encoding/hex"
	"errors"

	"springline/qc/strict"
	"springline/qc/words"
)

// codeBadJSON is the code of a refusal of what is no command at all.
const codeBadJSON = "bad_json"

// maxOrder bounds a command on the wire, in bytes.
const maxOrder = 64 << 10

// Decode reads a command as it is sent: one flat JSON object in which "op" picks the verb, such as
// {"op":"pair-lock","rib":"07","with":"11","key":"k-12"}. Errors are *words.Refusal.
func Decode(raw []byte) (Order, error) {
	if err := strict.Whole(raw, maxOrder); err != nil {
		return Order{}, Misread("", err)
	}
	o, err := strict.Parse(raw)
	if err != nil {
		return Order{}, Misread("", err)
	}
	op, err := o.Text("op")
	switch {
	case err != nil:
		return Order{}, Misread("", err)
	case op == "":
		return Order{}, words.Problem(words.CodeBadValue, "op", howToSend, "the command does not say what to do")
	}
	r, ok := Op(op).Row()
	if !ok {
		return Order{}, words.Problem(words.CodeBadOp, "op", "", "operation %q is not known", op)
	}
	order, err := r.read(o)
	if err != nil {
		return Order{}, Misread(r.Op, err)
	}
	return order, nil
}

const howToSend = `send one flat JSON object, such as {"op":"undo","key":"..."}`

// Encode writes a command as [Decode] reads it.
func Encode(o Order) ([]byte, error) {
	return strict.Encode(struct {
		Op Op `json:"op"`
	}{o.Op()}, o.Deed, o.Sent)
}

// Misread says what is wrong with the JSON of a command.
func Misread(op Op, err error) *words.Refusal {
	var e *strict.Error
	if !errors.As(err, &e) {
		return words.Problem(codeBadJSON, "", howToSend, "the command is not readable: %v", err)
	}
	field := e.Field
	if len(field) > 40 {
		field = field[:40]
	}
	do := cmp.Or(e.Do, howToSend)
	switch {
	case e.Code == strict.CodeBadText:
		return words.Problem(words.CodeBadValue, field, do, "%s %s", field, e.Message)
	case field == "":
		return words.Problem(codeBadJSON, "", do, "the command is not one whole JSON object: %s", e.Message)
	case e.Code == strict.CodeMissing:
		return words.Problem(words.CodeMissing, field, do, "%q needs the field %q", op, field)
	case e.Code == strict.CodeRepeated, e.Code == strict.CodeBadJSON:
		return words.Problem(codeBadJSON, field, do, "the field %q %s", field, e.Message)
	}
	return words.Problem(words.CodeBadValue, field, do, "the field %q %s", field, e.Message)
}

// PrintOf names what is to be done, whoever sends it and however often.
func PrintOf(d Deed) (string, error) {
	text, err := strict.Encode(struct {
		Op Op `json:"op"`
	}{d.op()}, d)
	if err != nil {
		return "", err
	}
	sum := sha256.Sum256(text)
	return hex.EncodeToString(sum[:16]), nil
}
