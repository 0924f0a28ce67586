// Package outline makes outlines of what is drawn and covers them with triangles: loose lines are chained, lines that
// several outlines share are parted, closed paths are sorted by what lies within what, and filled.
//
//	paths, notes := outline.Outlines(drawing.Paths)
//	for _, n := range outline.Nest(paths) {
//		fmt.Println(n.Layer, n.Length, len(n.Within), "holes")
//	}
//
// What is joined over a gap, dropped or left loose is said in the notes.
package outline

import (
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/delaunay"
	"seamwright/geometry/mesh"
)

// Fill covers the flat region between an outline and its holes with triangles. Which loop is an outline and
// which a hole follows from what lies within what: a region counts as sheet when an odd number of loops is
// around it, so that islands in holes and several outlines side by side work too, and the loops' directions
// do not matter. Loops are in millimetres and close by themselves; a repeated first point does no harm.
//
// The loops must lie in one plane, to a thousandth of their size. Vertices keep their places; the triangles
// are Delaunay's, add no vertices, and all turn left seen from above (from the first of +z, +y, +x that the
// plane does not contain). Points closer than the touch, 1e-5 mm or less for tiny loops, count as one. Loops
// may touch, at corners and along edges; loops that cross or overlap are an error that says where.
func Fill(loops [][]r3.Vector) (*mesh.Mesh, error) {
	plane, err := planeOf(loops)
	if err != nil {
		return nil, fmt.Errorf("fill: %w", err)
	}
	r := regionOf(loops, plane)
	if err := r.checkLoops(); err != nil {
		return nil, fmt.Errorf("fill: %w", err)
	}
	faces, err := delaunay.Triangulate(r.points, r.loops, r.touch)
	if err != nil {
		return nil, fmt.Errorf("fill: %w", r.told(err, plane))
	}
	if err := r.checkArea(faces); err != nil {
		return nil, fmt.Errorf("fill: %w", err)
	}
	return r.mesh(faces), nil
}

// plane is a plane with axes in it: x and y, and z its normal.
type plane struct {
	origin, x, y, z r3.Vector
}

// planeAt is the plane through a point with the unit normal given. A level plane keeps the drawing's own x and y.
func planeAt(origin, normal r3.Vector) plane {
	if normal == (r3.Vector{Z: 1}) {
		return plane{origin, r3.Vector{X: 1}, r3.Vector{Y: 1}, normal}
	}
	const steep = 1.0 / 64 // of the normal's x and y below which z is no direction to measure from
	aside := r3.Vector{Z: 1}
	if math.Abs(normal.X) < steep && math.Abs(normal.Y) < steep {
		aside = r3.Vector{Y: 1}
	}
	x := unit(aside.Cross(normal))
	return plane{origin, x, unit(normal.Cross(x)), normal}
}

func (p plane) flat(v r3.Vector) r2.Point { return r2.Point{X: v.Dot(p.x), Y: v.Dot(p.y)} }

func (p plane) above(v r3.Vector) float64 { return v.Sub(p.origin).Dot(p.z) }

// place is the point of the plane whose flat coordinates are given.
func (p plane) place(at r2.Point) r3.Vector {
	return scaled(p.x, at.X).Add(scaled(p.y, at.Y)).Add(scaled(p.z, p.origin.Dot(p.z)))
}

// unit is v with length 1; v is not zero.
func unit(v r3.Vector) r3.Vector { return scaled(v, 1/v.Norm()) }

// scaled is v times f, rounded after each product on every processor.
func scaled(v r3.Vector, f float64) r3.Vector {
	return r3.Vector{X: float64(v.X * f), Y: float64(v.Y * f), Z: float64(v.Z * f)}
}

// planeOf finds the plane of the loop with the largest area and checks that all points are near it.
func planeOf(loops [][]r3.Vector) (plane, error) {
	var normal, origin r3.Vector
	size := 0.0
	for l, loop := range loops {
		if !withinReach(loop) {
			return plane{}, fmt.Errorf("loop %d has a point that is not a number or beyond %v mm: mend the outline", l+1, farthest)
		}
		for _, p := range loop {
			size = math.Max(size, p.Sub(loops[l][0]).Norm())
		}
		if n := areaNormal(loop); n.Norm2() > normal.Norm2() {
			normal, origin = n, loop[0]
		}
	}
	if len(loops) == 0 || normal.Norm() <= flattestLoop*size*size {
		return plane{}, errors.New("no loop encloses an area: give at least one closed outline of three points or more that does not cross " +
			"itself")
	}
	p := planeAt(origin, upward(unit(normal)))
	const flatness = 1e-3 // of the size of the largest loop
	for l, loop := range loops {
		for _, v := range loop {
			if off := math.Abs(p.above(v)); off > flatness*size {
				return plane{}, fmt.Errorf("loop %d is not flat: (%.3f, %.3f, %.3f) lies %.3f mm off the plane of the largest loop; split it into "+
					"flat parts", l+1, v.X, v.Y, v.Z, off)
			}
		}
	}
	return p, nil
}

// farthest is the greatest coordinate, in mm, that Fill works with.
const farthest = 1e12

func withinReach(points []r3.Vector) bool {
	for _, p := range points {
		if !(math.Abs(p.X) <= farthest && math.Abs(p.Y) <= farthest && math.Abs(p.Z) <= farthest) {
			return false
		}
	}
	return true
}

// flattestLoop is the area, in squares of the size, below which a loop is a line.
const flattestLoop = 1e-12

