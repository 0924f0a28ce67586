package contact_test

import (
	"context"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/contact"
	"seamwright/geometry/mesh"
	"seamwright/geometry/surface"
)

// A third sheet of 20 mm lies on a lap of 100 by 16 mm but for 2 mm along its edge: that is a sliver wherever the border is taken to begin,
// in the midst of the 20 mm too, and 20 mm of it along a border of less than twice the least sliver.
func TestSliversWhereverTheBorderBegins(t *testing.T) {
	level := func(x0, y0, x1, y1, z float64) *mesh.Mesh {
		return &mesh.Mesh{
			Vertices:  []r3.Vector{{X: x0, Y: y0, Z: z}, {X: x1, Y: y0, Z: z}, {X: x1, Y: y1, Z: z}, {X: x0, Y: y1, Z: z}},
			Triangles: [][3]int32{{0, 1, 2}, {0, 2, 3}},
		}
	}
	all := assembly(surface.Sheet{Mesh: level(0, -20, 100, 16, 0), Thickness: 1}, surface.Sheet{Mesh: level(0, 0, 100, 60, -1), Thickness: 1},
		surface.Sheet{Mesh: level(40, -30, 60, 14, 1), Thickness: 1})
	var in contact.Workspace
	_, laps, err := in.Laps(context.Background(), in.Host(all, 0))
	if err != nil {
		t.Fatal(err)
	}
	asked := 0
	for _, lap := range laps {
		if !slices.Equal(lap.Stack.Sheets(), []int{0, 1}) && !slices.Equal(lap.Stack.Sheets(), []int{1, 0}) {
			continue
		}
		loop := lap.Loops()[0]
		for k := range loop {
			in, out := lap.Slivers([][]int32{append(slices.Clone(loop[k:]), loop[:k]...)}, 4)
			if asked++; len(in) == 0 || len(lap.Parts(out)) != 2 {
				t.Errorf("from the %dth vertex of the border: %d triangles in slivers, %d parts without, want two", k, len(in), len(lap.Parts(out)))
			}
		}
	}
	if asked < 20 {
		t.Errorf("asked %d times", asked)
	}
}
