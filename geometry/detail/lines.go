package detail

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/region"
	"seamwright/geometry/space"
	"seamwright/geometry/surface"
)

// Lines is feature lines in pieces that are no longer than region.Fine.
type Lines struct {
	pieces  []piece
	tooMany bool
}

type piece struct {
	*surface.FeatureLine
	at    r3.Vector // its middle
	along r3.Vector // unit
}

// mostPieces bounds the memory: a sheet of 5 by 5 m full of holes has fewer.
const mostPieces = 1 << 20

// Add takes the pieces of a line whose middles lie in a box, and are asked for.
func (l *Lines) Add(line *surface.FeatureLine, in space.Box, wanted func(at r3.Vector) bool) {
	way := line.To.Sub(line.From)
	length := way.Norm()
	from, to := clip(line.From, way, in)
	if !(length > 0) || !(from <= to) {
		return
	}
	n := math.Ceil(length / region.Fine)
	first, last := max(0, math.Floor(from*n)-1), min(n-1, math.Ceil(to*n)+1)
	if l.tooMany = l.tooMany || !(last-first < mostPieces) || len(l.pieces) > mostPieces; l.tooMany {
		return
	}
	for i := first; i <= last; i++ {
		if at := line.From.Add(way.Mul((i + 0.5) / n)); wanted(at) {
			l.pieces = append(l.pieces, piece{line, at, way.Mul(1 / length)})
		}
	}
}

// clip is the part of a way that lies within a box, as fractions of it; from is above to where none does.
func clip(start, way r3.Vector, b space.Box) (from, to float64) {
	to = 1
	for _, s := range [3][4]float64{
		{start.X, way.X, b.Min.X, b.Max.X}, {start.Y, way.Y, b.Min.Y, b.Max.Y}, {start.Z, way.Z, b.Min.Z, b.Max.Z},
	} {
		if s[1] == 0 {
			if s[0] < s[2] || s[0] > s[3] {
				return 1, 0
			}
			continue
		}
		enter, leave := (s[2]-s[0])/s[1], (s[3]-s[0])/s[1]
		from, to = max(from, min(enter, leave)), min(to, max(enter, leave))
	}
	return from, to
}

// Box is the box of the pieces' middles.
func (l *Lines) Box() space.Box {
	out := space.EmptyBox()
	for i := range l.pieces {
		out.Hold(l.pieces[i].at)
	}
	return out
}
