package detail_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/detail"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
	"seamwright/geometry/surface"
)

func at(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// line is a straight line from one place on, by way of others.
func line(from, along r3.Vector, length float64) (out []surface.FeatureLine) {
	const parts = 5
	for i := range parts {
		a, b := length*float64(i)/parts, length*float64(i+1)/parts
		out = append(out, surface.FeatureLine{From: from.Add(along.Mul(a)), To: from.Add(along.Mul(b)), Normal: at(0, 0, 1)})
	}
	return out
}

// pieces are all of some lines.
func pieces(lines []surface.FeatureLine) *detail.Lines {
	out, all := &detail.Lines{}, space.Box{Min: at(-1e6, -1e6, -1e6), Max: at(1e6, 1e6, 1e6)}
	for i := range lines {
		out.Add(&lines[i], all, func(r3.Vector) bool { return true })
	}
	return out
}

func TestDetails(t *testing.T) {
	x, y := at(1, 0, 0), at(0, 1, 0)
	bend := func(from, along, into, turn r3.Vector) []surface.FeatureLine {
		out := line(from, along, 60)
		for i := range out {
			out[i].Bend, out[i].Turn = into, turn
		}
		return out
	}
	up, down := at(0, 0, 1), at(0, 0, -1)
	both := func(a, b []surface.FeatureLine) []surface.FeatureLine { return append(a, b...) }
	for _, c := range []struct {
		name        string
		own, others []surface.FeatureLine
		want        bool // is a detail at the middle, 30 mm along
	}{
		{"nothing", nil, nil, false},
		{"a straight edge", nil, line(at(0, 0, 0), x, 60), false},
		{"the edges of two sheets over each other", nil, both(line(at(0, 0, 0), x, 60), line(at(0, .5, 3), x, 60)), false},
		{"a strip 5 mm wide", nil, both(line(at(0, 0, 0), x, 60), line(at(0, 5, 0), x, 60)), true},
		{"a strip just below the limit", nil, both(line(at(0, 0, 0), x, 60), line(at(0, 8.5, 0), x, 60)), true},
		{"a strip 12 mm wide", nil, both(line(at(0, 0, 0), x, 60), line(at(0, 12, 0), x, 60)), false},
		{"a corner", nil, both(line(at(0, 0, 0), x, 30), line(at(30, 0, 0), y, 30)), true},
		{"a corner farther on", nil, both(line(at(0, 0, 0), x, 51), line(at(51, 0, 0), y, 30)), false},
		{"the two sides of one bend", nil, both(bend(at(0, 0, 0), x, y, up), bend(at(0, 4, 2), x, at(0, 0, -1), up)), false},
		{"an edge beside a bend", nil, both(bend(at(0, 0, 0), x, y, up), line(at(0, -5, 0), x, 60)), true},
		{"a wall's edge beyond a bend", nil, both(bend(at(0, 0, 0), x, y, up), line(at(0, 4, 6), x, 60)), false},
		{"a bend in a bend", bend(at(0, 0, 1), x, y, up), bend(at(0, .5, 0), x, y, up), true},
		{"bends that turn away from each other", bend(at(0, 0, 1), x, y, up), bend(at(0, .5, 0), x, y, down), false},
	} {
		t.Run(c.name, func(t *testing.T) {
			if got := detail.Beside(pieces(c.own), pieces(c.others)).AreNear(at(29, 0, 0), at(31, 0, 0)); got != c.want {
				t.Errorf("detail at the middle: %v, want %v", got, c.want)
			}
		})
	}
}

// Of a line that is far longer than what is asked about only that part is looked at, and the same pieces whatever it is; of too many to
// hold nothing is told, and all is a detail.
func TestLinesWithoutEnd(t *testing.T) {
	endless := surface.FeatureLine{From: at(-1e9, 0, 0), To: at(1e9, 0, 0), Normal: at(0, 0, 1)}
	asked := map[r3.Vector]int{}
	for _, half := range []float64{20, 30} {
		var l detail.Lines
		l.Add(&endless, space.Box{Min: at(-half, -1, -1), Max: at(half, 1, 1)}, func(p r3.Vector) bool {
			asked[p]++
			return true
		})
		if size := l.Box().Size().X; size < 2*half-8 || size > 2*half+15 {
			t.Errorf("%.1f mm of pieces for a box of %.0f", size, 2*half)
		}
	}
	twice := 0
	for _, n := range asked {
		twice += n - 1
	}
	if twice < 11 || len(asked) > 25 {
		t.Errorf("%d pieces, %d of them in both boxes", len(asked), twice)
	}
	if detail.Beside(pieces(nil), pieces([]surface.FeatureLine{endless})).AreNear(at(0, 0, 0), at(1, 0, 0)) {
		t.Error("a straight line of 2 km is a detail")
	}
	var all detail.Lines
	all.Add(&endless, space.Box{Min: at(-1e12, -1e12, -1e12), Max: at(1e12, 1e12, 1e12)}, func(r3.Vector) bool { return true })
	if !detail.Beside(pieces(nil), &all).AreNear(at(5, 500, 0), at(6, 500, 0)) {
		t.Error("of too many pieces something is told")
	}
}

// What a detail is does not change when all of it is turned and moved; of lines narrow beside each other all places about both are details.
func TestDetailsTurnWithThePanels(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		number := rapid.Float64Range(-1, 1)
		axis := at(number.Draw(t, "x"), number.Draw(t, "y"), number.Draw(t, "z"))
		if axis.Norm() < .1 {
			axis = at(0, 0, 1)
		}
		axis = axis.Normalize()
		angle, move := 3*number.Draw(t, "angle"), at(1000*number.Draw(t, "dx"), 1000*number.Draw(t, "dy"), 1000*number.Draw(t, "dz"))
		turn := func(v r3.Vector) r3.Vector { // Rodrigues' formula
			return v.Mul(math.Cos(angle)).Add(axis.Cross(v).Mul(math.Sin(angle))).Add(axis.Mul(axis.Dot(v) * (1 - math.Cos(angle))))
		}
		apart := rapid.Float64Range(1.5, 20).Draw(t, "apart")
		lines := append(line(at(0, 0, 0), at(1, 0, 0), 60), line(at(0, apart, 0), at(1, 0, 0), 60)...)
		for i := range lines {
			l := &lines[i]
			l.From, l.To, l.Normal = turn(l.From).Add(move), turn(l.To).Add(move), turn(l.Normal)
		}
		places := detail.Beside(pieces(nil), pieces(lines))
		for s := 6.; s < 54; s += 7 {
			p := turn(at(s, apart/2, 0)).Add(move)
			if apart > 8.9 && apart < 9.2 { // the limit, and pieces that lie askew
				return
			}
			if got, want := places.AreNear(p, p), apart < detail.Narrow; got != want {
				t.Fatalf("%.2f apart, at %.0f: %v, want %v", apart, s, got, want)
			}
		}
	})
}

// About a plate of 60 by 30 mm: a host is cut fine at its corners, and coarse along its sides.
func ExampleBeside() {
	flat := func(outline ...r3.Vector) *surface.Panel {
		m := &mesh.Mesh{Vertices: outline}
		for i := 2; i < len(outline); i++ {
			m.Triangles = append(m.Triangles, [3]int32{0, int32(i - 1), int32(i)})
		}
		return surface.NewPanel(surface.Sheet{Mesh: m, Thickness: 1}, surface.Whole{}, 8, 1)
	}
	plate := flat(at(0, 0, 0), at(60, 0, 0), at(60, 30, 0), at(0, 30, 0))
	places := detail.Beside(pieces(nil), pieces(plate.FeatureLines()))
	fmt.Println("corner:", places.AreNear(at(1, 1, 1), at(5, 1, 1)))
	fmt.Println("side:", places.AreNear(at(30, 1, 1), at(36, 1, 1)))
	// Output:
	// corner: true
	// side: false
}
