package planner

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
)

// onBlank is how far a weld line may pass above or below a drawn keep-out that it counts for, mm: the sheets
// of a stack.
const onBlank = 10.0

// sphere is a place that welds keep out of.
type sphere struct {
	center r3.Vector
	radius float64
}

// drawnKeepOuts turns a flat closed path into the balls that hold just the stretches of the weld line within
// it: a long keep-out along a flange must not blot out more of the line than it covers.
func drawnKeepOuts(f flange.Flange, path []r3.Vector) []sphere {
	if len(path) < 3 {
		return nil
	}
	axis := areaVector(path)
	if axis.Norm() == 0 {
		return nil
	}
	axis = axis.Normalize()
	var out []sphere
	var inside []r3.Vector
	flush := func() {
		if len(inside) > 0 {
			first, last := inside[0], inside[len(inside)-1]
			out = append(out, sphere{first.Add(last).Mul(0.5), max(first.Sub(last).Norm()/2, spacing(f))})
		}
		inside = nil
	}
	for _, s := range f.Line {
		if math.Abs(s.Point.Sub(path[0]).Dot(axis)) <= onBlank && within(s.Point, path, axis) {
			inside = append(inside, s.Point)
		} else {
			flush()
		}
	}
	flush()
	return out
}

// spacing is the distance between two stations of the line.
func spacing(f flange.Flange) float64 {
	if len(f.Line) < 2 {
		return 0
	}
	return f.Line[1].S - f.Line[0].S
}

func areaVector(path []r3.Vector) r3.Vector {
	sum := r3.Vector{}
	for i := 1; i+1 < len(path); i++ {
		sum = sum.Add(path[i].Sub(path[0]).Cross(path[i+1].Sub(path[0])))
	}
	return sum
}

// within says whether p lies inside the path, seen along the axis: it turns round p an odd number of times.
func within(p r3.Vector, path []r3.Vector, axis r3.Vector) bool {
	u := axis.Ortho()
	v := axis.Cross(u)
	inside := false
	for i := range path {
		a, b := path[i].Sub(p), path[(i+1)%len(path)].Sub(p)
		ya, yb := a.Dot(v), b.Dot(v)
		if (ya > 0) == (yb > 0) {
			continue
		}
		xa, xb := a.Dot(u), b.Dot(u)
		if xa+float64((xb-xa)*ya/(ya-yb)) > 0 {
			inside = !inside
		}
	}
	return inside
}
