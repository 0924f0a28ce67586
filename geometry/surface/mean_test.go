package surface

import (
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/mesh"
)

func TestCenterOfAFacet(t *testing.T) {
	p := &Panel{Sheet: Sheet{Mesh: &mesh.Mesh{Vertices: []r3.Vector{{X: 3}, {Y: 6}, {Z: 9}}, Triangles: [][3]int32{{0, 1, 2}}}}}
	if got := p.Center(0); !(got.Sub(r3.Vector{X: 1, Y: 2, Z: 3}).Norm() <= 1e-12) {
		t.Errorf("%v, want the mean of its corners", got)
	}
}

// A facet counts by its area and by how much nearer than the limit it agrees: the mean turns to the facet that agrees more,
// flipped facets count turned round, and one at the limit does not count.
func TestMeanNormal(t *testing.T) {
	tilted := func(degrees float64) r3.Vector {
		sin, cos := math.Sincos(degrees * math.Pi / 180)
		return r3.Vector{X: sin, Z: cos}
	}
	up := r3.Vector{Z: 1}
	for _, c := range []struct {
		name    string
		normals []r3.Vector
		areas   []float64
		want    r3.Vector
	}{
		{"alike", []r3.Vector{up, up}, []float64{1, 5}, up},
		{"as much to either side", []r3.Vector{tilted(10), tilted(-10)}, []float64{2, 2}, up},
		{"flipped", []r3.Vector{tilted(10), tilted(-10).Mul(-1)}, []float64{2, 2}, up},
		{"beyond the limit", []r3.Vector{up, tilted(70)}, []float64{1, 9}, up},
		{"none within the limit", []r3.Vector{tilted(70)}, []float64{1}, up},
		{"less by how little it agrees", []r3.Vector{up, tilted(50)}, []float64{1, 1},
			up.Mul(0.5).Add(tilted(50).Mul(math.Cos(50*math.Pi/180) - 0.5)).Normalize()},
		{"more by its area", []r3.Vector{up, tilted(20)}, []float64{1, 3},
			up.Mul(0.5).Add(tilted(20).Mul(3 * (math.Cos(20*math.Pi/180) - 0.5))).Normalize()},
	} {
		facets := []member{}
		for i := range c.normals {
			facets = append(facets, member{c.normals[i], c.areas[i]})
		}
		if got := mean(facets, up, 0.5); !(got.Sub(c.want).Norm() <= 1e-12) {
			t.Errorf("%s: %v, want %v", c.name, got, c.want)
		}
	}
}
