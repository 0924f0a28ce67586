package contact_test

import (
	"context"
	"math/rand/v2"
	"reflect"
	"testing"

	"seamwright/geometry/contact"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
	"seamwright/internal/plates"
	"seamwright/internal/work"
)

// Laps are the same to the bit however many share a host's places, with open places and facets that lean, and what is asked of them
// afterwards by each worker for itself is, too.
func TestLapsOnAnyNumberOfWorkers(t *testing.T) {
	rng := rand.New(rand.NewPCG(4, 8))
	flat := plates.Extruded([][2]float64{{0, 0}, {9, 0}, {16, 0}, {40, 0}}, 300, 3, rng)
	bent := plates.Extruded([][2]float64{{0, .9}, {12, .9}, {20, .9}, {20.3, .94}, {25, 4}}, 300, 2.5, rng)
	for i, p := range bent.Vertices {
		bent.Vertices[i].Z += 1.6 * max(0, p.X-150) / 150
	}
	all := assembly(surface.Sheet{Mesh: flat, Thickness: 0.8}, surface.Sheet{Mesh: bent, Thickness: 1})
	var want []*contact.Lap
	for _, workers := range []int{1, 2, 5} {
		in := contact.Workspace{Crew: work.NewCrew(workers)}
		h, laps, err := in.Laps(context.Background(), in.Host(all, 0))
		if err != nil || !h.AnyOpen() || len(laps) == 0 {
			t.Fatalf("%d workers: %d laps, any open %v, %v", workers, len(laps), h.AnyOpen(), err)
		}
		if want == nil {
			if want = laps; len(laps[0].Mesh.Vertices) < 2000 {
				t.Fatalf("%d places are too few to be shared out", len(laps[0].Mesh.Vertices))
			}
			continue
		}
		for i, lap := range laps {
			if len(laps) != len(want) || !reflect.DeepEqual(lap.Mesh, want[i].Mesh) || !reflect.DeepEqual(lap.Normals, want[i].Normals) ||
				!reflect.DeepEqual(lap.Borders, want[i].Borders) {
				t.Fatalf("%d workers: lap %d of %d is another", workers, i, len(laps))
			}
		}
		airs := make([][]float64, len(laps))
		if err := in.EachLap(context.Background(), h, laps, func(_ *stackup.Host, i int) {
			for v, p := range laps[i].Mesh.Vertices {
				air, _ := laps[i].Air(p, laps[i].Normals[v])
				airs[i] = append(airs[i], air)
			}
		}); err != nil {
			t.Fatal(err)
		}
		for i, lap := range want {
			for v, p := range lap.Mesh.Vertices {
				if air, _ := lap.Air(p, lap.Normals[v]); air != airs[i][v] {
					t.Fatalf("%d workers: %g mm of air at %v, want %g", workers, airs[i][v], p, air)
				}
			}
		}
	}
}
