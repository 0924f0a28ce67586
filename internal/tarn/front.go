package tarn

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/internal/tarn/swage"
)

// frontSwages are the arch where the bonnet meets the panel, and a bead on either side below the lamps.
var frontSwages = []swage.Swage{
	{Path: bonnetArch(), Crest: 9, Foot: 20, Height: 8},
	swage.Straight(310, 260, 450, 260, 12, 25, -5), swage.Straight(-310, 260, -450, 260, 12, 25, -5),
}

// bonnetArch is a half ellipse on two short legs.
func bonnetArch() []r2.Point {
	path := []r2.Point{{X: 190, Y: 225}}
	for a := 0.0; a <= 180; a += 5 {
		sin, cos := math.Sincos(a * math.Pi / 180)
		path = append(path, r2.Point{X: 190 * cos, Y: 310 + 200*sin})
	}
	return append(path, r2.Point{X: -190, Y: 225})
}

// frontBody is the front panel's skin, round in plan.
func frontBody(y, z float64) r3.Vector {
	return r3.Vector{X: frontX(y, z) + swage.Pressed(frontSwages, y, z), Y: y, Z: z}
}

func frontPanel(l *lines) (*mesh.Mesh, error) {
	b := newPress("front-panel")
	body := frontBody
	edge := func(m *seam, sheet layer, side float64, landing func(f frame) landing) *strip {
		p := tray(m, sheet, frontSheet, side)
		p.body, p.landing = body, landing
		return p
	}
	sides := func(m *seam) *strip {
		return edge(m, first, -1, func(f frame) landing {
			in := -math.Copysign(1, f.at.Y)
			return landing{f.at.Y + trayDepth*in, f.at.Z, in, 0}
		})
	}
	foot := edge(l.frontFoot, last, 1, func(f frame) landing { return landing{f.at.Y, f.at.Z + trayDepth, 0, 1} })
	top := edge(l.scuttleFront, first, -1, func(f frame) landing { return landing{f.at.Y, f.at.Z - trayDepth, 0, -1} })
	left, right := sides(l.frontSide), sides(l.frontSide.mirrored())
	b.fill(body, swage.Contours(frontSwages, 11),
		b.outline(body,
			b.strip(foot, l.frontFoot.whole(11)),
			b.strip(left, l.frontSide.whole(11)),
			backwards(b.strip(top, l.scuttleFront.whole(11))),
			backwards(b.strip(right, l.frontSide.whole(11)))),
		lampSeat(b, l.lamp), lampSeat(b, l.lamp.mirrored()))
	return b.done()
}

// lampSeat is the recess that a lamp bucket's flange lies behind: its free edge is the hole.
func lampSeat(b *press, m *seam) []rim {
	p := stood(m, last, frontSheet, -m.half-1.5, m.half+1, 60)
	p.radius, p.body, p.pull = 3.5, frontBody, 1
	p.inset(fromFront, m.half+30)
	return b.ring(p, 6, 0.03)
}

// lampBucket is the left lamp's cup.
func lampBucket(l *lines) (*mesh.Mesh, error) {
	b := newPress("lamp-bucket-l")
	p := stood(l.lamp, first, lampSheet, l.lamp.half, l.lamp.half, -84)
	p.radius, p.leg = 3.5, 8
	at := l.lamp.steps(0, l.lamp.length(), 5.5, 0.03)
	at = at[:len(at)-1]
	axis := l.lamp.frame(0).normal
	hub := r3.Vector{}
	for _, s := range at {
		hub = hub.Add(l.lamp.point(s).Mul(1 / float64(len(at))))
	}
	var rows [][]int32
	for _, s := range at {
		f := l.lamp.frame(s)
		points, h := p.flangeAndBend(f)
		cable := head{hub.Add(f.across.Mul(16)).Sub(axis.Mul(92)), f.across.Mul(-1)}
		rows = append(rows, b.row(append(points, bridge(h, cable, 12, 1.1)...)))
	}
	b.loft(rows, true)
	return b.done()
}

func scuttlePanel(l *lines) (*mesh.Mesh, error) {
	b := newPress("scuttle")
	var vents []swage.Swage
	for _, y := range []float64{-300, -240, -180, -120, 120, 180, 240, 300} {
		vents = append(vents, swage.Straight(52, y, 92, y, 5, 12, 6))
	}
	body := func(p, y float64) r3.Vector {
		return scuttle(p, y).Add(scuttleNormal.Mul(swage.Pressed(vents, p, y)))
	}
	front := stood(l.scuttleFront, last, scuttleSheet, l.scuttleFront.half+1, l.scuttleFront.half, 40)
	front.body, front.bridge = body, 2
	front.landing = func(f frame) landing { return landing{16, f.at.Y, 1, 0} }
	end := func(m *seam) *strip {
		p := tray(m, first, scuttleSheet, -1)
		p.body = body
		p.landing = func(f frame) landing {
			in := -math.Copysign(1, f.at.Y)
			up := (f.at.Z - scuttleFoot - 9 - pinchStand*scuttleNormal.Z) / 0.731
			return landing{up, f.at.Y + trayDepth*in, 0, in}
		}
		return p
	}
	left, right := end(l.scuttleEnd), end(l.scuttleEnd.mirrored())
	lip := screenLip()
	lip.body = body
	lip.landing = func(f frame) landing { return landing{128, f.at.Y, -1, 0} }
	b.fill(body, swage.Contours(vents, 7), b.outline(body,
		b.strip(front, l.scuttleFront.whole(10)),
		b.strip(left, l.scuttleEnd.whole(9)), corners(127, 500),
		backwards(b.strip(lip, lip.seam.whole(11))), corners(127, -500),
		backwards(b.strip(right, l.scuttleEnd.whole(9)))))
	return b.done()
}

// screenLip is the edge that the windscreen's rubber grips; nothing is welded to it.
func screenLip() *strip {
	m := &seam{
		course: newCourse(func(y float64) r3.Vector {
			return scuttle(128, y).Add(r3.Vector{X: -16, Z: 24})
		}, -446, 446, false),
		normal: constant(1, 0, 0.1), across: constant(0, 0, 1), half: flangeHalf,
	}
	p := stood(m, middle, scuttleSheet, 8, 8, 36)
	p.facets, p.bridge = 2, 3
	return p
}
