package book

func (p TwoRibs) Other(id string) string {
	if p.A == id {
		return p.B
	}
	return p.A
}
