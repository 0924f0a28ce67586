package delaunay

import (
	"testing"

	"github.com/golang/geo/r2"
	"gonum.org/v1/gonum/floats/scalar"
	"pgregory.net/rapid"
)

// TestOrientIsExact compares with a sum of exact parts near lines, where doubles alone go wrong.
func TestOrientIsExact(t *testing.T) {
	a, b := r2.Point{X: 0.5, Y: 0.5}, r2.Point{X: 12, Y: 12}
	for i := range 64 {
		for j := range 64 {
			c := r2.Point{X: 24 + float64(i)*0x1p-48, Y: 24 + float64(j)*0x1p-48} // whole steps: the sign is j - i
			got := Orient(a, b, c)
			if (got > 0) != (j > i) || (got < 0) != (j < i) {
				t.Fatalf("orient at %d, %d = %v", i, j, got)
			}
		}
	}
	rapid.Check(t, func(t *rapid.T) {
		p := func() r2.Point {
			return r2.Point{X: rapid.Float64Range(-1e6, 1e6).Draw(t, "x"), Y: rapid.Float64Range(-1e6, 1e6).Draw(t, "y")}
		}
		a, b, c := p(), p(), p()
		exact, plain := orientExact(a, b, c), float64((a.X-c.X)*(b.Y-c.Y))-float64((a.Y-c.Y)*(b.X-c.X))
		if !scalar.EqualWithinAbsOrRel(exact, plain, 1e-2, 1e-9) || orientExact(b, c, a) != 0 && orientExact(b, c, a) > 0 != (exact > 0) {
			t.Fatalf("exact %v, plain %v", exact, plain)
		}
	})
}
