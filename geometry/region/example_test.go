package region_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/region"
)

// square is a region of 20 by 20 mm, all of whose border is free.
func square() *region.Region {
	up := r3.Vector{Z: 1}
	p := &region.Patch{
		Points:  []r3.Vector{{}, {X: 20}, {X: 20, Y: 20}, {Y: 20}},
		Normals: []r3.Vector{up, up, up, up},
		Tris:    [][3]int32{{0, 1, 2}, {0, 2, 3}},
	}
	if err := p.CutFine(context.Background(), region.Everywhere); err != nil {
		panic(err)
	}
	r := p.Region()
	r.EndOf = func(*region.Region, int32, int32) region.Border { return region.Border{Why: region.FreeEdge} }
	return r
}

func ExampleRegion_Trace() {
	r := square()
	loop := r.Loops()[0]
	fmt.Printf("%.0f mm² within %.0f mm, ended by a %s\n", r.Area(), r.LoopLength(loop), r.End(loop[0], loop[1]).Why)
	from := region.Place{Point: r3.Vector{X: 7.2, Y: 5.9}}
	for t := range r.Mesh.Triangles {
		a, b, c := r.Mesh.Corners(t)
		if inside(from.Point, a, b, c) {
			from.Tri = int32(t)
		}
	}
	up := r.Trace(from, r3.Vector{X: 1}, r3.Vector{Y: 1}, 500)
	fmt.Printf("%.0f mm up to the border at y %.0f\n", up.Length, up.Path[len(up.Path)-1].Point.Y)
	// Output:
	// 400 mm² within 80 mm, ended by a free edge
	// 14 mm up to the border at y 20
}

// inside says whether a place lies within a triangle in the plane z = 0.
func inside(p, a, b, c r3.Vector) bool {
	left := func(a, b r3.Vector) bool { return b.Sub(a).Cross(p.Sub(a)).Z > 0 }
	return left(a, b) && left(b, c) && left(c, a)
}
