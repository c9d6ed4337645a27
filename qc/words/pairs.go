package words

// What happened since pairs were confirmed, so that they no longer stand.
type (
	// RibPassedSince is a rib that passed and is in none of the pairs.
	RibPassedSince struct {
		Rib string `json:"rib"`
	}
	// RibChangedSince is a rib of a pair that was measured again and passes still.
	RibChangedSince struct {
		Rib string `json:"rib"`
	}
	// RibFailsSince is a rib of a pair that passes no longer.
	RibFailsSince struct {
		Rib string `json:"rib"`
	}
	// PairRuleSince is another rule by which pairs are chosen.
	PairRuleSince struct{}
	// PairForbiddenSince is a pair that is not to stand together any more.
	PairForbiddenSince struct {
		A string `json:"a"`
		B string `json:"b"`
	}
	// PairLockedSince is a lock of two ribs that are in two pairs.
	PairLockedSince struct {
		A string `json:"a"`
		B string `json:"b"`
	}
)

// LockLoose is a locked pair that cannot be formed while one of its ribs does not pass.
type LockLoose struct {
	A     string `json:"a"`
	B     string `json:"b"`
	Fails string `json:"fails"`
}

// Code of each.
func (RibPassedSince) Code() Code     { return "pairs.rib-passed" }
func (RibChangedSince) Code() Code    { return "pairs.rib-changed" }
func (RibFailsSince) Code() Code      { return "pairs.rib-fails" }
func (PairRuleSince) Code() Code      { return "pairs.rule-changed" }
func (PairForbiddenSince) Code() Code { return "pairs.forbidden" }
func (PairLockedSince) Code() Code    { return "pairs.locked" }
func (LockLoose) Code() Code          { return "pairs.lock-loose" }
