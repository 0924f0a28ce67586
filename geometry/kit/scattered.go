package kit

import (
	"math"

	"github.com/golang/geo/r3"
)

// Scattered is places in space, by cells.
type Scattered struct {
	side  float64 // mm
	cells map[[3]int32][]int32
	at    []r3.Vector
}

// NewScattered is for places that are asked about within a side of a cell, mm, at most.
func NewScattered(side float64) *Scattered {
	return &Scattered{side: side, cells: map[[3]int32][]int32{}}
}

// Cell is the cell that holds a place.
func (o *Scattered) Cell(p r3.Vector) [3]int32 {
	return [3]int32{int32(math.Floor(p.X / o.side)), int32(math.Floor(p.Y / o.side)), int32(math.Floor(p.Z / o.side))}
}

// Add numbers one more place.
func (o *Scattered) Add(p r3.Vector) {
	c := o.Cell(p)
	o.cells[c] = append(o.cells[c], int32(len(o.at)))
	o.at = append(o.at, p)
}

// AnyWithin says whether one of the places that counts lies within a distance, at most a cell's side.
func (o *Scattered) AnyWithin(p r3.Vector, distance float64, counts func(i int32) bool) bool {
	c := o.Cell(p)
	for x := c[0] - 1; x <= c[0]+1; x++ {
		for y := c[1] - 1; y <= c[1]+1; y++ {
			for z := c[2] - 1; z <= c[2]+1; z++ {
				for _, i := range o.cells[[3]int32{x, y, z}] {
					if o.at[i].Sub(p).Norm2() <= distance*distance && counts(i) {
						return true
					}
				}
			}
		}
	}
	return false
}
