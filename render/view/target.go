package view

import (
	"math"

	"github.com/golang/geo/r3"
)

// Target is a weld to be seen.
type Target struct {
	At    r3.Vector // in the middle of the stack
	Axis  r3.Vector // unit; either sign
	Own   []string  // panels of the stack
	Stack float64   // mm, thickness of the whole stack
}

// Room in mm that sight is allowed beyond the sheets themselves: gaps between the sheets of a weld before
// clamping, and the chord errors of meshes.
const (
	ownRoom   = 2.0
	otherRoom = 0.3
)

// Rooms are how far in front of the target another panel, and one of its own sheets, may lie along a line of sight.
func (t Target) Rooms(look r3.Vector) (other, own float64) {
	slant := 1.0
	if c := math.Abs(t.Axis.Dot(look)); c > 0 {
		slant = math.Max(c, 0.25)
	}
	return (t.Stack/2 + otherRoom) / slant, (t.Stack + ownRoom) / slant
}
