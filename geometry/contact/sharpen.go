package contact

import (
	"context"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
)

const (
	bentBorder  = 0.04 // mm that a border may leave the straight way through a triangle of the patch
	finestPatch = 0.4  // mm: shorter edges are not cut for the border's sake
	sharpenings = 4    // halvings from fine to below finestPatch
)

// sharpen cuts the patch finer where the border of a stack does not run straight through a triangle: at the
// corners of a strip, which a single cut would take off, and along narrow curves.
func (c *cutter) sharpen(ctx context.Context, in *Workspace) error {
	c.asked[0] = kit.Sized(c.asked[0], len(c.patch.Tris))
	c.tellKinds()
	for range sharpenings {
		asked, split := c.asked[0], &c.patch.Split
		split.Reset()
		c.touched = kit.Sized(c.touched, len(c.patch.Points))
		known := len(c.patch.Points)
		if err := c.foreseeCuts(ctx, in); err != nil {
			return err
		}
		for i, t := range c.patch.Tris {
			if i%1024 == 0 && ctx.Err() != nil {
				return ctx.Err()
			}
			if !asked[i].bent && !c.isEven(t) && c.isBent(t) {
				c.splitAll(split, t)
			}
			asked[i].bent = true
		}
		for i, t := range c.patch.Tris {
			if !asked[i].hidden && c.isGrazed(t) {
				asked[i].hidden = true
				if c.isHidden(t) {
					c.splitAll(split, t)
				}
			}
		}
		if len(c.patch.Points) == known {
			return nil
		}
		c.splitTouched(split)
		for v := known; v < len(c.patch.Points); v++ {
			c.verdicts = append(c.verdicts, c.Classify(c.patch.Points[v], c.patch.Normals[v]))
			c.keepMissed(v)
		}
		c.tellKinds()
	}
	return nil
}

// foreseeCuts finds, by all who help, where the ways end that the triangles' borders are about to be cut at. Where all have other
// work they are found when they are needed: a few are not.
func (c *cutter) foreseeCuts(ctx context.Context, in *Workspace) error {
	if !in.Crew.Idles() {
		return nil
	}
	first := len(c.ends)
	var ways [][2]int32
	foresee := func(from, to int32) {
		if k := c.lies[from]; k == c.lies[to] || !c.kinds[k].emits {
			return
		}
		key := kit.WayKey(from, to)
		if _, known := c.cuts.Get(key); known {
			return
		}
		if at, known := c.foreseen.At(key); !known {
			*at = int32(first + len(ways))
			ways = append(ways, [2]int32{from, to})
		}
	}
	for i, t := range c.patch.Tris {
		for k := 0; k < 3 && !c.asked[0][i].bent && !c.isEven(t); k++ {
			foresee(t[k], t[(k+1)%3])
			foresee(t[(k+1)%3], t[k])
		}
	}
	c.ends = append(c.ends, make([]ending, len(ways))...)
	return in.pieces(ctx, c.Host, (len(ways)+waysAtOnce-1)/waysAtOnce, func(h *stackup.Host, i int) {
		var short []stackup.Ending
		for k := i * waysAtOnce; k < min(len(ways), (i+1)*waysAtOnce); k++ {
			w := c.wayOf(h, ways[k][0], ways[k][1], short)
			c.ends[first+k] = w.find()
			short = w.short
		}
	})
}

// waysAtOnce is how many ways one worker looks at before it takes more.
const waysAtOnce = 64

// asking is what is known of a triangle from an earlier round: the answers do not change.
type asking struct{ bent, hidden bool }

// splitAll marks the edges of a triangle for cutting in half.
func (c *cutter) splitAll(split *kit.EdgeTable, t [3]int32) {
	for k := range 3 {
		c.patch.SplitEdge(split, t[k], t[(k+1)%3], region.Everywhere, finestPatch)
		c.touched[t[k]] = true
	}
}

