package contact

import (
	"context"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
	"seamwright/internal/plates"
)

// tilted is an angle's mesh, one leg down, askew and moved up.
func tilted(rng *rand.Rand, turn, up, pitch float64) *mesh.Mesh {
	m := plates.Extruded([][2]float64{{30, -20}, {30, -6}, {30, 0}, {22, 0}, {9, 0}, {0, 0}}, 24, pitch, rng)
	sin, cos := math.Sincos(turn)
	for i, p := range m.Vertices {
		m.Vertices[i] = r3.Vector{X: p.X, Y: p.Y*cos - p.Z*sin, Z: p.Y*sin + p.Z*cos + up}
	}
	return m
}

// What is left out of a host changes nothing: the laps are those of the whole of it, to the bit.
func TestLeftOutChangesNothing(t *testing.T) {
	whole, used, laps := 0, 0, 0
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		var sheets []surface.Sheet
		var wholes []surface.Whole
		up := 0.0
		for range rapid.IntRange(2, 4).Draw(t, "sheets") {
			s := surface.Sheet{Mesh: tilted(rng, rapid.Float64Range(-.2, .2).Draw(t, "turn"), up, rapid.Float64Range(3, 12).Draw(t, "pitch")),
				Thickness: rapid.SampledFrom([]float64{0, .8, 1.5}).Draw(t, "thickness"), Surface: surface.Mid}
			if rapid.Bool().Draw(t, "skin") {
				s.Surface, s.Face = surface.Skin, rapid.SampledFrom([]surface.Face{surface.Outer, surface.Faying}).Draw(t, "face")
			}
			sheets, wholes = append(sheets, s), append(wholes, surface.WholeOf(s.Mesh))
			up += rapid.Float64Range(0, 4).Draw(t, "up")
		}
		rng.Shuffle(len(sheets), func(i, j int) { sheets[i], sheets[j] = sheets[j], sheets[i] })
		limits := stackup.Limits{SearchGap: 1, AngleLimit: 8, ClampGap: 3, ClampAngle: 10, UnknownReach: 3}
		all, err := stackup.NewAssembly(context.Background(), sheets, wholes, limits, 1)
		if err != nil {
			t.Fatal(err)
		}
		for host := range sheets {
			var in, bare Workspace
			h := in.Host(all, host)
			patch, err := in.refine(context.Background(), h, true)
			if err != nil {
				t.Fatal(err)
			}
			used += len(patch.Tris)
			have := lapsOf(t, &in, h, patch)
			laps += len(have)
			h = bare.Host(all, host)
			every := make([]bool, len(h.Panels[host].Normals))
			for i := range h.Others() {
				for _, tri := range h.Beside(i) {
					every[tri] = true
				}
			}
			patch, _ = bare.copied(h, every)
			near := func(a, b int32) bool { return edgeIsNear(h, patch.Points[a], patch.Points[b]) }
			if err := patch.CutFine(context.Background(), near); err != nil {
				t.Fatal(err)
			}
			whole += len(patch.Tris)
			want := lapsOf(t, &bare, h, patch)
			if len(have) != len(want) {
				t.Fatalf("host %d: %d laps, want %d", host, len(have), len(want))
			}
			for i := range want {
				if have[i].Stack != want[i].Stack || !reflect.DeepEqual(have[i].Mesh, want[i].Mesh) ||
					!reflect.DeepEqual(have[i].Borders, want[i].Borders) {
					t.Fatalf("host %d: lap %d of sheets %d is another", host, i, want[i].Stack.Sheets())
				}
			}
		}
	})
	if used > whole*3/4 || laps == 0 {
		t.Errorf("%d of %d triangles are asked about, for %d laps: hardly any is left out", used, whole, laps)
	}
}

func lapsOf(t *rapid.T, in *Workspace, h *stackup.Host, patch *region.Patch) []*Lap {
	if len(patch.Tris) == 0 {
		return nil
	}
	if _, err := in.cutPatch(context.Background(), h, patch); err != nil {
		t.Fatal(err)
	}
	laps, err := in.cutter.regions(context.Background(), in.Crew)
	if err != nil {
		t.Fatal(err)
	}
	return laps
}
