package book

// Studies counts the studies on record, so that each has a name of its own.
func (s *Book) Studies() int {
	n := 0
	for _, b := range s.Batches {
		n += len(b.Studies)
	}
	return n
}
