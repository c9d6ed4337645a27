package certify

// Metrics and objectives, as written in the file.
const (
	RMS          = "rms"
	Max          = "max"
	Sum          = "sum"
	WorstThenSum = "worst_then_sum"
)

// Rib is one measured rib: deviations in micrometres, tip, crown, A1..Ak, B1..Bk.
type Rib struct {
	ID, Lot string
	Dev     []int32
}

// Question is what was to be solved. Ribs are named by index.
type Question struct {
	Metric, Objective string
	Tip, Crown        int64
	Stations          []int64
	Limit             int64 // nanometres, inclusive; -1 for none
	LotPenalty        int64 // nanometres
	Ribs              []Rib
	Forbidden, Locked [][2]int
	// Prefer breaks ties: the proof is then for Factor times the cost plus one for every pair that is
	// not listed here.
	Prefer [][2]int
}

// Blossom is an odd set of ribs with its dual.
type Blossom struct {
	Dual int64
	Ribs []int
}

// Certificate is a question, an answer and the proof of it.
//
// Duals are those of doubled costs. With y the dual of a rib and z that of a blossom, every
// admissible pair must have y + y' - (sum of z around both) <= 2 cost, every rib y <= Alone, and
// sum(y) - sum(z (size-1)/2) must equal the doubled cost of the answer, each rib left over counting
// Alone. No pairing with as many pairs can then cost less (Edmonds, J. Res. NBS 69B (1965) 125-130).
//
// That no pairing has more pairs is shown by More: take these ribs away, and the rest falls into so
// many odd groups without an admissible pair between them that at least as many ribs as are left over
// must be (Tutte-Berge formula). Better shows in the same way that with all pairs of the largest
// mismatch, and larger ones, forbidden more ribs would be left over.
type Certificate struct {
	Question
	Factor int64 // 1 without Prefer
	Pairs  [][2]int

	Rib      []int64 // y of each rib, 0 for a locked one
	Blossoms []Blossom
	Alone    int64
	More     []int
	Better   []int
}
