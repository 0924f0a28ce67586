package flange

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// alikeTo is the share of their size by which two measures must differ to be told apart: far above rounding,
// so that turning the panels does not change which is which.
const alikeTo = 1e-7

// moment is what a sheet's metal weighs and where, whatever its triangles are.
type moment struct {
	area    float64 // mm²
	center  r3.Vector
	spread  float64 // mm: root mean square distance of the corners from the centre, weighted by area
	corners int
}

func momentOf(m *mesh.Mesh) moment {
	out := moment{corners: len(m.Triangles)}
	if len(m.Vertices) == 0 {
		return out
	}
	o, sum, square := m.Vertices[0], r3.Vector{}, 0.0
	each := func(do func(area float64, a, b, c r3.Vector)) {
		for t := range m.Triangles {
			a, b, c := m.Corners(t)
			do(b.Sub(a).Cross(c.Sub(a)).Norm()/2, a.Sub(o), b.Sub(o), c.Sub(o))
		}
	}
	each(func(area float64, a, b, c r3.Vector) {
		out.area += area
		sum = sum.Add(a.Add(b).Add(c).Mul(area / 3))
	})
	if !(out.area > 0) || math.IsInf(out.area, 0) {
		out.center = o
		return out
	}
	sum = sum.Mul(1 / out.area)
	each(func(area float64, a, b, c r3.Vector) {
		square += area / 3 * (a.Sub(sum).Norm2() + b.Sub(sum).Norm2() + c.Sub(sum).Norm2())
	})
	out.center, out.spread = o.Add(sum), math.Sqrt(square/out.area)
	return out
}

// farthestPlace is the greatest coordinate at which a micrometre can still be told, with room for what is reckoned
// from it, mm.
const farthestPlace = 1e9

// ErrFarAway is returned for a panel whose places cannot be told apart.
var ErrFarAway = errors.New("it has a corner farther than a thousand kilometres from the origin, or one that is not a number: check its " +
	"unit")

func isWithin(m *mesh.Mesh, most float64) bool {
	return !slices.ContainsFunc(m.Vertices, func(v r3.Vector) bool {
		return !(math.Abs(v.X) <= most && math.Abs(v.Y) <= most && math.Abs(v.Z) <= most)
	})
}

// inRank puts the sheets into an order of the finder's own, so that what is found does not depend on the one in
// which they are given. order names the sheets' places in the caller's.
func (f *finder) inRank(ctx context.Context, sheets []Sheet) (own []Sheet, order []int, err error) {
	moments := make([]moment, len(sheets))
	if err := f.parallel(ctx, len(sheets), func(i int) error {
		if !isWithin(sheets[i].Mesh, farthestPlace) {
			return fmt.Errorf("find flanges of panel %s: %w", sheets[i].Name, ErrFarAway)
		}
		moments[i] = momentOf(sheets[i].Mesh)
		return nil
	}); err != nil {
		return nil, nil, err
	}
	order = ranked(sheets, moments)
	for _, i := range order {
		own, f.moments = append(own, sheets[i]), append(f.moments, moments[i])
	}
	return own, order, nil
}

// ranked is an order of sheets that does not depend on the one in which they are given, and depends on where they
// stand only when nothing else tells them apart: the smaller first, for it is the cheaper host.
func ranked(sheets []Sheet, moments []moment) []int {
	order := make([]int, len(sheets))
	for i := range order {
		order[i] = i
	}
	keys := []func(i int) float64{
		func(i int) float64 { return moments[i].area },
		func(i int) float64 { return moments[i].spread },
		func(i int) float64 { return float64(moments[i].corners) },
		func(i int) float64 { return sheets[i].Thickness },
		func(i int) float64 { return moments[i].center.X },
		func(i int) float64 { return moments[i].center.Y },
		func(i int) float64 { return moments[i].center.Z },
	}
	sortByKeys(order, keys)
	return order
}

// sortByKeys sorts by the first key; what is alike in it by the next, and so on; by index in the end.
func sortByKeys(order []int, keys []func(i int) float64) {
	if len(order) < 2 {
		return
	}
	if len(keys) == 0 {
		slices.Sort(order)
		return
	}
	key := keys[0]
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(key(a), key(b)), cmp.Compare(a, b)) })
	from := 0
	for i := 1; i <= len(order); i++ {
		if i < len(order) && !(key(order[i])-key(order[i-1]) > alikeTo*math.Max(1, math.Abs(key(order[i])))) {
			continue
		}
		sortByKeys(order[from:i], keys[1:])
		from = i
	}
}

