package surface_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/surface"
	"seamwright/internal/plates"
)

// An angle of two flats and a bend of 3 mm of radius, or a crease: its lines are its free edges, and where the bend begins on either side.
func TestFeatureLinesOfAnAngle(t *testing.T) {
	const radius, leg, length = 3., 20., 60.
	angle := func(facets int) *surface.Panel {
		p := [][2]float64{{-leg, 0}}
		for i := 0; i <= facets; i++ {
			sin, cos := math.Sincos(math.Pi / 2 * float64(i) / float64(facets))
			p = append(p, [2]float64{radius * sin, radius * (1 - cos)})
		}
		if facets == 0 {
			p = [][2]float64{{-leg, 0}, {0, 0}}
		}
		last := p[len(p)-1]
		p = append(p, [2]float64{last[0], last[1] + leg})
		m := plates.Extruded(p, length, 6, rand.New(rand.NewPCG(1, 2)))
		return surface.NewPanel(surface.Sheet{Mesh: m, Thickness: 1}, surface.Whole{}, 8, 1)
	}
	for _, c := range []struct {
		facets               int
		bends, creases, free float64 // mm
	}{
		{4, 2 * length, 0, 2*length + 4*leg + 2*8*radius*math.Sin(math.Pi/16)},
		{0, 0, length, 2*length + 4*leg},
	} {
		var bends, creases, free float64
		for _, l := range angle(c.facets).FeatureLines() {
			way := l.To.Sub(l.From)
			switch {
			case l.Bend != (r3.Vector{}):
				bends += way.Norm()
				if math.Abs(l.Bend.Dot(way)) > 1e-9 || math.Abs(l.Turn.Dot(l.Normal)) < 1-1e-9 || l.Bend.Dot(l.Turn) < 0.1 {
					t.Errorf("%d facets: a bend along %v goes on along %v, and turns to %v", c.facets, way, l.Bend, l.Turn)
				}
			case l.Turn != (r3.Vector{}):
				creases += way.Norm()
			default:
				free += way.Norm()
			}
		}
		if math.Abs(bends-c.bends) > 1e-6 || math.Abs(creases-c.creases) > 1e-6 || math.Abs(free-c.free) > 1e-6 {
			t.Errorf("%d facets: %.3f mm of bends, %.3f of creases, %.3f free, want %.3f, %.3f, %.3f", c.facets, bends, creases, free,
				c.bends, c.creases, c.free)
		}
	}
}
