package typeset

import "springline/reports/draw"

// Sheet is what a person reads, ready to be set: all wording and rounding is done.
type Sheet struct {
	ID       string // names what the sheet is about, for the subject of a PDF
	Title    string
	Software string
	Running  []string // head lines of every page, beside the page number
	Foot     []string // foot lines of every page
	Sections []Section
}

// Section is one part of the report under a heading. A section that is kept together never breaks
// over two pages; one that wants a new page gets it on paper.
type Section struct {
	Key      string // short name for anchors, unique in the report
	Title    string
	Together bool
	NewPage  bool
	Blocks   []Block
}

// Block is one of the things a section is made of; exactly one field is set.
type Block struct {
	Text    string
	Facts   []Fact
	List    []string
	Table   *Table
	Figure  *draw.Drawing
	Coded   *Coded
	Signers []Signer
}

// Fact is a name and its value. An empty value prints as a line to write on.
type Fact struct{ Name, Value string }

// Coded is a QR code with the facts that stand beside it.
type Coded struct {
	Code  draw.Drawing
	Facts []Fact
}

// Signer is a place to sign.
type Signer struct {
	Part string // maker or checker
	Name string // as far as known
}

// Table is a table whose head repeats on every page and whose rows never split.
type Table struct {
	Caption string
	Columns []Column
	Rows    []Row
	Blank   bool // rows are written on by hand
}

// Align is how the cells of a column stand.
type Align int

// Text stands left; numbers stand right, which aligns their decimals because a column has one number
// of decimals.
const (
	Left Align = iota
	Number
)

// Column is the head of a column; Unit stands below its name.
type Column struct {
	Head  string
	Unit  string
	Align Align
	Marks bool // cells carry marks, so a slot for them is kept free
}

// Row is a line of cells. The note stands below across the whole width; a strong row is one that
// needs a hand.
type Row struct {
	Cells  []Cell
	Note   string
	Strong bool
}

// Cell is what stands in one place of a table: a text, a second line below it, a mark after it and a
// verdict's shape before it.
type Cell struct {
	Text   string
	Second string
	Mark   string
	Sign   draw.Sign
	Bold   bool
}
