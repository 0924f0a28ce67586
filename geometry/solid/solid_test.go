package solid_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/solid"
)

// block is a closed box with its facets outward, or inward where it is turned.
func block(at, size r3.Vector, turned bool) *mesh.Mesh {
	m := &mesh.Mesh{}
	for i := range 8 {
		m.Vertices = append(m.Vertices, at.Add(r3.Vector{X: size.X * float64(i&1), Y: size.Y * float64(i>>1&1), Z: size.Z * float64(i>>2&1)}))
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		for _, t := range [][3]int32{{q[0], q[1], q[2]}, {q[0], q[2], q[3]}} {
			if turned {
				t[1], t[2] = t[2], t[1]
			}
			m.Triangles = append(m.Triangles, t)
		}
	}
	return m
}

func shape(m *mesh.Mesh) *near.Shape { return near.NewShape(m) }

func TestThickness(t *testing.T) {
	for _, turned := range []bool{false, true} {
		got, ok := solid.Thickness(shape(block(r3.Vector{X: 4e4}, r3.Vector{X: 200, Y: 20, Z: 0.9}, turned)))
		if !ok || !(math.Abs(got-0.9) <= 1e-9) {
			t.Errorf("%v, %v", got, ok)
		}
	}
	open := block(r3.Vector{}, r3.Vector{X: 200, Y: 20, Z: 0.9}, false)
	open.Triangles = open.Triangles[1:]
	for name, m := range map[string]*mesh.Mesh{
		"open": open, "empty": {}, "a block": block(r3.Vector{}, r3.Vector{X: 200, Y: 90, Z: 40}, false),
	} {
		if got, ok := solid.Thickness(shape(m)); ok {
			t.Errorf("%s: %v", name, got)
		}
	}
}

// Two sheets that overlap at their rims run into each other by as much as the one is moved into the other, whichever
// way they face, and not at all where they only touch or are apart.
func TestInto(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		ta, tb := rapid.Float64Range(0.6, 3).Draw(r, "thickness"), rapid.Float64Range(0.6, 3).Draw(r, "other thickness")
		lap := rapid.Float64Range(10, 30).Draw(r, "lap")
		by := rapid.Float64Range(-1, min(ta, tb)*0.9).Draw(r, "into")
		a := shape(block(r3.Vector{}, r3.Vector{X: 120, Y: 40, Z: ta}, rapid.Bool().Draw(r, "turned")))
		b := shape(block(r3.Vector{Y: 40 - lap, Z: ta - by}, r3.Vector{X: 120, Y: 40, Z: tb}, rapid.Bool().Draw(r, "other turned")))
		for _, o := range []solid.Overlap{solid.Into(a, b, ta, 0.01), solid.Into(b, a, tb, 0.01)} {
			if by <= 0.01 {
				if o.Area != 0 {
					r.Fatalf("%g mm apart: %+v", -by, o)
				}
				continue
			}
			// Near the rims the nearest facet is the cut edge's: half the lap at least is seen.
			if by < min(ta, tb)/2 && (!(math.Abs(o.Depth-by) <= 1e-6) || o.Area < 120*lap/2 || o.Area > 120*lap*1.3) {
				r.Fatalf("%g mm into each other, lap %g: %+v", by, lap, o)
			}
			if o.Depth > by+1e-6 {
				r.Fatalf("%g mm into each other: %+v", by, o)
			}
		}
	})
}

// A block that stands in the middle of another's face is into it with its whole face, by the millimetre squared.
func TestAreaOfInto(t *testing.T) {
	a := shape(block(r3.Vector{X: 40, Y: 12, Z: 1.7}, r3.Vector{X: 30, Y: 20, Z: 1.5}, false))
	b := shape(block(r3.Vector{}, r3.Vector{X: 120, Y: 40, Z: 2}, true))
	if o := solid.Into(a, b, 1.5, 0.01); !(math.Abs(o.Area-600) <= 1e-6) || !(math.Abs(o.Depth-0.3) <= 1e-9) {
		t.Errorf("%+v", o)
	}
}

func TestApart(t *testing.T) {
	a := shape(block(r3.Vector{}, r3.Vector{X: 100, Y: 20, Z: 1}, false))
	b := shape(block(r3.Vector{X: 40, Z: 531}, r3.Vector{X: 10, Y: 10, Z: 1}, false))
	if d, ok := solid.Apart(a, b, 1e4); !ok || !(math.Abs(d-530) <= 1e-9) {
		t.Errorf("%v, %v", d, ok)
	}
	if _, ok := solid.Apart(a, b, 529); ok {
		t.Error("found beyond what was asked")
	}
}

func ExampleThickness() {
	m := block(r3.Vector{}, r3.Vector{X: 200, Y: 18, Z: 1.2}, false)
	t, ok := solid.Thickness(near.NewShape(m))
	fmt.Printf("%.1f mm, %v\n", t, ok)
	// Output: 1.2 mm, true
}