// isGrazed says whether all corners of a triangle are beside the stacks, and some just beside one.
func (c *cutter) isGrazed(t [3]int32) bool {
	grazed := false
	for _, v := range t {
		if c.lies[v] > 0 {
			return false
		}
		grazed = grazed || int(v) < len(c.grazed) && c.grazed[v]
	}
	return grazed
}

// isHidden says whether a stack lies within a triangle though all of its corners are just beside it, as where
// two sheets end at the same place.
func (c *cutter) isHidden(t [3]int32) bool {
	p := c.patch.Points
	facet := p[t[1]].Sub(p[t[0]]).Cross(p[t[2]].Sub(p[t[0]]))
	middle := p[t[0]].Add(p[t[1]]).Add(p[t[2]]).Mul(1. / 3)
	n, ok := c.patch.NormalWithin(t, middle, facet)
	return ok && c.Classify(middle, n).Stack.N > 0
}

// splitTouched puts the pieces in place of every triangle with a split edge, which then are to be asked.
func (c *cutter) splitTouched(split *kit.EdgeTable) {
	p := c.patch
	out, asked := p.Spare[0][:0], c.asked[1][:0]
	for i, t := range p.Tris {
		count := 0
		for _, v := range t {
			if c.touched[v] {
				count++
			}
		}
		mid, cuts := [3]int32{}, 0
		if count >= 2 {
			mid, cuts = region.Midpoints(t, split)
		}
		before := len(out)
		if out = p.AppendPieces(out, t, mid, cuts); cuts == 0 {
			asked = append(asked, c.asked[0][i])
		} else {
			asked = append(asked, make([]asking, len(out)-before)...)
		}
	}
	p.Tris, p.Spare[0] = out, p.Tris
	c.asked = [2][]asking{asked, c.asked[0]}
}

// isBent says whether the border of some stack leaves the straight way through a triangle.
func (c *cutter) isBent(t [3]int32) bool {
	var seen [3]int32
	for i, v := range t {
		k := c.lies[v]
		if !c.kinds[k].emits || k == seen[0] || k == seen[1] {
			continue
		}
		seen[i] = k
		if c.isBentFor(t, k) {
			return true
		}
	}
	return false
}

func (c *cutter) isBentFor(t [3]int32, of int32) bool {
	var cuts [2]r3.Vector
	n, inside := 0, int32(-1)
	for k := range 3 {
		a, b := t[k], t[(k+1)%3]
		inA, inB := c.lies[a] == of, c.lies[b] == of
		if inA {
			inside = a
		}
		if inA == inB {
			continue
		}
		if inB {
			a, b = b, a
		}
		cuts[n] = c.points[c.cut(a, b)]
		n++
	}
	if n != 2 {
		return false
	}
	return c.leaves(t, c.kinds[of].stack, cuts, c.patch.Points[inside])
}

// leaves asks at both sides of the middle of the cut.
func (c *cutter) leaves(t [3]int32, s stackup.Stack, cuts [2]r3.Vector, inside r3.Vector) bool {
	p := c.patch.Points
	facet := p[t[1]].Sub(p[t[0]]).Cross(p[t[2]].Sub(p[t[0]]))
	chord := cuts[1].Sub(cuts[0])
	out := chord.Cross(facet)
	if chord.Norm() < finestPatch/2 || !(out.Norm() > 0) {
		return false
	}
	out = out.Mul(bentBorder / out.Norm())
	middle := cuts[0].Add(cuts[1]).Mul(0.5)
	if inside.Sub(middle).Dot(out) > 0 {
		out = out.Mul(-1)
	}
	for _, off := range [2]float64{1, -1} {
		at := middle.Add(out.Mul(off))
		n, ok := c.patch.NormalWithin(t, at, facet)
		if ok && (c.Classify(at, n).Stack == s) == (off > 0) {
			return true
		}
	}
	return false
}
