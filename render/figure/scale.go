package figure

import (
	"fmt"
	"math"
	"slices"
)

// Scale is the denominator of a drawing scale: 10 for 1:10, 0.5 for 2:1.
type Scale float64

// scales are the recommended ones of ISO 5455:1979 (from memory), largest first. Enlargement beyond 2:1
// shows nothing more on a sheet panel.
var scales = []Scale{0.5, 1, 2, 5, 10, 20, 50, 100, 200, 500, 1000}

// between are scales between the recommended ones, for sheets that would be half empty: the standard lets them pass as
// exceptions (from memory). Largest first, the recommended ones among them.
var between = []Scale{0.5, 1, 1.5, 2, 2.5, 3, 4, 5, 6, 7.5, 10, 12.5, 15, 20, 25, 30, 40, 50, 75, 100, 150, 200, 500, 1000}

// Scales are the recommended scales, largest first.
func Scales() []Scale { return slices.Clone(scales) }

// FineScales are the recommended scales and those between them, largest first.
func FineScales() []Scale { return slices.Clone(between) }

// String writes the scale as on drawings.
func (s Scale) String() string {
	if s < 1 {
		return fmt.Sprintf("%g:1", 1/float64(s))
	}
	return fmt.Sprintf("1:%g", float64(s))
}

// Bar is a round length in mm of the shell whose bar is 25 to 62.5 mm long on paper.
func (s Scale) Bar() float64 {
	length := 25 * float64(s)
	unit := math.Pow(10, math.Floor(math.Log10(length)))
	for _, k := range []float64{1, 2, 5, 10} {
		if k*unit >= length-1e-9 {
			return k * unit
		}
	}
	return 10 * unit
}
