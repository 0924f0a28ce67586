package contact

import (
	"context"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
)

// cutter turns a patch with a verdict at every point into triangles of one stack each.
type cutter struct {
	*stackup.Host
	patch    *region.Patch
	verdicts []stackup.Verdict
	cuts     kit.EdgeTable // of the ways between patch points: the point where the stack at the first ends
	foreseen kit.EdgeTable // of ways that are likely to be asked about: the number of their ending
	ends     []ending      // of these
	settled  []bool        // patch points: within the clamps' limits the same lies there
	narrow   []narrowOpening
	ajar     []ajar           // where the gap opens at them
	grazed   []bool           // patch points that are just beside a stack
	touched  []bool           // patch points at split edges
	short    []stackup.Ending // room for a way
	missed   []endings        // of patch points: the sheets that end short of them
	endings  []stackup.Ending // of all of them
	asked    [2][]asking      // of the patch's triangles, and room for more
	points   []r3.Vector
	normals  []r3.Vector
	borders  []region.Border
	corners  []int32                    // patch point to point + 1
	numbers  []int32                    // likewise, room for compact
	whole    region.Region              // of one stack
	places   kit.PlaceTable             // of it
	lies     []int32                    // on patch points: numbers of kinds
	kinds    []kind                     // of stacks; the first is none
	stacks   []stackup.Stack            // that are reported, in order of appearance
	tris     [][][3]int32               // of each of the stacks
	welded   map[[2]r3.Vector]r3.Vector // where the cut between two places lies: the two sides of a crease share it
}

// reset makes it the cutter of another patch.
func (c *cutter) reset(h *stackup.Host, p *region.Patch) {
	c.Host, c.patch = h, p
	n := len(p.Points)
	room := n + n/16 // for what sharpening adds
	c.verdicts, c.grazed = kit.Sized(c.verdicts, room)[:n], c.grazed[:0]
	c.points, c.normals = slices.Grow(c.points[:0], room), slices.Grow(c.normals[:0], room)
	c.borders, c.stacks = slices.Grow(c.borders[:0], room), c.stacks[:0]
	c.missed, c.endings = c.missed[:0], c.endings[:0]
	c.cuts.Reset()
	c.foreseen.Reset()
	c.ends = c.ends[:0]
	c.narrow = c.narrow[:0]
	c.tris, c.kinds, c.lies = nil, append(c.kinds[:0], kind{}), slices.Grow(c.lies[:0], room)
	c.welded = map[[2]r3.Vector]r3.Vector{}
}

// kind is a stack that lies on some patch points. Its number says which one it is in a thirtieth of a verdict's memory.
type kind struct {
	stack   stackup.Stack
	emits   bool
	started bool
	at      int // of the stacks, once it has started
}

// tellKinds numbers the stacks of the patch points that have got a verdict since.
func (c *cutter) tellKinds() {
	of := map[stackup.Stack]int32{}
	for k := range c.kinds {
		of[c.kinds[k].stack] = int32(k)
	}
	k := int32(0)
	for v := len(c.lies); v < len(c.verdicts); v++ {
		if s := c.verdicts[v].Stack; s != c.kinds[k].stack {
			known := false
			if k, known = of[s]; !known {
				k = int32(len(c.kinds))
				of[s], c.kinds = k, append(c.kinds, kind{stack: s, emits: c.emits(s)})
			}
		}
		c.lies = append(c.lies, k)
	}
}

// isEven says whether the same lies on all corners of a triangle.
func (c *cutter) isEven(t [3]int32) bool {
	return c.lies[t[0]] == c.lies[t[1]] && c.lies[t[1]] == c.lies[t[2]]
}

// pieces is what of it regions are made of.
func (c *cutter) pieces() cutter {
	return cutter{Host: c.Host, points: c.points, normals: c.normals, borders: c.borders, stacks: c.stacks, tris: c.tris}
}

func (c *cutter) run(ctx context.Context, in *Workspace) error {
	if err := c.sharpen(ctx, in); err != nil {
		return err
	}
	c.corners = kit.Sized(c.corners, len(c.patch.Points))
	counts := make([]int, len(c.kinds)) // of triangles that each lies on, so that none of the lists has to grow
	c.eachPart(func(_ [3]int32, k int32) { counts[k]++ })
	c.eachPart(func(t [3]int32, k int32) {
		if of := &c.kinds[k]; !of.started {
			of.started, of.at = true, len(c.stacks)
			c.stacks, c.tris = append(c.stacks, of.stack), append(c.tris, make([][3]int32, 0, counts[k]+counts[k]/16)) // some fall in two
		}
		c.keep(t, k)
	})
	return nil
}

