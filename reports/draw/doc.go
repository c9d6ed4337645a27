// Package draw holds drawings and charts as data and paints them to SVG and to PDF with the same code,
// so that the page and the paper cannot differ.
//
// It leaves to others what a drawing means: it knows points, shapes and text, not ribs. Lengths are
// millimetres on paper in float64, x to the right and y down; before anything is painted they are
// rounded to whole micrometres, so that both painters and every machine get the same numbers. There is
// one ink, black: what has to stand out does so by shape and pattern, which survive a grey copy.
package draw
