package swage

import "math"

// Corner is one corner of a rounded polygon in a plane: x, y and the radius of its arc, mm.
type Corner [3]float64

// piece is a straight side (radius 0) or a round corner of a plane outline.
type piece struct {
	length       float64
	x, y, dx, dy float64 // start and direction there
	radius, turn float64 // turn in radians, positive to the left
}

func (p piece) at(t float64) (x, y float64) {
	if p.radius == 0 {
		return p.x + p.dx*t, p.y + p.dy*t
	}
	sin, cos := math.Sincos(t / p.radius)
	ahead, aside := p.radius*sin, math.Copysign(p.radius*(1-cos), p.turn)
	return p.x + p.dx*ahead - p.dy*aside, p.y + p.dy*ahead + p.dx*aside
}

func straightPiece(x0, y0, x1, y1 float64) piece {
	l := math.Hypot(x1-x0, y1-y0)
	return piece{length: l, x: x0, y: y0, dx: (x1 - x0) / l, dy: (y1 - y0) / l}
}

// cornerPiece is the arc at corner b between a and c.
func cornerPiece(a, b, c Corner) piece {
	x, y, radius := b[0], b[1], b[2]
	in := straightPiece(a[0], a[1], x, y)
	turn := math.Remainder(math.Atan2(c[1]-y, c[0]-x)-math.Atan2(in.dy, in.dx), 2*math.Pi)
	cut := radius * math.Tan(math.Abs(turn)/2)
	return piece{
		length: radius * math.Abs(turn), x: x - cut*in.dx, y: y - cut*in.dy, dx: in.dx, dy: in.dy,
		radius: radius, turn: turn,
	}
}

// Rounded returns the outline of a polygon with rounded corners, walked in the order of its corners by length
// from the middle of its last side, and its whole length. Beyond the length it starts again. The corners' arcs must
// have room on the sides, and radii are above zero.
func Rounded(corners []Corner) (at func(t float64) (x, y float64), length float64) {
	n := len(corners)
	x0, y0 := (corners[n-1][0]+corners[0][0])/2, (corners[n-1][1]+corners[0][1])/2
	var pieces []piece
	x, y := x0, y0
	for i, b := range corners {
		arc := cornerPiece(corners[(i+n-1)%n], b, corners[(i+1)%n])
		pieces = append(pieces, straightPiece(x, y, arc.x, arc.y), arc)
		x, y = arc.at(arc.length)
	}
	pieces = append(pieces, straightPiece(x, y, x0, y0))
	for _, p := range pieces {
		length += p.length
	}
	return func(t float64) (float64, float64) {
		t = math.Mod(t, length)
		if t < 0 {
			t += length
		}
		i := 0
		for ; i < len(pieces)-1 && t > pieces[i].length; i++ {
			t -= pieces[i].length
		}
		return pieces[i].at(t)
	}, length
}
