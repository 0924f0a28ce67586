package tangent_test

import (
	"context"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
)

// What a bend does to a flange is tested here, through the whole finder: the flange ends at the tangent line.

// profile is a sheet's section: points across to the left and up.
type profile = [][2]float64

func sheetOf(name string, m *mesh.Mesh, thickness float64) flange.Sheet {
	return flange.Sheet{Name: name, Mesh: m, Thickness: thickness}
}

// one is the only strip of the sheets.
func one(t *testing.T, sheets ...flange.Sheet) flange.Flange {
	t.Helper()
	found, err := flange.Find(context.Background(), sheets, flange.Options{})
	if err != nil || len(found.Flanges) != 1 {
		t.Fatalf("%v: %d flanges, want 1", err, len(found.Flanges))
	}
	return found.Flanges[0]
}

// shake moves every corner by up to amount along each axis.
func shake(m *mesh.Mesh, amount float64, rng *rand.Rand) {
	for i := range m.Vertices {
		m.Vertices[i] = m.Vertices[i].Add(r3.Vector{X: rng.Float64()*2 - 1, Y: rng.Float64()*2 - 1, Z: rng.Float64()*2 - 1}.Mul(amount))
	}
}
