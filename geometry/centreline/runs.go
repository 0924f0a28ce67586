package centreline

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/medial"
	"seamwright/geometry/near"
	"seamwright/geometry/region"
)

// Lines are the lines through a region and what was found on the way.
type Lines struct {
	Runs  []*Line
	Holes []region.Hole
	Width float64 // mm, rough
	Ring  bool    // it is a small ring
	plain Line    // of which they were made
	rest  [][]int32
}

// Straight are instead of lines that came to nothing, as in a region that is not much longer than wide, the one straight through the
// middle of the least rectangle about the region, if the region fills that.
func (l *Lines) Straight() (Lines, bool) {
	out := *l
	box, ok := medial.LongBox(l.plain.r, l.rest, l.plain.middle)
	if !ok || len(l.rest) != 1 {
		return out, false
	}
	one, ok := l.plain.through(box)
	if !ok {
		return out, false
	}
	one.Sections, one.Share = one.run(), l.plain.r.Area()
	out.Runs = []*Line{one}
	return out, true
}

// IsSide says whether what looks like a notch of a strip is a side of a ring between its corners: of a small one, or beside a corner.
func (l *Lines) IsSide(n Notch, widest float64) bool {
	beside := func(p r3.Vector) bool { return p.Sub(n.Center).Norm() < l.Width }
	return n.Depth > (1-1/medial.RingEven)*widest &&
		(l.Ring || slices.ContainsFunc(l.Runs, func(c *Line) bool { return slices.ContainsFunc(c.ringCorners, beside) }))
}

// Lay closes the holes of a region that its lines run straight over, and lays the lines. loops are its border.
func Lay(r *region.Region, loops [][]int32, step float64) Lines {
	out := Lines{}
	var rest [][]int32
	out.Holes, rest = fillHoles(r, loops, r.Area()/(r.LoopLength(loops[0])/2))
	out.Width = r.Width(rest)
	c := newLine(r, out.Width, step)
	out.plain, out.rest = c, rest
	out.Ring = len(rest) == 2 && r.LoopLength(rest[0]) < medial.SmallRing*out.Width && medial.IsRing(r, rest[0], rest[1])
	if one, ok := c.spot(loops); ok && len(rest) == 1 {
		out.Runs = []*Line{one}
	} else if closed, ok := medial.WithoutSlots(r, rest, out.Width); ok {
		out.Runs = c.overSlots(closed)
	} else if out.Ring {
		out.Runs = c.runs([]medial.Chain{medial.Ring(r, rest[0], rest[1], c.anchor)})
	} else {
		out.Runs = c.runs(medial.Axis(r, c.anchor, out.Width))
	}
	for i, share := range shares(r, out.Runs) {
		out.Runs[i].Share = share
	}
	return out
}

// meetings are the places where lines meet: the nearest to all of those that end at a fork, run straight on.
func (c *Line) meetings(lines []*Line) map[int32]r3.Vector {
	arms, rough := map[int32][]arm{}, map[int32]r3.Vector{}
	for _, l := range lines {
		for end, fork := range l.chain.Forks {
			if fork != medial.NoFork && l.arms[end].dir != (r3.Vector{}) {
				arms[fork] = append(arms[fork], l.arms[end])
				rough[fork] = l.forkAt(end)
			}
		}
	}
	out := map[int32]r3.Vector{}
	for fork, of := range arms {
		p := rough[fork]
		for range 200 { // one line after the other is gone to: Kaczmarz' way, which needs no matrix to be sound
			sum := r3.Vector{}
			for _, a := range of {
				d := p.Sub(a.at)
				sum = sum.Add(a.at.Add(a.dir.Mul(d.Dot(a.dir))))
			}
			p = sum.Mul(1 / float64(len(of)))
		}
		if p.Sub(rough[fork]).Norm() > 2*c.width {
			p = rough[fork] // nearly parallel lines meet nowhere
		}
		hit, _ := c.tree.Closest(p, math.Inf(1))
		out[fork] = hit.Point
	}
	return out
}

// fillHoles closes every inner loop that is narrower than the strip is wide, so that the centre line runs
// straight across it, and returns the holes. A loop that is wider is the inside of a ring.
func fillHoles(r *region.Region, loops [][]int32, width float64) (holes []region.Hole, rest [][]int32) {
	for i, loop := range loops {
		if i == 0 || r.LoopArea(loop)/(r.LoopLength(loop)/2) >= width || i == 1 && medial.IsRing(r, loops[0], loop) {
			rest = append(rest, loop)
			continue
		}
		hole, crumb := r.Hole(loop), r.IsCrumb(loop)
		if !crumb {
			holes = append(holes, hole)
		}
		r.Fill(loop, !crumb, r.LoopArea(loop) < region.Oblong*math.Pi*hole.Radius*hole.Radius, false)
	}
	if len(r.Filled) > len(r.Topo.TriEdge) {
		r.Topo = r.Mesh.Topology()
	}
	return holes, rest
}

