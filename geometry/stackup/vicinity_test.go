package stackup

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/surface"
)

// waves is a sheet of 60 by 60 mm about the origin, with waves, in squares of two triangles.
func waves(up float64, squares int) *mesh.Mesh {
	m := &mesh.Mesh{}
	step, row := 60/float64(squares), int32(squares+1)
	for i := range row {
		for j := range row {
			x, y := float64(i)*step-30, float64(j)*step-30
			m.Vertices = append(m.Vertices, r3.Vector{X: x, Y: y, Z: up + 0.2*math.Sin(x/9)*math.Cos(y/7)})
		}
	}
	for i := range row - 1 {
		for j := range row - 1 {
			a, b := i*row+j, (i+1)*row+j
			m.Triangles = append(m.Triangles, [3]int32{a, b, b + 1}, [3]int32{a, b + 1, a + 1})
		}
	}
	return m
}

// What is picked from a tract is what the tree gives, whether the tract, or the cell too, is too full to pick from.
func TestVicinityAnswersAsTheTree(t *testing.T) {
	rng := rand.New(rand.NewPCG(3, 4))
	for _, test := range []struct {
		squares     int
		tract, cell bool // too full
	}{{12, false, false}, {40, true, false}, {90, true, true}} {
		all := &Assembly{
			Limits: Limits{SearchGap: 1, AngleLimit: 8, ClampGap: 3, ClampAngle: 10}, CosLimit: kit.CosDegrees(8), cosClamp: kit.CosDegrees(10),
			Thickest: 0.3, Neighbours: [][]int{{1}, {0}},
		}
		for _, m := range []*mesh.Mesh{waves(0, 12), waves(0.5, test.squares)} {
			all.Panels = append(all.Panels, surface.NewPanel(surface.Sheet{Mesh: m, Thickness: 0.3}, surface.Whole{}, 8, 1))
		}
		h := all.On(0, false, &Workspace{})
		v := h.around
		met, tract, cell := 0, false, false
		for range 2000 {
			p, n := r3.Vector{X: 64*rng.Float64() - 32, Y: 64*rng.Float64() - 32, Z: 4*rng.Float64() - 2}, r3.Vector{Z: 1}
			sights, _ := v.candidates(p)
			var have hits
			have[Upper].Tri, have[Lower].Tri = -1, -1
			for i := range sights {
				have, cell = v.nearest(h, &sights[i], p, n), cell || sights[i].dense
			}
			want := h.nearestOn(1, 0, everywhere, noHints, p, n)
			for side := range want {
				if have[side].Tri != want[side].Tri || want[side].Tri >= 0 && have[side].Point != want[side].Point {
					t.Fatalf("%d squares, at %v: %+v, the tree says %+v", test.squares, p, have[side], want[side])
				}
				if want[side].Tri >= 0 {
					met++
				}
			}
		}
		for _, s := range v.inView {
			tract = tract || s.dense
		}
		if met < 500 || tract != test.tract || cell != test.cell {
			t.Errorf("%d squares: %d hits, tract too full %v, cell %v", test.squares, met, tract, cell)
		}
	}
}
