package paper

import (
	"fmt"
	"strings"
)

// Size is a trimmed sheet.
type Size struct {
	Name          string
	Width, Height float64 // mm
}

// Trimmed sheet sizes in mm as used for drawings: A4 upright, the others lying (ISO 5457:1999; from memory,
// the dimensions themselves are those of ISO 216).
var (
	A4 = Size{"A4", 210, 297}
	A3 = Size{"A3", 420, 297}
	A2 = Size{"A2", 594, 420}
	A1 = Size{"A1", 841, 594}
)

// ParseSize finds a sheet size by its name; an empty name is A3.
func ParseSize(name string) (Size, error) {
	for _, s := range []Size{A4, A3, A2, A1} {
		if strings.EqualFold(s.Name, strings.TrimSpace(name)) {
			return s, nil
		}
	}
	if strings.TrimSpace(name) == "" {
		return A3, nil
	}
	return Size{}, fmt.Errorf("sheet size %q is not known: use A4, A3, A2 or A1", name)
}

// Margins of the drawing frame in mm: 20 on the filing side, 10 elsewhere (ISO 5457:1999, from memory).
const (
	FilingMargin = 20
	Margin       = 10
)

// Frame is the drawing space of the sheet.
func (s Size) Frame() Box {
	return Box{FilingMargin, Margin, s.Width - Margin, s.Height - Margin}
}

// SizeName is the name of the page's size, with how it lies where that is not as sizes lie; its measures in mm for any other.
func (p *Page) SizeName() string {
	for _, s := range []Size{A4, A3, A2, A1} {
		switch {
		case s.Width == p.Width && s.Height == p.Height:
			return s.Name
		case s.Width == p.Height && s.Height == p.Width:
			return s.Name + " lying"
		}
	}
	return fmt.Sprintf("%g x %g mm", p.Width, p.Height)
}
