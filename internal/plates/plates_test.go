package plates_test

import (
	"bytes"
	"fmt"
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
