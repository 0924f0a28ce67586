package medial_test

import (
	"context"
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/medial"
	"seamwright/geometry/region"
)

// tee is a region of two strips of 10 mm that meet: 120 mm along x, and 60 mm down from its middle.
func tee() *region.Region {
	p := &region.Patch{
		Points: []r3.Vector{{}, {X: 55}, {X: 65}, {X: 120}, {X: 120, Y: 10}, {X: 65, Y: 10}, {X: 55, Y: 10}, {Y: 10},
			{X: 55, Y: -60}, {X: 65, Y: -60}},
		Tris: [][3]int32{{0, 1, 6}, {0, 6, 7}, {1, 2, 5}, {1, 5, 6}, {2, 3, 4}, {2, 4, 5}, {8, 9, 2}, {8, 2, 1}},
	}
	for range p.Points {
		p.Normals = append(p.Normals, r3.Vector{Z: 1})
	}
	if err := p.CutFine(context.Background(), region.Everywhere); err != nil {
		panic(err)
	}
	r := p.Region()
	r.EndOf = func(*region.Region, int32, int32) region.Border { return region.Border{Why: region.FreeEdge} }
	return r
}

func ExampleAxis() {
	r := tee()
	lines := medial.Axis(r, r.FarthestFrom(r3.Vector{X: 200}), 10)
	met := 0
	for _, l := range lines {
		for _, fork := range l.Forks {
			if fork != medial.NoFork {
				met++
			}
		}
	}
	fmt.Println(len(lines), "lines,", met, "of their ends meet")
	// Output: 3 lines, 3 of their ends meet
}
