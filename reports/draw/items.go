package draw

// Point is a place on the paper in millimetres.
type Point struct{ X, Y float64 }

// Drawing is a picture of the given size. Title and Desc are its spoken form.
type Drawing struct {
	W, H  float64
	Title string
	Desc  string
	Items []Item
}

// Item is one thing drawn: [Line], [Polyline], [Polygon], [Rect], [Circle], [Arc], [Text] or
// [Group].
type Item interface{ walk(w *walker) }

// Style is how an outline is stroked and filled. The zero value draws nothing.
type Style struct {
	Stroke float64   // line width in mm; 0 draws no line
	Dash   []float64 // lengths of dash and gap in mm; nil is a full line
	Fill   Fill
}

// Fill is what an outline is filled with.
type Fill int

// The fills. Patterns are drawn as lines and dots, so they come out alike everywhere.
const (
	NoFill Fill = iota
	Ink
	Paper
	Stripes
	Dots
)

// Line joins two points.
type Line struct {
	A, B Point
	Style
}

// Polyline joins points in order; Polygon joins the last to the first as well.
type Polyline struct {
	Points []Point
	Style
}

// Polygon is a closed polyline.
type Polygon struct {
	Points []Point
	Style
}

// Rect is a rectangle by its upper left corner.
type Rect struct {
	X, Y, W, H float64
	Style
}

// Circle is a full circle.
type Circle struct {
	C Point
	R float64
	Style
}

// Arc runs from angle From to angle To in degrees, 0 to the right, growing clockwise as seen.
type Arc struct {
	C        Point
	R        float64
	From, To float64
	Style
}

// Anchor says which part of a text stands at its point.
type Anchor int

// A text starts, is centred or ends at its point.
const (
	Start Anchor = iota
	Middle
	End
)

// Text is one line of text with its base line at At.
type Text struct {
	At     Point
	S      string
	Size   float64 // points
	Bold   bool
	Anchor Anchor
	Turn   float64 // degrees about At, growing clockwise as seen
}

// Group moves its items: scaled by Scale (0 means 1), turned by Turn degrees clockwise as seen, then
// shifted by Move. Line widths and text sizes scale with it.
type Group struct {
	Move  Point
	Scale float64
	Turn  float64
	Items []Item
}
