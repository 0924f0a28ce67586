package flange

import (
	"math"
	"slices"

	"seamwright/geometry/curve"
	"seamwright/geometry/near"
)

// strips turns a region into the flanges that it is made of, or notes that there are none.
func (f *finder) strips(r *region) []Flange {
	area := r.area()
	loops := r.loops()
	if len(loops) == 0 {
		return nil
	}
	if area < f.leastLength(r)*f.opt.LeastWidth {
		f.noteSmall(r, loops, NoFreeEdge)
		return nil
	}
	if parts, nested := f.flats(r); nested {
		return f.nestedStrips(parts)
	}
	if !f.reachesFreeEdge(r, loops) {
		f.noteSmall(r, loops, NoFreeEdge)
		return nil
	}
	return f.stripsOf(r, loops, area)
}

// nestedStrips are the strips on the flats of a region that goes on round bends.
func (f *finder) nestedStrips(flats []*region) (out []Flange) {
	for _, r := range flats {
		loops, area := r.loops(), r.area()
		if len(loops) == 0 {
			continue
		}
		if area < f.leastLength(r)*f.opt.LeastWidth || !f.reachesFreeEdge(r, loops) {
			f.noteSmall(r, loops, RoundBends)
			continue
		}
		out = append(out, f.stripsOf(r, loops, area)...)
	}
	return out
}

// isWall says whether the sheets of a strip go on together round a bend beside it, and no free edge runs along it.
func (fl *Flange) isWall(sections []section) bool {
	nested := 0
	for i := range sections {
		nested += boolean(sections[i].nested)
	}
	return 2*nested > len(sections) && !fl.alongFreeEdge()
}

// stripsOf are the strips of a region without bends.
func (f *finder) stripsOf(r *region, loops [][]int32, area float64) []Flange {
	holes, rest := f.fillHoles(r, loops, area/(r.loopLength(loops[0])/2))
	width := r.width(rest)
	r.places = f.room.traced[:0]
	defer func() { f.room.traced = r.places }()
	c := f.centring(r, width)
	ring := len(rest) == 2 && r.loopLength(rest[0]) < smallRing*width && r.isRing(rest[0], rest[1])
	var runs []*centring
	if one, ok := c.spot(loops); ok && len(rest) == 1 {
		runs = []*centring{one}
	} else if closed, ok := f.withoutSlots(r, rest, width); ok {
		runs = c.overSlots(closed)
	} else if ring {
		runs = c.runs([]chain{r.ringBetween(rest[0], rest[1], c.anchor)})
	} else {
		runs = c.runs(r.skeleton(c.anchor, width))
	}
	shares := r.shares(runs)
	var out []Flange
	wall := false
	for i, c := range runs {
		fl, kept, ok := f.flange(r, c.result, c.closed)
		if !ok {
			continue
		}
		if fl.isWall(kept) {
			f.noteSmall(r, loops, RoundBends)
			wall = true
			continue
		}
		stretch := fl.Area
		fl.Area *= float64(shares[i] * c.kept)
		if k := slices.IndexFunc(out, func(o Flange) bool { return o.covers(fl, width/4) }); k >= 0 {
			out[k].Area += float64(shares[i]*c.kept) * stretch // the rough lines parted about a hole
			continue
		}
		fl.Width.Least = min(fl.Width.Least, c.leastAtCorners(&fl, kept, loops))
		fl.Outline = c.outline(loops, kept, runs)
		fl.Holes = holesNear(holes, fl)
		fl.Notches = c.notches(loops)
		if ring { // the sides between the corners of a small one look like notches
			fl.Notches = slices.DeleteFunc(fl.Notches, func(n Notch) bool { return n.Depth > (1-1/ringEven)*fl.Width.Greatest })
		}
		if hit, _ := c.tree.Closest(fl.Line[0].Point, math.Inf(1)); r.normalAt(place{hit.Point, hit.Tri}).Dot(fl.Line[0].Axis) < 0 {
			fl.turnNotches() // the stack's order runs against the normals by which they were found
		}
		out = append(out, fl)
	}
	if len(out) == 0 && !wall {
		f.noteSmall(r, loops, StandsOpen)
	}
	return out
}

