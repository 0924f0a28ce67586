package main

import (
	"errors"
	"fmt"
	"math"
	"math/rand/v2"
	"os"
	"path/filepath"
	"strconv"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

// shape is a way of cutting the same two sheets, which lap by a twentieth of their length, 0.6 mm apart, into triangles.
type shape struct {
	long    float64   // how many times as long as wide the squares are
	mixed   bool      // squares from a tenth to ten times the common width
	shuffle bool      // facets in no order
	away    r3.Vector // mm from the origin
}

var shapes = map[string]shape{
	"even":     {long: 1},
	"slivers":  {long: 50},
	"mixed":    {long: 1, mixed: true},
	"shuffled": {long: 1, shuffle: true},
	"far":      {long: 1, away: r3.Vector{X: 20_000, Y: -30_000, Z: 8_000}},
}

// makePanels writes two panels of a shape with about so many triangles each.
func makePanels(name, triangles, folder string) error {
	s, ok := shapes[name]
	if !ok {
		return fmt.Errorf("shape %q: write even, slivers, mixed, shuffled or far", name)
	}
	n, err := strconv.Atoi(triangles)
	if err != nil || n < 100 || n > mesh.DefaultMaxTriangles {
		return fmt.Errorf("%q triangles: write a whole number from 100 to %d", triangles, mesh.DefaultMaxTriangles)
	}
	if err := os.MkdirAll(folder, 0o755); err != nil {
		return err
	}
	for k, file := range []string{"a.stl", "b.stl"} {
		if err := write(filepath.Join(folder, file), s.panel(n, k)); err != nil {
			return err
		}
	}
	return nil
}

func write(path string, m *mesh.Mesh) error {
	file, err := os.Create(path)
	if err != nil {
		return err
	}
	return errors.Join(mesh.WriteSTL(file, m), file.Close())
}

// The sheets are pieces of one wavy surface.
const (
	length  = 1000.0 // mm, along x
	width   = 600.0  // mm
	overlap = 50.0   // mm
	apart   = 0.6    // mm
)

// panel is the first (k = 0) or the second sheet.
func (s shape) panel(triangles, k int) *mesh.Mesh {
	rng := rand.New(rand.NewPCG(uint64(k), uint64(triangles)))
	squares := float64(triangles) / 2
	nx := max(1, int(math.Sqrt(squares*length/width/s.long)*(1+.03*float64(k)))) // not the same cuts on both
	ny := max(1, int(squares/float64(nx)))
	xs, ys := s.cuts(rng, nx, length), s.cuts(rng, ny, width)
	m := &mesh.Mesh{Name: "panel"}
	for _, x := range xs {
		for _, y := range ys {
			m.Vertices = append(m.Vertices, surface(x+float64(k)*(length-overlap), y, float64(k)*apart).Add(s.away))
		}
	}
	for i := range nx {
		for j := range ny {
			a := int32(i*(ny+1) + j)
			b := a + int32(ny) + 1
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
		}
	}
	if s.shuffle {
		rng.Shuffle(len(m.Triangles), func(i, j int) { m.Triangles[i], m.Triangles[j] = m.Triangles[j], m.Triangles[i] })
	}
	return m
}

// cuts divides a length into n parts, alike or of sizes from a tenth to ten times the same.
func (s shape) cuts(rng *rand.Rand, n int, length float64) []float64 {
	at, sum := make([]float64, n+1), 0.0
	for i := range n {
		part := .75 + .5*rng.Float64()
		if s.mixed {
			part = math.Pow(10, 2*rng.Float64()-1)
		}
		sum += part
		at[i+1] = sum
	}
	for i := range at {
		at[i] *= length / sum
	}
	return at
}

func surface(x, y, lift float64) r3.Vector {
	return r3.Vector{X: x, Y: y, Z: lift + 30*math.Sin(x/170)*math.Cos(y/210)}
}
