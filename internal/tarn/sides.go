package tarn

import (
	"math"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/internal/tarn/swage"
)

// The side of the cab: an outer skin, an inner skin, a stiffener between them in the front pillar and the
// wheelhouse. All four are built for the left; the right ones are their mirror images.

// stood returns a strip with the usual bend: a flange whose sheet turns away from its mate.
func stood(m *seam, sheet layer, thickness, free, root, bend float64) *strip {
	return &strip{
		seam: m, sheet: sheet, thickness: thickness, free: free, root: root,
		rows: 3, bend: bend, radius: bendRadius, facets: int(math.Ceil(math.Abs(bend) / 22.5)), bridge: 4, pull: 0.9,
	}
}

// trayDepth is the height over its weld line at which a panel that stands off lands on its body.
const trayDepth = 30.0

// tray returns the strip of a panel that stands off its flange like the floor of a tray: the wall leans back, so that
// tip and arm pass beside it. side is 1 to turn towards the normal, -1 away from it.
func tray(m *seam, sheet layer, thickness, side float64) *strip {
	p := stood(m, sheet, thickness, m.half, m.half, 60*side)
	p.leg, p.bridge = 10, 4
	return p
}

// straight returns a strip whose sheet goes straight on into its body.
func straight(m *seam, sheet layer, thickness, free, root float64) *strip {
	return &strip{seam: m, sheet: sheet, thickness: thickness, free: free, root: root, rows: 3, bridge: 2, pull: 1}
}

// whole is a seam from end to end, cut the usual way.
func (m *seam) whole(step float64) stations { return stations{0, m.length(), step, 0.03} }

// The outer skin has a swage below the quarter window and another on the door's hinge side.
var outerSwages = []swage.Swage{swage.Straight(120, 742, 470, 742, 9, 20, 6), swage.Straight(1372, 250, 1372, 560, 14, 27, -5)}

// flareInner and flareOuter are the radii between which the flare round the wheel arch falls away.
const flareInner, flareOuter = archRadius + 58, archRadius + 112

// outerBody is the left skin.
func outerBody(x, z float64) r3.Vector {
	p := sideSkin(x, z)
	r := math.Hypot(x-archX, z-archZ)
	p.Y += swage.Pressed(outerSwages, x, z) + 12*swage.Ramp((flareOuter-r)/(flareOuter-flareInner))
	return p
}

func sideOuter(l *lines) (*mesh.Mesh, error) {
	b := newPress("side-outer-l")
	body := outerBody
	arch := outerFlat(l.arch, l.arch.half+36)
	arch.bridge = 4
	top := outerFlat(l.cantrail, l.cantrail.half+11)
	top.free = l.cantrail.half + 0.3
	rocker := hem()
	b.fill(body, outerFeatures(),
		b.outline(body,
			b.strip(rocker, rocker.seam.whole(11)),
			b.strip(arch, l.arch.whole(8)),
			corners(66, 164, 57, 166),
			b.strip(outerFlat(l.rearSide, 26), l.rearSide.whole(10)),
			corners(53, 795),
			b.strip(outerWrap(l.rearWindow, 44), l.rearWindow.whole(10)),
			backwards(b.strip(top, l.cantrail.whole(10))),
			backwards(b.strip(outerWrap(l.screen, -40), l.screen.whole(8))),
			corners(1349, 788),
			backwards(b.strip(outerFlat(l.scuttleEnd, 26), l.scuttleEnd.whole(8))),
			corners(1440, 690, 1448, 664),
			backwards(b.strip(outerFlat(l.frontSide, 28), l.frontSide.whole(10))),
			corners(1444, 150)),
		b.ring(outerOpening(l.door), 8.5, 0.03), b.ring(outerOpening(l.quarter), 9, 0.03))
	return b.done()
}

