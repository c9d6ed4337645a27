package show

import (
	"springline/session/derive"
)

// ShapeView is what a rib looks like against its target, as far as it has been measured. Its picture is
// drawn from the record by whoever shows it (reports.ShapeDrawing).
type ShapeView struct {
	Sentence string `json:"sentence"` // the diagnosis with its uncertainty
	CanTell  bool   `json:"can_tell"` // false: what was measured covers every difference
	Place    string `json:"place"`    // where to work: crown, shoulder, leg A, leg B, whole arc
	Rib      string `json:"rib"`
	Version  int64  `json:"version"` // of the rib: the picture is another once it changes
}

// ShownShape is nil where nothing tells of the shape yet.
func ShownShape(s derive.ShapeFound) *ShapeView {
	if !s.Known {
		return nil
	}
	return &ShapeView{Sentence: s.Sentence, CanTell: s.CanTell, Place: string(s.Place), Rib: s.Rib, Version: s.Version}
}
