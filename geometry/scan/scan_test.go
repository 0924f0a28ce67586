package scan_test

import (
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
	"seamwright/geometry/scan"
)

// grid is a plate of 60 by 30 mm in facets of 1 mm, at a height, with noise, without what is left out.
func grid(z, noise float64, out func(x, y float64) bool) *mesh.Mesh {
	rng := rand.New(rand.NewPCG(5, 8))
	m := &mesh.Mesh{}
	const nx, ny = 60, 30
	for i := range nx + 1 {
		for j := range ny + 1 {
			m.Vertices = append(m.Vertices, r3.Vector{X: float64(i), Y: float64(j), Z: z + noise*rng.NormFloat64()})
		}
	}
	for i := range int32(nx) {
		for j := range int32(ny) {
			if a := i*(ny+1) + j; !out(float64(i)+0.5, float64(j)+0.5) {
				m.Triangles = append(m.Triangles, [3]int32{a, a + ny + 1, a + ny + 2}, [3]int32{a, a + ny + 2, a + 1})
			}
		}
	}
	return m
}

// within says whether a place lies in a circle.
func within(x, y, cx, cy, r float64) bool { return math.Hypot(x-cx, y-cy) < r }

// specked is a scan with an opening of the part of 8 mm, two of the scan, and two specks beside it.
func specked(noise float64) *mesh.Mesh {
	m := grid(0, noise, func(x, y float64) bool {
		return within(x, y, 15, 15, 4) || within(x, y, 30.5, 20.5, 0.1) || within(x, y, 45, 10, 1.1)
	})
	for _, at := range []r3.Vector{{X: 70, Y: 3, Z: 0.5}, {X: 20, Y: 15, Z: 4}} {
		v := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, at, at.Add(r3.Vector{X: 3}), at.Add(r3.Vector{Y: 2}))
		m.Triangles = append(m.Triangles, [3]int32{v, v + 1, v + 2})
	}
	return m
}

func TestNoiseIsTold(t *testing.T) {
	whole := func(x, y float64) bool { return false }
	for noise, want := range map[float64]bool{0: false, 0.002: false, 0.05: true, 0.1: true} {
		if side, is, _ := scan.Noise(grid(0, noise, whole)); is != want || is && (side < 0.9 || side > 1.5) {
			t.Errorf("noise of %g mm: %v, sides of %.2f", noise, is, side)
		}
	}
}

// What the scanner made goes, what the part has stays, and both are counted; a limit of zero leaves all as it is.
func TestClean(t *testing.T) {
	m := specked(0.04)
	clean, done := scan.Clean(m, scan.Limits{Speck: 25, Hole: 3})
	if done.Specks != 2 || !(math.Abs(done.SpeckArea-6) <= 0.01) || done.Holes != 2 || done.Widest < 2.7 || done.Widest > 3 {
		t.Errorf("%+v", done)
	}
	open := 0
	for _, e := range clean.Topology().Edges {
		if e.Free() {
			open++
		}
	}
	if want := 180 + 32; open != want { // round the plate, and round the part's own opening in steps
		t.Errorf("%d open edges, want %d", open, want)
	}
	if area := clean.Area(); !(math.Abs(area-(1800-52)) <= 8) {
		t.Errorf("area %.1f", area)
	}
	if same, done := scan.Clean(m, scan.Limits{}); same != m || done.Some() {
		t.Errorf("without limits: %+v", done)
	}
	if same, done := scan.Clean(grid(0, 0.04, func(x, y float64) bool { return false }), scan.Limits{Speck: 25, Hole: 3}); done.Some() {
		t.Errorf("nothing to clean: %+v, %d facets", done, len(same.Triangles))
	}
}

// Of two halves none is a speck, however large the limit.
func TestHalvesAreNoSpecks(t *testing.T) {
	m := grid(0, 0.04, func(x, y float64) bool { return x > 29 && x < 31 })
	if _, done := scan.Clean(m, scan.Limits{Speck: 10_000, Hole: 3}); done.Some() {
		t.Errorf("%+v", done)
	}
}

// Noise goes, and shape stays.
func TestFaired(t *testing.T) {
	m := grid(0, 0.05, func(x, y float64) bool { return false })
	for i, v := range m.Vertices {
		m.Vertices[i].Z += 2 * math.Sin(v.X/12)
	}
	faired, done := scan.Faired(m, 1)
	sum := 0.0
	for _, v := range faired.Vertices {
		sum += math.Pow(v.Z-2*math.Sin(v.X/12), 2)
	}
	if rms := math.Sqrt(sum / float64(len(faired.Vertices))); rms > 0.025 {
		t.Errorf("off by %.3f", rms)
	}
	if done.Most < 0.05 || done.Most > 0.5 || done.Usual > done.Most || done.Wave != 7 {
		t.Errorf("%+v", done)
	}
}

// Where specks alone of a scan come near to another panel nothing of it is left to be faired.
func TestOnlySpecksAreNear(t *testing.T) {
	whole := func(x, y float64) bool { return false }
	m, speck := grid(0, 0.04, whole), grid(0, 0.04, whole)
	for _, tri := range speck.Triangles {
		n := int32(len(m.Vertices))
		m.Triangles = append(m.Triangles, [3]int32{n + tri[0], n + tri[1], n + tri[2]})
	}
	for _, v := range speck.Vertices { // 60 by 30 facets in 6 by 3 mm
		m.Vertices = append(m.Vertices, v.Mul(0.1).Add(r3.Vector{X: 500}))
	}
	other := grid(0, 0, whole)
	for i := range other.Vertices {
		other.Vertices[i] = other.Vertices[i].Add(r3.Vector{X: 490, Z: 1})
	}
	parts, done, err := scan.Parts(context.Background(), []*mesh.Mesh{m, other}, 4, scan.Limits{Speck: 25, Hole: 3}, 1)
	if err != nil || !done[0].Is || done[0].Specks != 1 || len(parts[0].Triangles) > 0 || done[1].Is {
		t.Errorf("%v: %+v, %d facets are left", err, done[0].Cleaning, len(parts[0].Triangles))
	}
}

func ExampleParts() {
	upper, lower := specked(0.04), grid(-1, 0.04, func(x, y float64) bool { return false })
	_, done, err := scan.Parts(context.Background(), []*mesh.Mesh{upper, lower}, 4, scan.Limits{Speck: 25, Hole: 3}, 1)
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, d := range done {
		fmt.Println(d.Is, d.Specks, "specks,", d.Holes, "holes")
	}
	// Output:
	// true 2 specks, 2 holes
	// true 0 specks, 0 holes
}