// eachPart goes through the kinds that are reported at the corners of each of the patch's triangles.
func (c *cutter) eachPart(do func(t [3]int32, k int32)) {
	for _, t := range c.patch.Tris {
		seen := [3]int32{}
		for i, v := range t {
			if k := c.lies[v]; c.kinds[k].emits && k != seen[0] && k != seen[1] {
				seen[i] = k
				do(t, k)
			}
		}
	}
}

// keep adds the part of triangle t that carries a stack of a kind.
func (c *cutter) keep(t [3]int32, of int32) {
	polygon := make([]int32, 0, 5)
	for k := range 3 {
		a, b := t[k], t[(k+1)%3]
		inA, inB := c.lies[a] == of, c.lies[b] == of
		if inA {
			polygon = append(polygon, c.corner(a))
		}
		if inA && !inB {
			polygon = append(polygon, c.cut(a, b))
		} else if inB && !inA {
			polygon = append(polygon, c.cut(b, a))
		}
	}
	if len(polygon) == 4 && c.apart(polygon[1], polygon[3]) < float64(c.apart(polygon[0], polygon[2])*(1-kit.AlikeTo)) {
		polygon = append(polygon[1:], polygon[0]) // cut along the shorter diagonal, whichever corner comes first
	}
	for k := 2; k < len(polygon); k++ {
		tri := [3]int32{polygon[0], polygon[k-1], polygon[k]}
		if tri[0] != tri[1] && tri[1] != tri[2] && tri[2] != tri[0] {
			tris := &c.tris[c.kinds[of].at]
			*tris = append(*tris, tri)
		}
	}
}

// emits says whether this host reports the stack: the first of its sheets in rank does, so that each strip is reported
// once. A sheet that lies in the stack twice does not count, for neither of its pieces sees the whole.
func (c *cutter) emits(s stackup.Stack) bool {
	sheets := s.Sheets()
	for i, sheet := range sheets {
		twice := slices.Contains(sheets[:i], sheet) || slices.Contains(sheets[i+1:], sheet)
		if sheet < c.Index && !twice || sheet == c.Index && twice {
			return false
		}
	}
	return true
}

// endings are a range of the cutter's; none were kept where it is not known.
type endings struct {
	from, to int32
	known    bool
}

// keepMissed keeps what ends short of the patch point that was classified just now.
func (c *cutter) keepMissed(v int) {
	for len(c.missed) < v {
		c.missed = append(c.missed, endings{})
	}
	from := int32(len(c.endings))
	c.endings = append(c.endings, c.MissedLast()...)
	c.missed = append(c.missed, endings{from, int32(len(c.endings)), true})
}

// missedAt is what ends short of a patch point.
func (c *cutter) missedAt(h *stackup.Host, v int32) []stackup.Ending {
	if int(v) < len(c.missed) && c.missed[v].known {
		return c.endings[c.missed[v].from:c.missed[v].to]
	}
	return h.Missed(c.patch.Points[v], c.patch.Normals[v])
}

func (c *cutter) apart(a, b int32) float64 { return c.points[a].Sub(c.points[b]).Norm() }

// corner is the point of the patch itself, or, where a sheet of its stack ends just short of it, the end.
func (c *cutter) corner(v int32) int32 {
	if i := c.corners[v]; i > 0 {
		return i - 1
	}
	p, end := c.patch.Points[v], region.Border{Whose: -1}
	if short := c.verdicts[v].Short; short.Why != region.UnknownEnd {
		n := c.patch.Normals[v]
		end = short
		p = c.weld(p, p, p.Add(short.Beside.Sub(n.Mul(short.Beside.Dot(n)))))
	}
	i := c.add(p, c.patch.Normals[v], end)
	c.corners[v] = i + 1
	return i
}

// weld gives the place that was found before between the same two points, if it is the same but for rounding.
func (c *cutter) weld(a, b, p r3.Vector) r3.Vector {
	if known, ok := c.welded[[2]r3.Vector{a, b}]; ok && known.Sub(p).Norm2() < surface.SharpEdge*surface.SharpEdge {
		return known
	}
	c.welded[[2]r3.Vector{a, b}] = p
	return p
}

func (c *cutter) add(p, n r3.Vector, b region.Border) int32 {
	c.points, c.normals, c.borders = append(c.points, p), append(c.normals, n), append(c.borders, b)
	return int32(len(c.points) - 1)
}
