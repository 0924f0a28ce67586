package blank

import (
	"fmt"
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// sheet is a mesh over a grid of n x n squares; where says where a place of the flat blank ends up, and hole which squares are
// open.
func sheet(n int, where func(u, v float64) r3.Vector, hole func(u, v float64) bool) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range n + 1 {
		for j := range n + 1 {
			m.Vertices = append(m.Vertices, where(float64(i)/float64(n), float64(j)/float64(n)))
		}
	}
	for i := range n {
		for j := range n {
			if hole != nil && hole((float64(i)+0.5)/float64(n), (float64(j)+0.5)/float64(n)) {
				continue
			}
			a := int32(i*(n+1) + j)
			b, c, d := a+1, a+int32(n)+1, a+int32(n)+2
			m.Triangles = append(m.Triangles, [3]int32{a, c, b}, [3]int32{b, c, d})
		}
	}
	return m
}

func flat(u, v float64) r3.Vector { return r3.Vector{X: 800 * u, Y: 300 * v} }

// channel is 800 long and 60 + 180 + 60 wide, folded square.
func channel(u, v float64) r3.Vector {
	w := 300 * v
	switch {
	case w < 60:
		return r3.Vector{X: 800 * u, Y: 0, Z: 60 - w}
	case w > 240:
		return r3.Vector{X: 800 * u, Y: 180, Z: w - 240}
	}
	return r3.Vector{X: 800 * u, Y: w - 60}
}

// half is half a tube of radius 100.
func half(u, v float64) r3.Vector {
	sin, cos := math.Sincos(math.Pi * v)
	return r3.Vector{X: 800 * u, Y: 100 * cos, Z: 100 * sin}
}

func ExampleOf() {
	size := Of(sheet(60, channel, nil), 1)
	fmt.Printf("%.0f x %.0f\n", size.Length, size.Width)
	// Output: 800 x 300
}

func TestOf(t *testing.T) {
	window := func(u, v float64) bool { return u > 0.2 && u < 0.8 && v > 0.2 && v < 0.8 }
	for _, c := range []struct {
		name string
		m    *mesh.Mesh
		want Size
	}{
		{"flat", sheet(40, flat, nil), Size{800, 300}},
		{"flat, of two facets", sheet(1, flat, nil), Size{800, 300}},
		{"with a window", sheet(40, flat, window), Size{800, 300}},
		{"channel", sheet(60, channel, nil), Size{800, 300}},
		{"half a tube", sheet(60, half, nil), Size{800, math.Pi * 100}},
		{"nothing", &mesh.Mesh{}, Size{}},
	} {
		got := Of(c.m, 1)
		if !(math.Abs(got.Length-c.want.Length) <= 0.2) || !(math.Abs(got.Width-c.want.Width) <= 0.2) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}

// A panel has the same blank however it lies.
func TestTurnedPanels(t *testing.T) {
	m := sheet(30, channel, nil)
	rapid.Check(t, func(t *rapid.T) {
		turn := func(name string) float64 { return rapid.Float64Range(-180, 180).Draw(t, name) }
		place := space.Place{Turn: r3.Vector{X: turn("x"), Y: turn("y"), Z: turn("z")}, Move: r3.Vector{X: 100, Y: -50, Z: 7}}
		got := Of(m.Placed(place), 1)
		if !(math.Abs(got.Length-800) <= 0.5) || !(math.Abs(got.Width-300) <= 0.5) {
			t.Fatalf("%v", got)
		}
	})
}
