package kit

import (
	"math"

	"github.com/golang/geo/r3"
)

// Scattered is places in space, by cells.
type Scattered struct {
	side  float64   // mm
	cells EdgeTable // of each cell with places: the last of them + 1; 0 for one beside such a cell
	next  []int32   // of each place: the one before in its cell + 1
	at    []r3.Vector
}

// NewScattered is for places that are asked about within a side of a cell, mm, at most.
func NewScattered(side float64) *Scattered { return &Scattered{side: side} }

// cell is the cell that holds a place.
func (o *Scattered) cell(p r3.Vector) (x, y, z int32) {
	return int32(math.Floor(p.X / o.side)), int32(math.Floor(p.Y / o.side)), int32(math.Floor(p.Z / o.side))
}

// cellName is never zero. Cells far from each other may share one: what lies in them is told by its distance.
func cellName(x, y, z int32) uint64 {
	const bits, mask = 21, 1<<21 - 1
	return 1<<63 | uint64(x&mask)<<(2*bits) | uint64(y&mask)<<bits | uint64(z&mask)
}

// around calls do with the names of a cell and those beside it, until it says false.
func around(x, y, z int32, do func(name uint64) bool) {
	for i := x - 1; i <= x+1; i++ {
		for j := y - 1; j <= y+1; j++ {
			for k := z - 1; k <= z+1; k++ {
				if !do(cellName(i, j, k)) {
					return
				}
			}
		}
	}
}

// Add numbers one more place.
func (o *Scattered) Add(p r3.Vector) {
	x, y, z := o.cell(p)
	if last, known := o.cells.At(cellName(x, y, z)); !known || *last == 0 {
		around(x, y, z, func(name uint64) bool {
			o.cells.At(name)
			return true
		})
	}
	last, _ := o.cells.At(cellName(x, y, z))
	o.next, o.at = append(o.next, *last), append(o.at, p)
	*last = int32(len(o.at))
}

// At is a place by its number.
func (o *Scattered) At(i int32) r3.Vector { return o.at[i] }

// Beside says whether a place lies in a cell with places or beside one: none lies within a side of a cell of any other.
func (o *Scattered) Beside(p r3.Vector) bool {
	_, known := o.cells.Get(cellName(o.cell(p)))
	return known
}

// AnyWithin says whether one of the places that counts lies within a distance, at most a cell's side. Each is asked about once.
func (o *Scattered) AnyWithin(p r3.Vector, distance float64, counts func(i int32) bool) (found bool) {
	x, y, z := o.cell(p)
	if _, known := o.cells.Get(cellName(x, y, z)); !known {
		return false
	}
	around(x, y, z, func(name uint64) bool {
		last, _ := o.cells.Get(name)
		for ; last > 0 && !found; last = o.next[last-1] {
			found = o.at[last-1].Sub(p).Norm2() <= distance*distance && counts(last-1)
		}
		return !found
	})
	return found
}
