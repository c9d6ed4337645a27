package web

import (
	"testing"

	"springline/qc"
	"springline/qc/words"
	"springline/session/command"
)

// What a job states is no business of a page, also where it is stated in full.
func TestThePageStatesNothing(t *testing.T) {
	b := busy()
	text, err := command.Encode(command.Order{Deed: command.LotDeed(
		qc.Lot{ID: "L9", Grade: "B500B", BarLength: 6e9, Heat: "4711", Note: "dry"})})
	if err != nil {
		t.Fatal(err)
	}
	if code, p := post(handler(t, b), string(text)); code != 400 || p.Code != words.CodeBadOp || len(b.did()) != 0 {
		t.Errorf("%s: %d %+v", text, code, p)
	}
}
