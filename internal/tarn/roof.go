package tarn

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/internal/tarn/swage"
)

// The gutter is a channel all round: the roof's wall stands on its inside, with the frame's wall behind it, the frame's lip on its
// outside. The two walls and the bends below them lie on each other, so that the sheets are in contact round a bend, and only the
// foot of the roof is a flange. Between roof and lip 13 mm are clear, too little for a tip with a 16 mm shank.
const (
	gutterBend = 1.15 // mid-surface radius of the channel's bends
	gutterLip  = 11.0 // mm above the bend
	gutterPlay = 0.2  // mm from the roof's edge to the bend of the lip
	gutterWall = 8.0  // mm of the frame's wall behind the roof's
	gutterBack = 2.5  // mid-surface radius of the bend from there to the shelf
)

func roof(l *lines) (*mesh.Mesh, error) {
	b := newPress("roof")
	p := stood(l.gutter, last, roofSheet, l.gutter.half, l.gutter.half, 90)
	p.radius, p.leg, p.bridge, p.pull, p.body = gutterBend, 15, 8, 1.1, crown
	p.inset(fromAbove, 74)
	b.fill(crown, swage.Contours(roofSwages, 14), b.outline(crown, b.ring(p, 11, 0.03)))
	return b.done()
}

// roofFrame is the ring under the roof: lip, gutter floor, a wall behind the roof's, a shelf and a skirt that the
// sides are welded to and that frames the windscreen and the rear window from above.
func roofFrame(l *lines) (*mesh.Mesh, error) {
	b := newPress("roof-frame")
	at := l.gutter.steps(0, l.gutter.length(), 10, 0.03)
	var rows [][]int32
	for _, s := range at[:len(at)-1] {
		rows = append(rows, b.row(frameSection(l, l.gutter.frame(s))))
	}
	b.loft(rows, true)
	return b.done()
}

func frameSection(l *lines, f frame) []r3.Vector {
	g := l.gutter
	floor := f.at.Add(f.normal.Mul(g.offset(first, frameSheet, f.s)))
	toe := head{floor.Add(f.across.Mul(g.half + gutterPlay)), f.across}
	bend, end := turn(toe, f.normal, gutterBend, 86, 4)
	points := []r3.Vector{end.at.Add(end.ahead.Mul(gutterLip)), end.at.Add(end.ahead.Mul(gutterLip / 2))}
	for k := len(bend) - 1; k >= 0; k-- {
		points = append(points, bend[k])
	}
	for _, d := range []float64{g.half + gutterPlay, g.half / 3, -g.half / 3, -g.half} {
		points = append(points, floor.Add(f.across.Mul(d)))
	}
	apart := g.offset(last, roofSheet, f.s) - g.offset(first, frameSheet, f.s) // of the mid-surfaces, round the bend too
	foot, wall := turn(head{points[len(points)-1], f.across.Mul(-1)}, f.normal, gutterBend+apart, 90, 4)
	points = append(points, foot...)
	for k := 1; k <= 2; k++ {
		points = append(points, wall.at.Add(wall.ahead.Mul(gutterWall*float64(k)/2)))
	}
	back, shelf := turn(head{points[len(points)-1], wall.ahead}, f.across.Mul(-1), gutterBack, 90, 4)
	points = append(points, back...)
	shelf.at = shelf.at.Add(shelf.ahead.Mul(10))
	points = append(points, shelf.at)
	skirt, depth := frameSkirt(l, f)
	points = append(points, bridge(shelf, skirt, 6, 0.6)...)
	for k := 1; k <= 3; k++ {
		points = append(points, skirt.at.Add(skirt.ahead.Mul(depth*float64(k)/3)))
	}
	return points
}

// frameSkirt is where the skirt's flat part begins, which way it runs and how deep it is: the sides' flange along
// the cantrails, a short lip round the corners, a deeper one over the windows.
func frameSkirt(l *lines, f frame) (head, float64) {
	const lead, fade = 4.0, 45.0
	x0, x1 := l.cantrail.point(l.cantrail.length()).X, l.cantrail.point(0).X
	short := head{f.at.Add(f.across.Mul(-36)).Add(f.normal.Mul(-14)), f.normal.Mul(-1)}
	depth := 5.0
	if beside := math.Abs(f.at.Y) - 300; beside < 0 { // over the windows
		depth += 26 * swage.Ramp(-beside/60)
	}
	beyond := math.Max(x0-lead-f.at.X, f.at.X-x1-lead)
	if beyond > fade || math.Abs(f.at.Y) < gutterWide-gutterCorner {
		return short, depth
	}
	m := l.cantrail
	if f.at.Y < 0 {
		m = m.mirrored()
	}
	c := m.frame((x1 - f.at.X) / (x1 - x0) * m.length())
	full := head{c.at.Add(c.across.Mul(m.half + 1)), c.across.Mul(-1)}
	w := swage.Ramp(beyond / fade)
	return head{full.at.Mul(1 - w).Add(short.at.Mul(w)), full.ahead.Mul(1 - w).Add(short.ahead.Mul(w)).Normalize()},
		(2*l.cantrail.half+1)*(1-w) + depth*w
}
