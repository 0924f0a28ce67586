package drawing

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/dxf"
	"seamwright/geometry/segment"
)

// frameOf returns the map from the entity's own coordinate system to the world.
func frameOf(r dxf.Record) (segment.Affine, error) {
	n, ok, err := r.Point(extrusionCode)
	if err != nil || !ok {
		return segment.Scaling(1), err
	}
	return objectFrame(n), nil
}

// objectFrame returns the map from the object coordinate system of an entity with the extrusion direction
// given to the world: the arbitrary axis algorithm (DXF reference, "Arbitrary axis algorithm"; from memory).
// A zero direction counts as (0,0,1).
func objectFrame(extrusion r3.Vector) segment.Affine {
	const shortest = 1e-9 // a direction that is not zero by intent has a length of about 1
	length := extrusion.Norm()
	if length < shortest || (extrusion.X == 0 && extrusion.Y == 0 && extrusion.Z > 0) {
		return segment.Scaling(1)
	}
	n := extrusion.Mul(1 / length)
	const nearPole = 1.0 / 64
	aside := r3.Vector{Z: 1}
	if math.Abs(n.X) < nearPole && math.Abs(n.Y) < nearPole {
		aside = r3.Vector{Y: 1}
	}
	x := aside.Cross(n).Normalize()
	return segment.Affine{X: x, Y: n.Cross(x).Normalize(), Z: n}
}

// Group codes that have the same meaning in every entity.
const (
	layerCode     = 8
	hiddenCode    = 60
	paperCode     = 67
	flagsCode     = 70
	extrusionCode = 210
)