// outerFeatures are the places that the outer skin's mesh passes: its swages and rings round the arch's flare.
func outerFeatures() []r2.Point {
	features := swage.Contours(outerSwages, 11)
	for r := flareInner; r <= flareOuter; r += (flareOuter - flareInner) / 4 {
		for _, p := range arc(archX, archZ, r, 1, 179) {
			features = append(features, p.Point)
		}
	}
	return features
}

// outerOpening is the outer skin's flange round a door or window.
func outerOpening(m *seam) *strip {
	p := stood(m, last, outerSheet, m.half+1, m.half, 75)
	p.body = outerBody
	p.inset(fromSide, m.half+27)
	return p
}

// outerWrap goes from a window pillar's flange round its corner to the side, back mm along x from the flange.
func outerWrap(m *seam, back float64) *strip {
	p := stood(m, last, outerSheet, m.half+1, m.half, 54)
	p.bridge, p.pull, p.body = 8, 1.25, outerBody
	p.landing = func(f frame) landing { return landing{f.at.X + back, f.at.Z, math.Copysign(1, back), 0} }
	return p
}

// outerFlat is a flange that the outer skin runs out into without a bend.
func outerFlat(m *seam, reach float64) *strip {
	p := straight(m, last, outerSheet, m.half+1, m.half+1)
	p.body, p.bridge = outerBody, 3
	p.inset(fromSide, reach)
	return p
}

// hem is the edge along the foot of the outer skin, turned in for stiffness; nothing is welded to it.
func hem() *strip {
	m := &seam{
		course: newCourse(func(x float64) r3.Vector {
			return r3.Vector{X: x, Y: sideY(x, 106) - 16, Z: 102}
		}, 1438, 716, false),
		normal: constant(0, 0, 1), across: constant(0, -1, 0), half: flangeHalf,
	}
	p := stood(m, middle, outerSheet, 8, 8, 72)
	p.facets, p.radius, p.bridge, p.body = 4, 6, 2, outerBody
	p.landing = func(f frame) landing { return landing{f.at.X, f.at.Z + 24, 0, 1} }
	return p
}

var innerSwages = []swage.Swage{swage.Straight(150, 640, 520, 640, 12, 26, -7), swage.Straight(200, 540, 430, 540, 12, 26, -7)}

// innerBody is the skin on the cab's inside, boxDepth below the outer one, with two swages on the rear quarter.
func innerBody(x, z float64) r3.Vector {
	return r3.Vector{X: x, Y: sideY(x, z) - boxDepth + swage.Pressed(innerSwages, x, z), Z: z}
}

func sideInner(l *lines) (*mesh.Mesh, error) {
	b := newPress("side-inner-l")
	body := innerBody
	window := func(m *seam, step float64) []rim {
		p := stood(m, first, innerSheet, m.half, m.half+1, -72)
		p.body = body
		p.inset(fromSide, m.half+24)
		return b.ring(p, step, 0.03)
	}
	pillar := func(m *seam, back float64) *strip { // straight back along the cab's inside
		p := stood(m, first, innerSheet, m.half, m.half+0.5, -60)
		p.body, p.leg = body, 6
		p.landing = func(f frame) landing { return landing{f.at.X + back, f.at.Z, math.Copysign(1, back), 0} }
		return p
	}
	top := stood(l.cantrail, first, innerSheet, l.cantrail.half, l.cantrail.half+1, -72)
	top.body, top.bridge = body, 5
	top.inset(fromSide, l.cantrail.half+34)
	foot := stood(l.sillOuter, last, innerSheet, -l.sillOuter.half, l.sillOuter.half, 80)
	foot.body = body
	foot.landing = func(f frame) landing { return landing{f.at.X, floorHeight + 27, 0, 1} }
	b.fill(body, swage.Contours(innerSwages, 12),
		b.outline(body,
			backwards(b.strip(foot, l.sillOuter.whole(11))),
			corners(735, 177), arc(archX, archZ, 314, 7, 150), corners(80, 308, 80, 770),
			b.strip(pillar(l.rearWindow, 32), l.rearWindow.whole(11)),
			backwards(b.strip(top, l.cantrail.whole(11))),
			backwards(b.strip(pillar(l.screen, -32), l.screen.whole(7.5))),
			corners(1302, 790, 1312, 752, 1384, 640, 1402, 600, 1404, 200)),
		window(l.door, 8), window(l.quarter, 10))
	return b.done()
}

