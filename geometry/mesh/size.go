package mesh

import (
	"fmt"
	"math"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// The largest side of the box of a sheet panel lies between these (common practice, no source: from a
// small bracket to a whole body side).
const (
	leastPanel    = 20.0   // mm
	greatestPanel = 6000.0 // mm
)

// implausible says that a panel of this size (mm) is not likely in this unit, and which units would do.
func implausible(size r3.Vector, unit space.Unit) string {
	side := math.Max(size.X, math.Max(size.Y, size.Z))
	if side >= leastPanel && side <= greatestPanel {
		return ""
	}
	if unit == space.Unstated {
		unit = space.Millimetre
	}
	asked := fmt.Sprintf("largest side %.4g mm with the unit %s: not likely for a sheet panel", side, unit)
	var fits []string
	for _, other := range []space.Unit{space.Millimetre, space.Centimetre, space.Metre, space.Inch, space.Foot} {
		would := side / unit.Millimetres() * other.Millimetres()
		if would >= leastPanel && would <= greatestPanel {
			fits = append(fits, fmt.Sprintf("%s (%.4g mm)", other, would))
		}
	}
	switch last := len(fits) - 1; {
	case last < 0:
		return asked + "; no unit makes it plausible, look at the file"
	case last == 0:
		return fmt.Sprintf("%s; plausible in %s", asked, fits[0])
	default:
		return fmt.Sprintf("%s; plausible in %s or %s", asked, strings.Join(fits[:last], ", "), fits[last])
	}
}
