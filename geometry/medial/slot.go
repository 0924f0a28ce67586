package medial

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/region"
)

// A slot in a side of a strip that reaches to the middle or beyond leaves no metal under the line. The line runs straight
// on over it, as over a hole: it is moved into the middle of the strip with its slots closed, and then its sections are
// taken of the metal that is left. The bounds below are of our own choosing.
const (
	slotMouth = 1.6  // widths of the strip that a slot is wide at most
	slotDepth = 0.35 // of the width that it is deep at least: past shallower notches the line runs straight by itself
	dartDepth = 0.5  // of the width that a dart is deep at least, to leave no metal under the line
	// of its mouth that a dart's tip may lie beside the middle; less than that of a square corner between sides that lie along its mouth
	tipAmid     = 0.13
	slotDeepest = 2.   // of the width that it is deep at most; the flanks of slots count in that, so that it comes out too small
	slotReach   = 2.   // mm of the side before and after it whose directions are looked at
	alongSide   = 0.8  // cosine between its mouth and the sides beside it
	detour      = 0.8  // of a stretch of border a width long its chord is longer, unless there is a corner or a slot
	narrowest   = 0.2  // mm of border left out that a mouth narrower by a millimetre is worth
	slack       = 0.5  // mm that its border may lie before its mouth
	OffMetal    = 0.05 // mm beside the metal from which a place of the line lies over a slot
	Probe       = 0.25 // mm between the places at which metal is looked for beside the line
)

// WithoutSlots is the region with its slots closed, if it has some. What no free edge bounds is the ragged border at a
// bend, not a slot.
func WithoutSlots(r *region.Region, loops [][]int32, width float64) (*region.Region, bool) {
	var slots [][]int32
	for _, loop := range loops {
		if b := newRimLoop(r, loop); b.length() > 4*width {
			slots = append(slots, b.slots(width)...)
		}
	}
	slots = slices.DeleteFunc(slots, func(s []int32) bool { return !isCutOut(r, s) })
	if len(slots) == 0 {
		return nil, false
	}
	out := *r
	out.Mesh = &mesh.Mesh{Vertices: slices.Clip(r.Mesh.Vertices), Triangles: slices.Clone(r.Mesh.Triangles)}
	out.Normals, out.Borders, out.Filled = slices.Clip(r.Normals), slices.Clip(r.Borders), slices.Clone(r.Filled)
	for _, s := range slots {
		out.Fill(s, true, true, true)
	}
	out.Topo, out.Places, out.Ends, out.Ended = out.Mesh.Topology(), nil, kit.EdgeTable{}, nil
	freeMouths(&out, len(r.Mesh.Triangles))
	return &out, true
}

// freeMouths says of the mouths of closed slots, whose triangles begin with first, that they end as the metal beside them does: at a free
// edge. No sheet has an edge there, so that it would be taken for the ragged border at a bend, and evened out.
func freeMouths(r *region.Region, first int) {
	for t := first; t < len(r.Mesh.Triangles); t++ {
		for k := range 3 {
			if r.Topo.Across(int32(t), k) != mesh.None {
				continue
			}
			at, _ := r.Ends.At(kit.WayKey(r.Mesh.Triangles[t][k], r.Mesh.Triangles[t][(k+1)%3]))
			*at = int32(len(r.Ended))
			r.Ended = append(r.Ended, region.Border{Why: region.FreeEdge, Whose: -1})
		}
	}
}

// isCutOut says whether most of a stretch of border is free edges.
func isCutOut(r *region.Region, stretch []int32) bool {
	free, other := 0.0, 0.0
	for i := 1; i < len(stretch); i++ {
		a, b := stretch[i-1], stretch[i]
		if way := r.Mesh.Vertices[b].Sub(r.Mesh.Vertices[a]).Norm(); r.End(a, b).Why == region.FreeEdge {
			free += way
		} else {
			other += way
		}
	}
	return free > other
}

// rimLoop is a loop of a region's border with the lengths along it. Corners are counted on round it.
type rimLoop struct {
	r    *region.Region
	loop []int32
	s    []float64 // of each corner, and of the first one at the end
}

func newRimLoop(r *region.Region, loop []int32) rimLoop {
	b := rimLoop{r, loop, make([]float64, len(loop)+1)}
	for i := range loop {
		b.s[i+1] = b.s[i] + b.at(i+1).Sub(b.at(i)).Norm()
	}
	return b
}

func (b rimLoop) length() float64 { return b.s[len(b.loop)] }

func (b rimLoop) at(i int) r3.Vector { return b.r.Mesh.Vertices[b.loop[i%len(b.loop)]] }

