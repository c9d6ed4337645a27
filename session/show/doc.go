// Package show renders what people see: [View] of the bench and the sheets beside it, from the book, from what
// follows from it and from what the gauges do just now. It decides nothing and is asked by nobody who decides.
//
// The JSON names of its types are what the page and other programs read: they stay, and new ones are added.
package show
