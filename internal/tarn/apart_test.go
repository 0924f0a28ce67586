package tarn

import (
	"math"
	"slices"
	"sync"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/space"
)

// pairs calls do for every two panels whose boxes come within a distance.
func (c *cab) pairs(within float64, do func(a, b string)) {
	for i, p := range c.parts {
		for _, q := range c.parts[i+1:] {
			if p.Sheet.Mesh.Box().Grow(within).Overlaps(q.Sheet.Mesh.Box()) {
				do(p.Panel.ID, q.Panel.ID)
			}
		}
	}
}

// TestNoPanelCrossesAnother tries every triangle of one panel against those of every other near it.
func TestNoPanelCrossesAnother(t *testing.T) {
	c := loadCab(t)
	c.pairs(0, func(a, b string) {
		m, tree := c.sheets[a].Mesh, c.trees[b]
		if len(m.Triangles) > len(c.sheets[b].Mesh.Triangles) {
			m, tree = c.sheets[b].Mesh, c.trees[a]
		}
		other := tree.Mesh()
		crossings := 0
		var at r3.Vector
		for i := range m.Triangles {
			var p, q [3]r3.Vector
			p[0], p[1], p[2] = m.Corners(i)
			box := space.EmptyBox().Add(p[0]).Add(p[1]).Add(p[2])
			tree.Overlapping(box, func(k int32) bool {
				q[0], q[1], q[2] = other.Corners(int(k))
				if sidesPass(p, q) || sidesPass(q, p) {
					crossings++
					at = p[0]
				}
				return true
			})
		}
		if crossings > 0 {
			t.Errorf("%s and %s cross at %d pairs of triangles, one near %v", a, b, crossings, at)
		}
	})
}

// sidesPass reports whether a side of p passes through q.
func sidesPass(p, q [3]r3.Vector) bool {
	n := q[1].Sub(q[0]).Cross(q[2].Sub(q[0]))
	for k := range 3 {
		a, b := p[k], p[(k+1)%3]
		da, db := n.Dot(a.Sub(q[0])), n.Dot(b.Sub(q[0]))
		if (da > 0) == (db > 0) {
			continue
		}
		x := a.Add(b.Sub(a).Mul(da / (da - db)))
		inside := true
		for e := range 3 {
			side := q[(e+1)%3].Sub(q[e])
			inside = inside && side.Cross(x.Sub(q[e])).Dot(n) >= 0
		}
		if inside {
			return true
		}
	}
	return false
}

// TestNoStrayFlanges looks for places where two panels come within 3 mm of each other and run parallel, and holds
// each against the true lines.
func TestNoStrayFlanges(t *testing.T) {
	const reach, parallel, beside = 3.0, 15.0, 3.0 // mm, degrees, mm beyond a strip's sides and ends
	c := loadCab(t)
	truth := Truth()
	c.pairs(reach, func(a, b string) {
		var lines []*curve.Line
		var half []float64
		for _, l := range truth {
			if slices.Contains(l.Panels, a) && slices.Contains(l.Panels, b) {
				lines = append(lines, curve.New(l.Points, l.Closed))
				half = append(half, l.Width/2)
			}
		}
		declared := func(p r3.Vector) bool {
			if a == "roof" && b == "roof-frame" || a == "roof-frame" && b == "roof" {
				if behindGutter(p) {
					return true
				}
			}
			for i, l := range lines {
				if _, d := l.Nearest(p); d <= half[i]+beside {
					return true
				}
			}
			return false
		}
		for _, way := range [][2]string{{a, b}, {b, a}} {
			m, tree := c.sheets[way[0]].Mesh, c.trees[way[1]]
			stray := 0
			var at r3.Vector
			for i := range m.Triangles {
				p, q, r := m.Corners(i)
				for _, x := range []r3.Vector{p.Add(q).Add(r).Mul(1.0 / 3), p.Add(q).Mul(0.5), q.Add(r).Mul(0.5), r.Add(p).Mul(0.5)} {
					hit, ok := tree.Closest(x, reach)
					if !ok {
						continue
					}
					angle := m.Normal(i).Angle(tree.Mesh().Normal(int(hit.Tri))).Degrees()
					if math.Min(angle, 180-angle) < parallel && !declared(x) {
						stray++
						at = x
					}
				}
			}
			if stray > 0 {
				t.Errorf("%s runs along %s at %d places outside their joints, one at %.0f", way[0], way[1], stray, at)
			}
		}
	})
}

