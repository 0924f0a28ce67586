package sight_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/render/sight"
	"seamwright/render/view"
)

func ExampleChoose() {
	box := view.NewPanel("box", near.NewShape(cube(100)), 1)
	top := view.Target{At: r3.Vector{X: 50, Y: 50, Z: 100}, Axis: r3.Vector{Z: 1}, Own: []string{"box"}, Stack: 1}
	choice := sight.Choose([]view.Panel{box}, []view.Target{top})
	fmt.Println(choice.Directions[0].Name, choice.Seen[0])
	// Output: from +Z true
}

// cube is a closed box with its lowest corner at the origin.
func cube(side float64) *mesh.Mesh {
	m := &mesh.Mesh{Name: "cube"}
	for k := range 8 {
		m.Vertices = append(m.Vertices, r3.Vector{X: side * float64(k&1), Y: side * float64(k>>1&1), Z: side * float64(k>>2)})
	}
	for _, q := range [][4]int32{{0, 2, 3, 1}, {4, 5, 7, 6}, {0, 1, 5, 4}, {2, 6, 7, 3}, {0, 4, 6, 2}, {1, 3, 7, 5}} {
		m.Triangles = append(m.Triangles, [3]int32{q[0], q[1], q[2]}, [3]int32{q[0], q[2], q[3]})
	}
	return m
}

func TestChooseTakesTheFewestViews(t *testing.T) {
	box := view.NewPanel("box", near.NewShape(cube(100)), 1)
	on := func(axis r3.Vector) view.Target {
		return view.Target{At: r3.Vector{X: 50, Y: 50, Z: 50}.Add(axis.Mul(50)), Axis: axis, Own: []string{"box"}, Stack: 1}
	}
	x, y, z := r3.Vector{X: 1}, r3.Vector{Y: 1}, r3.Vector{Z: 1}
	for _, c := range []struct {
		name    string
		targets []view.Target
		want    []string
	}{
		{"one side", []view.Target{on(z)}, []string{"from +Z"}},
		{"three sides of a corner", []view.Target{on(x), on(y), on(z)}, []string{"from +X +Y +Z"}},
		{"two opposite sides", []view.Target{on(z), on(z.Mul(-1))}, []string{"from +Z", "from -Z"}},
		{"all sides", []view.Target{on(x), on(y), on(z), on(x.Mul(-1)), on(y.Mul(-1)), on(z.Mul(-1))},
			[]string{"from +X +Y +Z", "from -X -Y -Z"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			choice := sight.Choose([]view.Panel{box}, c.targets)
			var names []string
			for _, d := range choice.Directions {
				names = append(names, d.Name)
			}
			if fmt.Sprint(names) != fmt.Sprint(c.want) {
				t.Errorf("views %v, want %v", names, c.want)
			}
			for i, seen := range choice.Seen {
				if !seen {
					t.Errorf("target %d is not seen", i)
				}
			}
		})
	}
}

func TestChooseSaysWhatNobodySees(t *testing.T) {
	inside := view.Target{At: r3.Vector{X: 50, Y: 50, Z: 50}, Axis: r3.Vector{X: 1}, Own: []string{"other"}, Stack: 1}
	choice := sight.Choose([]view.Panel{view.NewPanel("box", near.NewShape(cube(100)), 1)}, []view.Target{inside})
	if choice.Seen[0] || len(choice.Directions) != 1 {
		t.Errorf("seen %v in %d views, want unseen in one", choice.Seen[0], len(choice.Directions))
	}
}

// What a direction shows is what a ray against every panel shows.
func TestSeesIsARayAgainstAll(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 6))
		var panels []view.Panel
		var at []r3.Vector // a place on each
		for i := range 1 + rng.IntN(8) {
			m, side := cube(10+60*rng.Float64()), r3.Vector{X: 300 * rng.Float64(), Y: 300 * rng.Float64(), Z: 300 * rng.Float64()}
			for k := range m.Vertices {
				m.Vertices[k] = m.Vertices[k].Add(side)
			}
			a, b, c := m.Corners(rng.IntN(12))
			panels, at = append(panels, view.NewPanel(fmt.Sprint(i), near.NewShape(m), 1)), append(at, a.Add(b).Add(c).Mul(1./3))
		}
		k := rng.IntN(len(panels))
		target := view.Target{At: at[k], Axis: r3.Vector{Z: 1}, Own: []string{panels[k].ID}, Stack: 2}
		for _, d := range view.Candidates() {
			const far = 2000.0
			first, least := "", far
			for i := range panels {
				if hit, ok := panels[i].Tree().Ray(target.At.Sub(d.Look.Mul(far)), d.Look, far); ok && hit.Distance < least {
					first, least = panels[i].ID, hit.Distance
				}
			}
			room, own := target.Rooms(d.Look)
			if first == panels[k].ID {
				room = own
			}
			if got, want := sight.Sees(panels, []view.Target{target}, d), far-least <= room; got != want {
				t.Fatalf("%s: seen %v, want %v: %s is met %g mm before", d.Name, got, want, first, far-least)
			}
		}
	})
}