// restore gives the sheets the numbers that the caller knows them by.
func (found *Found) restore(order []int) {
	name := func(s int) int {
		if s < 0 {
			return s
		}
		return order[s]
	}
	for i := range found.Flanges {
		fl := &found.Flanges[i]
		for k, s := range fl.Sheets {
			fl.Sheets[k] = name(s)
		}
		for k := range fl.Line {
			fl.Line[k].LeftSheet, fl.Line[k].RightSheet = name(fl.Line[k].LeftSheet), name(fl.Line[k].RightSheet)
		}
		for _, beside := range fl.Beside {
			for k, s := range beside {
				beside[k] = name(s)
			}
			slices.Sort(beside)
		}
		if n := len(fl.Sheets); n > 0 && fl.Sheets[0] > fl.Sheets[n-1] {
			fl.turnOver()
		}
	}
	for i := range found.Small {
		sheets := found.Small[i].Sheets
		for k, s := range sheets {
			sheets[k] = name(s)
		}
		if n := len(sheets); sheets[0] > sheets[n-1] {
			slices.Reverse(sheets)
		}
	}
	for i := range found.Near {
		n := &found.Near[i]
		n.Sheets = [2]int{name(n.Sheets[0]), name(n.Sheets[1])}
		slices.Sort(n.Sheets[:])
	}
}

// turnOver looks at the strip from its other side.
func (fl *Flange) turnOver() {
	fl.Beside[0], fl.Beside[1] = fl.Beside[1], fl.Beside[0]
	fl.turnNotches()
	slices.Reverse(fl.Sheets)
	for i := range fl.Line {
		s := &fl.Line[i]
		s.Axis, s.Across, s.Offset = s.Axis.Mul(-1), s.Across.Mul(-1), -s.Offset
		s.Left, s.Right = s.Right, s.Left
		s.LeftEdge, s.RightEdge = s.RightEdge, s.LeftEdge
		s.LeftSheet, s.RightSheet = s.RightSheet, s.LeftSheet
	}
}

// turnNotches puts the notches on the other side, those on the left first.
func (fl *Flange) turnNotches() {
	for i := range fl.Notches {
		fl.Notches[i].Left = !fl.Notches[i].Left
	}
	slices.SortStableFunc(fl.Notches, func(a, b Notch) int { return boolean(b.Left) - boolean(a.Left) })
}

// middle is the centre of the metal of the sheets that make up a region, or of the region itself: the point from
// which a weld line's start is told, so that the start turns with the panels.
func (f *finder) middle(r *region) r3.Vector {
	sum, area := r3.Vector{}, 0.0
	for _, s := range r.stack.sheets() {
		if s < len(f.moments) {
			sum, area = sum.Add(f.moments[s].center.Mul(f.moments[s].area)), area+f.moments[s].area
		}
	}
	if area > 0 && !math.IsInf(area, 0) {
		return sum.Mul(1 / area)
	}
	n := bandNode{}
	for t := range r.mesh.Triangles {
		n.add(r, int32(t))
	}
	if n.area > 0 {
		return n.sum.Mul(1 / n.area)
	}
	return r.mesh.Vertices[0]
}

// before is an order of places that rounding does not change: by x, then y, then z, where they differ by more
// than a share of the size.
func before(p, q r3.Vector, size float64) bool {
	for k := range 3 {
		if a, b := component(p, k), component(q, k); math.Abs(a-b) > alikeTo*size {
			return a < b
		}
	}
	return false
}

func component(v r3.Vector, axis int) float64 { return [3]float64{v.X, v.Y, v.Z}[axis] }

// farthestFrom is the vertex of the region that is farthest from a place; of equally far ones, that which is first
// by its coordinates.
func (r *region) farthestFrom(p r3.Vector) int32 {
	d := make([]float64, len(r.mesh.Vertices))
	for v, q := range r.mesh.Vertices {
		d[v] = q.Sub(p).Norm()
	}
	return r.farthest(d)
}

// farthest is the vertex with the greatest finite distance; of equal ones, that which is first by its coordinates.
func (r *region) farthest(d []float64) int32 {
	most := 0.0
	for _, x := range d {
		if !math.IsInf(x, 0) {
			most = max(most, x)
		}
	}
	best := int32(-1)
	for v, x := range d {
		if x >= most*(1-alikeTo) && !math.IsInf(x, 0) && (best < 0 || before(r.mesh.Vertices[v], r.mesh.Vertices[best], 10*most)) {
			best = int32(v)
		}
	}
	return max(best, 0)
}