// behindGutter says whether a place is on the gutter's inner walls, which lie on each other, or on the bends at their ends.
func behindGutter(p r3.Vector) bool {
	const bends = 3.0 // mm round which the sheets leave each other
	g := theGutter()
	s, _ := g.line.Nearest(p)
	f := g.frame(s)
	in, up := -p.Sub(f.at).Dot(f.across)-g.half, p.Sub(f.at).Dot(f.normal)
	return in > 0 && in < gutterBend+frameSheet+roofSheet+gutterBack && up > -bends && up < gutterBend+gutterWall+gutterBack+bends
}

// measuredSeam is a seam with its line measured.
type measuredSeam struct {
	*seam
	line *curve.Line
}

var theGutter = sync.OnceValue(func() measuredSeam {
	g := newLines().gutter
	var points []r3.Vector
	for s := 0.0; s < g.length(); s += 5 {
		points = append(points, g.point(s))
	}
	return measuredSeam{g, curve.New(points, true)}
})

// TestGutterWallsTouch wants the frame's wall to lie on the roof's all round, with the air that the seam has, so that the sheets are
// in contact round the bend at the foot.
func TestGutterWallsTouch(t *testing.T) {
	c := loadCab(t)
	g := newLines().gutter
	for s := 0.0; s < g.length(); s += 17 {
		f := g.frame(s)
		for _, up := range []float64{4, 7, 9} {
			at := f.at.Add(f.normal.Mul(up))
			roof, ok1 := c.trees["roof"].Ray(at, f.across.Mul(-1), 20)
			frame, ok2 := c.trees["roof-frame"].Ray(at, f.across.Mul(-1), 20)
			air := frame.Distance - roof.Distance - (roofSheet+frameSheet)/2
			if !ok1 || !ok2 || air < -0.05 || air > 0.2 {
				t.Fatalf("%.0f mm above the floor at %v: %.3f mm of air", up, f.at, air)
			}
		}
	}
}

// TestStripsKeepApart holds strips of different joints at least 5 mm apart where they share a panel, but for
// those that follow each other along one seam.
func TestStripsKeepApart(t *testing.T) {
	const apart = 5.0
	type strip struct {
		s      stretch
		points []r3.Vector
		box    space.Box
	}
	var strips []strip
	for _, s := range newLines().stretches() {
		s = s.whole()
		x := strip{s: s, box: space.EmptyBox()}
		for _, at := range s.seam.steps(s.from, s.to, 4, 0.05) {
			f := s.seam.frame(at)
			for _, d := range []float64{-1, -0.5, 0, 0.5, 1} {
				p := f.at.Add(f.across.Mul(d * s.seam.half))
				x.points, x.box = append(x.points, p), x.box.Add(p)
			}
		}
		strips = append(strips, x)
	}
	sameSeam := func(a, b stretch) bool {
		return a.seam.point(0) == b.seam.point(0) && a.seam.length() == b.seam.length()
	}
	for i, a := range strips {
		for _, b := range strips[i+1:] {
			shares := slices.ContainsFunc(a.s.panels, func(id string) bool { return slices.Contains(b.s.panels, id) })
			if !shares || sameSeam(a.s, b.s) || !a.box.Grow(apart).Overlaps(b.box) {
				continue
			}
			least := math.Inf(1)
			for _, p := range a.points {
				for _, q := range b.points {
					least = math.Min(least, p.Sub(q).Norm())
				}
			}
			if least < apart {
				t.Errorf("%s and %s come within %.1f mm", a.s.joint, b.s.joint, least)
			}
		}
	}
}
