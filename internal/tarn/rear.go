package tarn

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/internal/tarn/swage"
)

// rearSwages frame the field of the coupling plate; upright beads stand on either side.
var rearSwages = []swage.Swage{
	swage.Frame(0, 420, 250, 150, 50, 9, 21, -8),
	swage.Straight(370, 290, 370, 560, 13, 26, -7), swage.Straight(-370, 290, -370, 560, 13, 26, -7),
}

// rearBody is the rear panel's skin.
func rearBody(y, z float64) r3.Vector {
	return r3.Vector{X: rearX(y) + swage.Pressed(rearSwages, y, z), Y: y, Z: z}
}

func rearPanel(l *lines) (*mesh.Mesh, error) {
	b := newPress("rear-panel")
	body := rearBody
	foot := tray(l.rearFoot, last, rearSheet, 1)
	foot.body = body
	foot.landing = func(f frame) landing { return landing{f.at.Y, f.at.Z + trayDepth, 0, 1} }
	side := func(m *seam) *strip {
		p := tray(m, first, rearSheet, -1)
		p.body = body
		p.landing = func(f frame) landing {
			in := -math.Copysign(1, f.at.Y)
			return landing{f.at.Y + trayDepth*in, f.at.Z, in, 0}
		}
		return p
	}
	top := straight(l.railTop, first, rearSheet, l.railTop.half+1, l.railTop.half+1)
	top.body = body
	top.inset(fromFront, l.railTop.half+12)
	left, right := side(l.rearSide), side(l.rearSide.mirrored())
	b.fill(body, swage.Contours(rearSwages, 12), b.outline(body,
		b.strip(foot, l.rearFoot.whole(10)), corners(470, 182),
		b.strip(left, l.rearSide.whole(10)),
		corners(518, 786, 500, 797, 480, 774), backwards(b.strip(top, l.railTop.whole(11))), corners(-480, 774, -500, 797, -518, 786),
		backwards(b.strip(right, l.rearSide.whole(10))), corners(-470, 182)))
	return b.done()
}

// rearRail is a hat section behind the rear window's lower edge.
func rearRail(l *lines) (*mesh.Mesh, error) {
	top := stood(l.railTop, last, railSheet, l.railTop.half, l.railTop.half, 72)
	bottom := stood(l.railBottom, last, railSheet, l.railBottom.half, l.railBottom.half, 72)
	return hat("rear-rail", top, bottom, 26, 10)
}

// hat is a channel between two seams of the same length: flange, wall, bottom, wall, flange.
func hat(id string, a, b *strip, wall, step float64) (*mesh.Mesh, error) {
	press := newPress(id)
	at := a.seam.steps(0, a.seam.length(), step, 0.03)
	var rows [][]int32
	for _, s := range at {
		from, h := a.flangeAndBend(a.seam.frame(s))
		to, g := b.flangeAndBend(b.seam.frame(s * b.seam.length() / a.seam.length()))
		points := append(from, channel(h, g, wall)...)
		for k := len(to) - 1; k >= 0; k-- {
			points = append(points, to[k])
		}
		rows = append(rows, press.row(points))
	}
	press.loft(rows, false)
	return press.done()
}

// channel goes from one head along its wall, round to the bottom and to the other head, both ends left out.
func channel(a, b head, wall float64) []r3.Vector {
	const round, facets = 6.0, 3
	p, q := a.at.Add(a.ahead.Mul(wall)), b.at.Add(b.ahead.Mul(wall))
	bottom := q.Sub(p).Normalize()
	points := fillet(p, a.ahead, bottom, round, facets)
	points = append(points, p.Add(q).Mul(0.5))
	return append(points, fillet(q, bottom, b.ahead.Mul(-1), round, facets)...)
}

// fillet rounds the corner at p between two directions of travel.
func fillet(p, in, out r3.Vector, radius float64, facets int) []r3.Vector {
	angle := in.Angle(out).Radians()
	side := out.Sub(in.Mul(in.Dot(out))).Normalize()
	start := head{p.Sub(in.Mul(radius * math.Tan(angle/2))), in}
	arc, _ := turn(start, side, radius, angle*180/math.Pi, facets)
	return append([]r3.Vector{start.at}, arc...)
}
