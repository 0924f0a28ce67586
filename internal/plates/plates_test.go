package plates_test

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
	"seamwright/internal/plates"
)

// What is written is read back as the plate that was meant.
func TestSTL(t *testing.T) {
	data := plates.STL(plates.Flat(10, 20, 410, 100, 1.5))
	m, _, err := mesh.Read(bytes.NewReader(data), int64(len(data)), "plate.stl", mesh.Options{Unit: space.Millimetre})
	if err != nil {
		t.Fatal(err)
	}
	if box := m.Box(); len(m.Triangles) != 2 || box.Min.X != 10 || box.Max.Y != 100 || box.Min.Z != 1.5 || box.Max.Z != 1.5 {
		t.Errorf("%d triangles within %v", len(m.Triangles), box)
	}
}

func ExampleFlat() {
	fmt.Println(plates.Flat(0, 0, 40, 8, 1))
	// Output: [[0 0 1] [40 0 1] [40 8 1] [0 8 1]]
}

// An extruded section has the area of its length times its own, whatever its rows.
func TestExtruded(t *testing.T) {
	for _, pitch := range []float64{3, 11, 500} {
		m := plates.Extruded([][2]float64{{0, 0}, {30, 0}, {30, 12.5}}, 160, pitch, rand.New(rand.NewPCG(1, 2)))
		if area := m.Area(); !(math.Abs(area-160*42.5) <= 1e-6) || m.Box().Max.X != 160 {
			t.Errorf("pitch %g: area %.3f within %v", pitch, area, m.Box())
		}
	}
}
