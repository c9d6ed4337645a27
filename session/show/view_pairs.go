package show

// PairsView is the proposal, or the pairs as confirmed.
type PairsView struct {
	State     string     `json:"state"` // provisional, confirmed, outdated
	Note      string     `json:"note"`
	Rule      string     `json:"rule"` // how ribs are compared and what is best, in words
	Pairs     []PairView `json:"pairs"`
	Spares    []string   `json:"spares"`
	Left      []LeftView `json:"left"`  // ribs that cannot be paired yet, with the reason
	Loose     []string   `json:"loose"` // locks that no longer hold, with the reason
	Sum       string     `json:"sum"`
	Proof     string     `json:"proof"` // "proven least" with the bound
	CanFix    bool       `json:"can_fix"`
	Confirmed string     `json:"confirmed"` // by whom and when
	Token     string     `json:"token"`     // names this very proposal when confirming
	// Order is the run order of the confirmed pairs, nil before there are any.
	Order *OrderView `json:"order,omitempty"`
}

// PairView is one pair.
type PairView struct {
	A        string `json:"a"`
	B        string `json:"b"`
	Flip     bool   `json:"flip"`
	Turned   bool   `json:"turned,omitempty"` // the whole pair stands turned end for end in the run order shown
	How      string `json:"how"`              // "turn 07 end for end"
	Mismatch string `json:"mismatch"`
	Largest  string `json:"largest"` // largest difference named
	At       string `json:"at"`      // where it is: a characteristic
	Tag      string `json:"tag"`     // which leg of each rib the pair's tag is tied to
	Locked   bool   `json:"locked"`
	Cost     string `json:"cost"` // what the lock cost when it was made, or what locking costs now
	Good     bool   `json:"good"` // among the closest tenth of the pairs: good enough to lock now
}

// LeftView is a rib left out and why.
type LeftView struct {
	Rib    string `json:"rib"`
	Reason string `json:"reason"`
}

// PartnerView is one rib that another may be paired with.
type PartnerView struct {
	PairView
	Partner string `json:"partner"`
	OneLot  bool   `json:"one_lot"`
}

// OrderView is the order in which the pairs stand along the structure.
type OrderView struct {
	State     string      `json:"state"` // provisional, confirmed
	Stands    []StandView `json:"stands"`
	Length    string      `json:"length"` // sum of the steps from pair to pair
	Proof     string      `json:"proof"`
	Confirmed string      `json:"confirmed"`
	CanFix    bool        `json:"can_fix"`
	Token     string      `json:"token"`
	First     string      `json:"first"` // fixed ends as asked for, empty for free ones
	Last      string      `json:"last"`
}

// StandView is one pair in the run order.
type StandView struct {
	Place  int    `json:"place"`
	A      string `json:"a"`
	B      string `json:"b"`
	Turned bool   `json:"turned"`
	Tag    string `json:"tag"`
	Step   string `json:"step"` // difference to the pair before
}
