package tour

import (
	"math"

	"github.com/golang/geo/r3"
)

// end is where a group begins or ends: its place and the axis of the weld there.
type end struct {
	at, axis r3.Vector
	length   float64 // of the axis
}

func endAt(at, axis r3.Vector) end { return end{at, axis, axis.Norm()} }

// What asks for another posture. Common practice, no source: a gun turned by so much is gripped anew, and between welds so
// far apart in height one kneels or rises.
const (
	PostureAngle = 30.0  // degrees between the axes of two welds, whichever way they point
	PostureRise  = 400.0 // mm

	postureCosine = 0.8660254037844387 - 1e-5 // of PostureAngle, and a thousandth of a degree
)

// AnotherPosture says whether a weld asks for another posture than the one before it, by their places and their axes, of any length. One
// without an axis, such as a roller seam, asks for none.
func AnotherPosture(before, axisBefore, after, axisAfter r3.Vector) bool {
	from, to := endAt(before, axisBefore), endAt(after, axisAfter)
	return from.anotherPosture(&to)
}

func (e *end) anotherPosture(next *end) bool {
	both := e.length * next.length
	if both == 0 {
		return false
	}
	return math.Abs(next.at.Z-e.at.Z) > PostureRise+Alike || math.Abs(e.axis.Dot(next.axis)) < postureCosine*both
}