// leastLength is how long a strip of the region is at least. Where laps cross, or a further sheet lies on a flange, the
// strip is as short as the lap is wide, and the weld at that place goes through all of the sheets: there is no other
// place for it.
func (f *finder) leastLength(r *region) float64 {
	if r.stack.n > 2 {
		return min(f.opt.LeastLength, f.opt.LeastWidth)
	}
	return f.opt.LeastLength
}

// width is roughly how wide the region is between the loops about it.
func (r *region) width(loops [][]int32) float64 {
	around := 0.0
	for _, l := range loops {
		around += r.loopLength(l)
	}
	return r.area() / (around / 2)
}

// centring is what moving lines into the middle of a region's strips needs.
func (f *finder) centring(r *region, width float64) centring {
	middle := f.middle(r)
	return centring{
		f: f, r: r, tree: near.NewOn(r.mesh, 1), step: f.opt.Step, width: width,
		middle: middle, anchor: r.farthestFrom(middle), rim: r.rim(),
	}
}

// runs moves every rough line into the middle of its part of the strip. Where lines branch they are moved again: what
// their courses were before says where they meet.
func (c centring) runs(chains []chain) []*centring {
	out := make([]*centring, len(chains))
	for i, ch := range chains {
		one := c
		one.chain, one.closed = ch, ch.closed
		one.result = one.run()
		out[i] = &one
	}
	for range 2 {
		meeting := c.meetings(out)
		for _, one := range out {
			moved := false
			for k, fork := range one.chain.forks {
				if at, known := meeting[fork]; known {
					one.meets[k], moved = &at, true
				}
			}
			if moved {
				one.result = one.run()
			}
		}
	}
	return out
}

// covers says whether another line lies along this one.
func (fl *Flange) covers(other Flange, within float64) bool {
	line := curve.New(lineOf(fl.Line), fl.Closed)
	beside := 0
	for _, s := range other.Line {
		if _, d := line.Nearest(s.Point); d <= within {
			beside++
		}
	}
	return 10*beside >= 9*len(other.Line)
}

// shares are the areas of the region that lie nearest to each of its lines; what lies between two is shared.
func (r *region) shares(runs []*centring) []float64 {
	out := make([]float64, len(runs))
	if len(runs) == 1 {
		return []float64{r.area()}
	}
	lines := make([]*curve.Line, len(runs))
	for i, c := range runs {
		lines[i] = curve.New(places(c.result), c.closed)
	}
	distances := make([]float64, len(runs))
	for t := range r.mesh.Triangles {
		if r.filled[t] {
			continue
		}
		n := bandNode{}
		n.add(r, int32(t))
		least := math.Inf(1)
		for i, l := range lines {
			distances[i] = math.Inf(1)
			if len(l.Points) > 0 {
				_, distances[i] = l.Nearest(n.sum.Mul(1 / max(n.area, math.SmallestNonzeroFloat64)))
			}
			least = min(least, distances[i])
		}
		near := func(d float64) bool { return d <= least+onEdge }
		among := 0
		for _, d := range distances {
			if near(d) {
				among++
			}
		}
		for i, d := range distances {
			if near(d) {
				out[i] += n.area / float64(among)
			}
		}
	}
	return out
}

// holesNear keeps the holes that the flange's own line passes.
func holesNear(holes []Hole, fl Flange) []Hole {
	var out []Hole
	for _, h := range holes {
		for _, s := range fl.Line {
			if s.Point.Sub(h.Center).Norm() <= math.Max(s.Left, s.Right)+h.Radius {
				out = append(out, h)
				break
			}
		}
	}
	return out
}