// pillarStiffener is a channel inside the front pillar: one flange in the door's flange, the other in the windscreen's.
func pillarStiffener(l *lines) (*mesh.Mesh, error) {
	b := newPress("pillar-stiffener-l")
	door := straight(l.door, middle, stiffenerSheet, l.door.half, l.door.half+0.5)
	screen := straight(l.screen, middle, stiffenerSheet, l.screen.half, l.screen.half+0.5)
	const count = 40
	var rows [][]int32
	for i := range count + 1 {
		t := float64(i) / count
		from, h := door.flangeAndBend(l.door.frame(l.doorStiff[0] + t*(l.doorStiff[1]-l.doorStiff[0])))
		to, g := screen.flangeAndBend(l.screen.frame(l.screenStiff[0] + t*(l.screenStiff[1]-l.screenStiff[0])))
		g.ahead = g.ahead.Mul(-1)
		points := append(from, bridge(h, g, 10, 1)...)
		for k := len(to) - 2; k >= 0; k-- {
			points = append(points, to[k])
		}
		rows = append(rows, b.row(points))
	}
	b.loft(rows, false)
	return b.done()
}

// wheelWall is the y of the wheelhouse's inner wall, wheelStand from the arch's weld line to the drum.
const wheelWall, wheelStand = 408.0, 24.0

func wheelhouse(l *lines) (*mesh.Mesh, error) {
	b := newPress("wheelhouse-l")
	const round = 24.0 // radius between drum and wall
	drum := archRadius + wheelStand
	swages := []swage.Swage{swage.Arc(archX, archZ+20, 165, 15, 165, 12, 26, -7)}
	wall := func(x, z float64) r3.Vector { return r3.Vector{X: x, Y: wheelWall + swage.Pressed(swages, x, z), Z: z} }
	lip := stood(l.arch, first, wheelhouseSheet, l.arch.half, l.arch.half, -60)
	lip.leg = 10
	var rows [][]int32
	var edge []rim
	for _, s := range l.arch.steps(0, l.arch.length(), 9, 0.03) {
		f := l.arch.frame(s)
		points, h := lip.flangeAndBend(f)
		out := f.across.Mul(-1)
		axle := r3.Vector{X: archX, Z: archZ}
		shoulder := head{axle.Add(out.Mul(drum)).Add(r3.Vector{Y: wheelWall + round}), r3.Vector{Y: -1}}
		points = append(points, bridge(h, shoulder, 5, 1)...)
		bend, end := turn(shoulder, f.across, round, 90, 4)
		row := b.row(append(points, bend...))
		rows = append(rows, row)
		edge = append(edge, rim{r2.Point{X: end.at.X, Y: end.at.Z}, row[len(row)-1]})
	}
	b.loft(rows, false)
	foot := tray(l.wheelFoot, last, wheelhouseSheet, 1)
	foot.body = wall
	foot.landing = func(f frame) landing { return landing{f.at.X, floorHeight + trayDepth, 0, 1} }
	b.fill(wall, swage.Contours(swages, 12), b.outline(wall, b.strip(foot, l.wheelFoot.whole(9)), edge))
	return b.done()
}

// otherHand is the mirror image of a left panel.
func otherHand(m *mesh.Mesh, id string) *mesh.Mesh {
	out := &mesh.Mesh{Name: id, Vertices: make([]r3.Vector, len(m.Vertices)), Triangles: make([][3]int32, len(m.Triangles))}
	for i, v := range m.Vertices {
		out.Vertices[i] = mirror(v)
	}
	for i, t := range m.Triangles {
		out.Triangles[i] = [3]int32{t[0], t[2], t[1]}
	}
	return out
}