// areaNormal is the normal of a loop with the length of its area (Newell's sum).
func areaNormal(loop []r3.Vector) r3.Vector {
	var sum r3.Vector
	for i := 2; i < len(loop); i++ {
		sum = sum.Add(loop[i-1].Sub(loop[0]).Cross(loop[i].Sub(loop[0])))
	}
	return scaled(sum, 0.5)
}

// upward turns a unit normal to the side from which the triangles shall turn left. Parts that are rounding
// noise are cleared, so that a level outline keeps its x and y to the last digit.
func upward(n r3.Vector) r3.Vector {
	const noise = 1e-12
	for _, c := range []*float64{&n.X, &n.Y, &n.Z} {
		if math.Abs(*c) < noise {
			*c = 0
		}
	}
	if n.Z < 0 || n.Z == 0 && (n.Y < 0 || n.Y == 0 && n.X < 0) {
		return scaled(n, -1)
	}
	return n
}

// region is what Fill covers, in the plane, near points merged.
type region struct {
	touch  float64
	points []r2.Point
	places []r3.Vector // of the points
	loops  [][]int32   // corners of each loop, no corner the same as the next
	rings  []polygon   // the same loops as the places of their corners
}

func regionOf(loops [][]r3.Vector, p plane) *region {
	box := r2.EmptyRect()
	for _, loop := range loops {
		for _, v := range loop {
			box = box.AddPoint(p.flat(v))
		}
	}
	const finest, share = 1e-5, 1e-7 // mm; of the size
	r := &region{touch: math.Min(finest, share*math.Hypot(box.X.Length(), box.Y.Length()))}
	drawers := map[[2]float64][]int32{}
	for _, loop := range loops {
		var corners []int32
		for _, v := range loop {
			c := r.pointAt(v, p.flat(v), drawers)
			if len(corners) == 0 || corners[len(corners)-1] != c {
				corners = append(corners, c)
			}
		}
		for len(corners) > 1 && corners[0] == corners[len(corners)-1] {
			corners = corners[:len(corners)-1]
		}
		r.loops = append(r.loops, corners)
		r.rings = append(r.rings, r.ringOf(corners))
	}
	return r
}

// pointAt returns the number of the point at a place, new or within the touch of a known one.
func (r *region) pointAt(place r3.Vector, at r2.Point, drawers map[[2]float64][]int32) int32 {
	col, row := math.Floor(at.X/r.touch), math.Floor(at.Y/r.touch)
	for i := -1.0; i <= 1; i++ {
		for j := -1.0; j <= 1; j++ {
			for _, known := range drawers[[2]float64{col + i, row + j}] {
				if r.points[known].Sub(at).Norm() <= r.touch {
					return known
				}
			}
		}
	}
	n := int32(len(r.points))
	r.points, r.places = append(r.points, at), append(r.places, place)
	drawers[[2]float64{col, row}] = append(drawers[[2]float64{col, row}], n)
	return n
}

// area2 is twice the loop's area, positive when it turns left.
func (r *region) area2(loop []int32) float64 {
	sum := 0.0
	for i := 2; i < len(loop); i++ {
		a, b, c := r.points[loop[0]], r.points[loop[i-1]], r.points[loop[i]]
		sum += float64((b.X-a.X)*(c.Y-a.Y)) - float64((b.Y-a.Y)*(c.X-a.X))
	}
	return sum
}

func (r *region) perimeter(loop []int32) float64 {
	sum := 0.0
	for i, p := range loop {
		sum += r.points[p].Sub(r.points[loop[(i+1)%len(loop)]]).Norm()
	}
	return sum
}

// checkLoops turns away loops without an area.
func (r *region) checkLoops() error {
	for l, loop := range r.loops {
		if len(loop) < 3 || math.Abs(r.area2(loop)) <= r.touch*r.perimeter(loop) {
			return fmt.Errorf("loop %d encloses no area: leave it out, or mend it where it runs back over itself", l+1)
		}
	}
	return nil
}

// told words an error of the triangulation in the loops' own places.
func (r *region) told(err error, p plane) error {
	var c *delaunay.Crossing
	if !errors.As(err, &c) {
		return err
	}
	at := p.place(c.Place)
	where := fmt.Sprintf("at (%.3f, %.3f, %.3f)", at.X, at.Y, at.Z)
	if c.Loops[0] == c.Loops[1] {
		return fmt.Errorf("loop %d crosses itself %s: mend the outline there", c.Loops[0]+1, where)
	}
	return fmt.Errorf("loops %d and %d cross %s: mend the outlines there", c.Loops[0]+1, c.Loops[1]+1, where)
}

// mesh builds the mesh, its vertices in the order of the loops' points, its triangles sorted.
func (r *region) mesh(faces [][3]int32) *mesh.Mesh {
	used := make([]bool, len(r.points))
	for _, f := range faces {
		for _, p := range f {
			used[p] = true
		}
	}
	m := &mesh.Mesh{}
	number := make([]int32, len(r.points))
	for p, u := range used {
		if u {
			number[p] = int32(len(m.Vertices))
			m.Vertices = append(m.Vertices, r.places[p])
		}
	}
	for _, f := range faces {
		t := [3]int32{number[f[0]], number[f[1]], number[f[2]]}
		for t[0] > t[1] || t[0] > t[2] {
			t = [3]int32{t[1], t[2], t[0]}
		}
		m.Triangles = append(m.Triangles, t)
	}
	slices.SortFunc(m.Triangles, func(a, b [3]int32) int { return slices.Compare(a[:], b[:]) })
	return m
}