// overSlots moves lines into the middle of the region with its slots closed and takes their sections of the region.
func (c Line) overSlots(closed *region.Region) []*Line {
	width := closed.Width(closed.Loops())
	whole := newLine(closed, width, c.step)
	runs := whole.runs(medial.Axis(closed, whole.anchor, width))
	for i, one := range runs {
		cut := c
		cut.chain, cut.Closed, cut.count, cut.meets, cut.arms = one.chain, one.Closed, one.count, one.meets, one.arms
		cut.width, cut.slotted = width, true
		cut.Sections = cut.finish(places(one.Sections), nil)
		runs[i] = &cut
	}
	return runs
}

// spot returns the line of a region that is about as long as wide.
func (c Line) spot(loops [][]int32) (*Line, bool) {
	box, ok := medial.SpotBox(c.r, loops, c.middle)
	if !ok {
		return nil, false
	}
	return c.through(box)
}

// through is the line along the middle of a rectangle about the region.
func (c Line) through(box medial.Box) (*Line, bool) {
	hit, _ := c.tree.Closest(box.Middle, math.Inf(1))
	at := region.Place{Point: hit.Point, Tri: hit.Tri}
	normal := c.r.NormalAt(at)
	dir := box.Axis.Sub(normal.Mul(box.Axis.Dot(normal))).Normalize()
	plane := normal.Cross(dir)
	ahead, back := c.r.Trace(at, plane, dir, WidestTrace), c.r.Trace(at, plane, dir.Mul(-1), WidestTrace)
	if !ahead.Ok || !back.Ok {
		return nil, false
	}
	var points []r3.Vector
	for _, p := range slices.Backward(back.Path) {
		points = append(points, p.Point)
	}
	for _, p := range ahead.Path[1:] {
		points = append(points, p.Point)
	}
	c.chain = medial.Chain{Points: points, Forks: [2]int32{medial.NoFork, medial.NoFork}}
	c.Sections = c.finish(points, nil)
	return &c, true
}

// newLine is what moving lines into the middle of a region's strips needs.
func newLine(r *region.Region, width, step float64) Line {
	middle := r.Middle()
	return Line{
		r: r, tree: near.NewOn(r.Mesh, 1), step: step, width: width,
		middle: middle, anchor: r.FarthestFrom(middle), rim: r.Rim(),
	}
}

// runs moves every rough line into the middle of its part of the strip. Where lines branch they are moved again: what
// their courses were before says where they meet.
func (c Line) runs(chains []medial.Chain) []*Line {
	out := make([]*Line, len(chains))
	for i, ch := range chains {
		one := c
		one.chain, one.Closed = ch, ch.Closed
		one.Sections = one.run()
		out[i] = &one
	}
	for range 2 {
		meeting := c.meetings(out)
		for _, one := range out {
			moved := false
			for k, fork := range one.chain.Forks {
				if at, known := meeting[fork]; known {
					one.meets[k], moved = &at, true
				}
			}
			if moved {
				one.Sections = one.run()
			}
		}
	}
	return out
}

// shares are the areas of the region that lie nearest to each of its lines; what lies between two is shared.
func shares(r *region.Region, runs []*Line) []float64 {
	out := make([]float64, len(runs))
	if len(runs) == 1 {
		return []float64{r.Area()}
	}
	lines := make([]*curve.Line, len(runs))
	for i, c := range runs {
		lines[i] = curve.New(places(c.Sections), c.Closed)
	}
	distances := make([]float64, len(runs))
	for t := range r.Mesh.Triangles {
		if r.Filled[t] {
			continue
		}
		n := region.Centroid{}
		n.Add(r, int32(t))
		least := math.Inf(1)
		for i, l := range lines {
			distances[i] = math.Inf(1)
			if len(l.Points) > 0 {
				_, distances[i] = l.Nearest(n.Sum.Mul(1 / max(n.Area, math.SmallestNonzeroFloat64)))
			}
			least = min(least, distances[i])
		}
		near := func(d float64) bool { return d <= least+region.OnEdge }
		among := 0
		for _, d := range distances {
			if near(d) {
				among++
			}
		}
		for i, d := range distances {
			if near(d) {
				out[i] += n.Area / float64(among)
			}
		}
	}
	return out
}

// NormalNear is the region's normal at the place nearest to one.
func (c *Line) NormalNear(p r3.Vector) r3.Vector {
	hit, _ := c.tree.Closest(p, math.Inf(1))
	return c.r.NormalAt(region.Place{Point: hit.Point, Tri: hit.Tri})
}