// way is the length of the border from corner i to corner k after it.
func (b rimLoop) way(i, k int) float64 {
	return b.s[k%len(b.loop)] - b.s[i%len(b.loop)] + float64(k/len(b.loop)-i/len(b.loop))*b.length()
}

// on is the corner that is at least a length after corner i.
func (b rimLoop) on(i int, length float64) int {
	k := i + 1
	for b.way(i, k) < length && k < i+len(b.loop) {
		k++
	}
	return k
}

// slots are the stretches of the border, from mouth to mouth, that run round slots.
func (b rimLoop) slots(width float64) [][]int32 {
	var out [][]int32
	n, done := len(b.loop), 0
	for i := 0; i < n; {
		next := b.on(i, width/4)
		if b.turnsBack(i, width) {
			var s []int32
			back := b.back(i, done, width)
			from, to, ok := b.slot(back+n, b.way(back+n, i+n)+width, width)
			for k := from; ok && k <= to; k++ {
				s = append(s, b.loop[k%n])
			}
			if next = max(next, b.on(i, 0.75*width)); ok && to-n > i {
				out, next, done = append(out, s), to-n, to-n
			}
		}
		i = next
	}
	return out
}

// back is the corner up to a length before corner i, none of those that are done.
func (b rimLoop) back(i, done int, length float64) int {
	k := i
	for k > done && b.way(k-1, i) < length {
		k--
	}
	return k
}

// turnsBack says whether the stretch of border that is a width long from corner i has a chord much shorter than it.
func (b rimLoop) turnsBack(i int, width float64) bool {
	k := b.on(i, width)
	return b.at(k).Sub(b.at(i)).Norm() < detour*b.way(i, k)
}

// slot is the slot that begins within a length from a corner: of all mouths the one that leaves most of the border out,
// and of those the narrowest.
func (b rimLoop) slot(first int, length, width float64) (from, to int, ok bool) {
	best := 0.0
	for i := first; i < 2*len(b.loop) && b.way(first, i) < length; i++ {
		for k := i + 2; k < i+len(b.loop) && b.way(i, k) < (slotMouth+2*slotDeepest)*width; k++ {
			wide := b.at(k).Sub(b.at(i)).Norm()
			out := b.way(i, k) - wide
			if gain := out - narrowest*wide; wide <= slotMouth*width && gain > best && b.leavesOut(i, k, wide, out, width) {
				best, from, to, ok = gain, i, k, true
			}
		}
	}
	return from, to, ok
}

// leavesOut says whether a mouth is that of a slot, or of a dart to the middle: of that the flanks lie aslant, so that the border is
// not longer than its mouth by twice the depth, but by no less than a way by its tip, which lies amid them.
func (b rimLoop) leavesOut(i, k int, wide, out, width float64) bool {
	if out >= 2*slotDepth*width {
		return b.isMouth(i, k, slotDepth, width)
	}
	return out >= 2*math.Hypot(dartDepth*width, wide/2)-wide && b.isMouth(i, k, dartDepth, width) && b.isTipAmid(i, k)
}

// isTipAmid says whether the corner farthest from the way from corner i to corner k lies over the middle of it.
func (b rimLoop) isTipAmid(i, k int) bool {
	way := b.at(k).Sub(b.at(i))
	foot, most := 0.0, 0.0
	for m := i + 1; m < k; m++ {
		d := b.at(m).Sub(b.at(i))
		along := d.Dot(way) / way.Norm2()
		if h := d.Sub(way.Mul(along)).Norm(); h > most {
			foot, most = along, h
		}
	}
	return math.Abs(foot-0.5) <= tipAmid
}

// isMouth says whether the border goes on along the way from corner i to corner k before and after them, and between
// them runs round on the side of the metal, as deep as a share of the width.
func (b rimLoop) isMouth(i, k int, depth, width float64) bool {
	mouth := b.at(k).Sub(b.at(i)).Normalize()
	before := i + len(b.loop)
	for b.way(before, i+len(b.loop)) < slotReach && before > k-len(b.loop) {
		before--
	}
	after := b.on(k, slotReach)
	in, out := b.at(i).Sub(b.at(before)), b.at(after).Sub(b.at(k))
	if in.Dot(mouth) < alongSide*in.Norm() || out.Dot(mouth) < alongSide*out.Norm() {
		return false
	}
	inward := b.r.Normals[b.loop[i%len(b.loop)]].Cross(mouth)
	deep := 0.0
	for m := i + 1; m < k; m++ {
		h := b.at(m).Sub(b.at(i)).Dot(inward)
		if h < -slack {
			return false
		}
		deep = max(deep, h)
	}
	return deep >= depth*width && deep <= slotDeepest*width
}
