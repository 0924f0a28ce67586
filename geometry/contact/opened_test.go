package contact_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"seamwright/geometry/contact"
	"seamwright/geometry/region"
	"seamwright/geometry/surface"
	"seamwright/internal/plates"
)

// A host with open places has its borders where one without has them: on the edge at which the other sheet bends, though the first facet
// of the bend, narrower than a place tells, leans by no more than clamps close. Within their limits nothing ends at that edge.
func TestOpenHostEndsAtTheBend(t *testing.T) {
	rise := func(angle, long float64) (y, z float64) {
		return long * math.Cos(angle*math.Pi/180), long * math.Sin(angle*math.Pi/180)
	}
	y1, z1 := rise(9, .3)
	y2, z2 := rise(40, 6)
	rng := rand.New(rand.NewPCG(3, 9))
	flat := plates.Extruded([][2]float64{{0, 0}, {14, 0}, {40, 0}}, 300, 9, rng)
	bent := plates.Extruded([][2]float64{{0, .9}, {20, .9}, {20 + y1, .9 + z1}, {20 + y1 + y2, .9 + z1 + z2}}, 300, 7, rng)
	for i, p := range bent.Vertices {
		bent.Vertices[i].Z += 1.6 * max(0, p.X-150) / 150 // from nothing to what only clamps close
	}
	all := assembly(surface.Sheet{Mesh: flat, Thickness: 0.8}, surface.Sheet{Mesh: bent, Thickness: 1})
	var in contact.Workspace
	h, laps, err := in.Laps(context.Background(), in.Host(all, 0))
	if err != nil || !h.AnyOpen() || len(laps) != 1 {
		t.Fatalf("%d laps, any open %v, %v", len(laps), h.AnyOpen(), err)
	}
	at := 0
	for v, b := range laps[0].Borders {
		if p := laps[0].Mesh.Vertices[v]; b.Cut && b.Why == region.Bend && p.X > 1 && p.X < 149 {
			if at++; !(math.Abs(p.Y-20) <= 1e-4) {
				t.Errorf("a border at the bend lies at %v, want y = 20", p)
			}
		}
	}
	if at < 20 {
		t.Errorf("%d places of the border lie at the bend", at)
	}
}
