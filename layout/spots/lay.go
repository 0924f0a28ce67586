package spots

import "errors"

// Lay sets out the welds of one line. It fails on input that is no line or no rule; whatever cannot be
// kept is in the layout's problems.
func Lay(r Request) (Layout, error) { return Layout{}, errors.New("spots: not written yet") }

// Separate moves welds of neighbouring lines apart (see separate.go).
func Separate(requests []Request, layouts []Layout) ([]Layout, error) {
	return nil, errors.New("spots: not written yet")
}

// Share splits a count over lines by their length.
func Share(count int, lengths []float64) []int { return nil }
