package centreline_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/centreline"
	"seamwright/geometry/region"
)

// strip is a region of 120 by 16 mm with free edges and a notch of 6 by 5 mm in its upper side.
func strip() *region.Region {
	xs := []float64{0, 57, 63, 120}
	p := &region.Patch{}
	for _, x := range xs {
		for _, y := range []float64{0, 11, 16} {
			p.Points, p.Normals = append(p.Points, r3.Vector{X: x, Y: y}), append(p.Normals, r3.Vector{Z: 1})
		}
	}
	for i := range int32(3) {
		for j := range int32(2) {
			if a := 3*i + j; i != 1 || j != 1 {
				p.Tris = append(p.Tris, [3]int32{a, a + 3, a + 4}, [3]int32{a, a + 4, a + 1})
			}
		}
	}
	if err := p.CutFine(context.Background(), region.Everywhere); err != nil {
		panic(err)
	}
	r := p.Region()
	r.EndOf = func(*region.Region, int32, int32) region.Border { return region.Border{Why: region.FreeEdge} }
	return r
}

func ExampleLay() {
	r := strip()
	loops := r.Loops()
	lines := centreline.Lay(r, loops, 2)
	line := lines.Runs[0]
	first, last := line.Sections[0], line.Sections[len(line.Sections)-1]
	fmt.Printf("%d line from %.1f to %.1f, %.1f to a side\n", len(lines.Runs), first.At.Point, last.At.Point, first.Left.Length)
	for _, n := range line.Notches(loops) {
		fmt.Printf("a notch from %.1f to %.1f, %.1f deep\n", n.From, n.To, n.Depth)
	}
	// Output:
	// 1 line from {0.0 8.0 0.0} to {120.0 8.0 0.0}, 8.0 to a side
	// a notch from 57.0 to 63.0, 5.0 deep
}
