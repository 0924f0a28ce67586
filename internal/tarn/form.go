package tarn

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/internal/tarn/swage"
)

// The cab's frame: x forward, y to the left, z up, millimetres; the origin is on the ground below the middle of
// the rear edge. What follows are the smooth surfaces that the panels are cut from.

const (
	floorHeight = 150.0 // z of the floor's mid-surface
	boxDepth    = 58.0  // between the outer and the inner skin of a side

	frontRound = 4875.0 // mm, radius of the front in plan
	frontNose  = 1464.0 // x of the front panel at mid-width near its foot
	rearRound  = 5200.0
	rearTail   = 28.0 // x of the rear panel at mid-width

	archX, archZ, archRadius = 385.0, 150.0, 270.0 // weld line of the wheel arch, seen from the side

	gutterX, gutterLong, gutterWide, gutterCorner = 715.0, 660.0, 520.0, 150.0 // middle, half sizes and corner in plan
)

// sideY is the outer skin of the left side: it leans in towards the roof and is a little barrel-shaped in plan.
func sideY(x, z float64) float64 {
	up, along := z-620, (x-720)/760
	return 585 - 1.5e-4*up*up - 35*along*along
}

func sideSkin(x, z float64) r3.Vector { return r3.Vector{X: x, Y: sideY(x, z), Z: z} }

// sideNormal points out of the left side; it depends on x and z only.
func sideNormal(p r3.Vector) r3.Vector {
	return r3.Vector{X: 70 * (p.X - 720) / (760 * 760), Y: 1, Z: 3e-4 * (p.Z - 620)}.Normalize()
}

// sideInside is the place at a depth below the left skin.
func sideInside(x, z, depth float64) r3.Vector {
	p := sideSkin(x, z)
	return p.Sub(sideNormal(p).Mul(depth))
}

// roundDrop is how far a circle of the radius falls away at a distance from its crown.
func roundDrop(radius, y float64) float64 { return radius - math.Sqrt(radius*radius-y*y) }

// frontX is the front panel: round in plan, leaning back towards its top.
func frontX(y, z float64) float64 {
	return frontNose - frontLean(z) - roundDrop(frontRound, y)
}

func frontLean(z float64) float64 { return 12 * (z - 160) / 520 }

func frontNormal(y, z float64) r3.Vector {
	return r3.Vector{X: 1, Y: y / math.Sqrt(frontRound*frontRound-y*y), Z: 12.0 / 520}.Normalize()
}

// rearX is the rear panel, upright and round in plan.
func rearX(y float64) float64 { return rearTail + roundDrop(rearRound, y) }

// gutterZ is the height of the gutter's floor: a shallow double-curved dish turned over.
func gutterZ(x, y float64) float64 {
	u, v := (x-gutterX)/gutterLong, y/gutterWide
	return 1478 - 22*u*u - 8*v*v
}

func gutterNormal(p r3.Vector) r3.Vector {
	return r3.Vector{X: 44 * (p.X - gutterX) / (gutterLong * gutterLong), Y: 16 * p.Y / (gutterWide * gutterWide), Z: 1}.Normalize()
}

var roofSwages = []swage.Swage{
	swage.Straight(310, 235, 1120, 235, 22, 36, 6), swage.Straight(290, 0, 1140, 0, 22, 36, 6),
	swage.Straight(310, -235, 1120, -235, 22, 36, 6),
}

// crown is the roof, with its swages.
func crown(x, y float64) r3.Vector {
	u, v := (x-gutterX)/gutterLong, y/gutterWide
	return r3.Vector{X: x, Y: y, Z: 1592 - 58*u*u - 46*v*v + swage.Pressed(roofSwages, x, y)}
}
