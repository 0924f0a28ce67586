package reach

import (
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/axial"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/seams/shell"
)

// soup is triangles of mixed size about the origin, needles among them.
func soup(rng *rand.Rand, n int) *mesh.Mesh {
	m := &mesh.Mesh{}
	at := func(s float64) r3.Vector {
		return vec(s*(rng.Float64()-.5), s*(rng.Float64()-.5), s*(rng.Float64()-.5))
	}
	for i := range n {
		c, size := at(400), math.Pow(10, 0.5+1.5*rng.Float64())
		a, b, d := c.Add(at(size)), c.Add(at(size)), c.Add(at(size))
		if i%5 == 0 {
			d = a.Add(b.Sub(a).Mul(.5)).Add(at(1e-3))
		}
		k := int32(len(m.Vertices))
		m.Vertices = append(m.Vertices, a, b, d)
		m.Triangles = append(m.Triangles, [3]int32{k, k + 1, k + 2})
	}
	return m
}

func sceneOf(m *mesh.Mesh, grow float64) *axial.Scene {
	return &axial.Scene{Panels: []axial.Panel{{Name: "soup", Shape: near.NewShape(m), Grow: grow}}}
}

func facetsOf(m *mesh.Mesh, grow, radius, up float64) []axial.Facet {
	return turnedOf(sceneOf(m, grow), frameOf(Weld{Along: vec(1, 0, 0), Axis: vec(0, 0, 1)})).Gather(radius, up, nil)
}

// The arms' air at every angle is that of three capsules measured one by one with the tree.
func TestArmAirAgreesWithCapsules(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		m := soup(rng, 1+rng.IntN(25))
		tree, grow, enough := near.New(m), 2*rng.Float64(), 4+10*rng.Float64()
		b := bars{radius: 3 + 12*rng.Float64(), high: 30 + 90*rng.Float64(), depth: 60 + 120*rng.Float64()}
		f := axial.NewFan(48)
		air, panel := armAir(turnedOf(sceneOf(m, grow), frameOf(Weld{Along: vec(1, 0, 0), Axis: vec(0, 0, 1)})), b, f, enough, nil, nil)
		for k := range air {
			up, down := vec(0, 0, b.high), vec(0, 0, -b.high)
			far := vec(b.depth*f.Cos[k], b.depth*f.Sin[k], 0)
			want := enough
			for _, bar := range [3][2]r3.Vector{{up, far.Add(up)}, {down, far.Add(down)}, {far.Add(down), far.Add(up)}} {
				if hit, ok := tree.Capsule(bar[0], bar[1], b.radius+grow+enough); ok {
					want = math.Min(want, hit.Distance-b.radius-grow)
				}
			}
			if want <= 0 {
				want = touch
			}
			if !(math.Abs(air[k]-want) <= 1e-6) && !(math.Abs(want) < 1e-6 || math.Abs(air[k]) < 1e-6) {
				t.Fatalf("angle %d: air %g, by capsules %g", k, air[k], want)
			}
			if (panel[k] >= 0) != (air[k] < 0) {
				t.Fatalf("angle %d: air %g, panel %d", k, air[k], panel[k])
			}
		}
	})
}

// The air beside a section is that of the facets' points at the section's heights, sampled.
func TestSectionAirAgreesWithSampling(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 2))
		tri := [3]r3.Vector{}
		for k := range tri {
			tri[k] = vec(60*rng.Float64()-30, 60*rng.Float64()-30, 60*rng.Float64()-30)
		}
		low := 40*rng.Float64() - 20
		c := section{from: low, to: low + 2 + 20*rng.Float64(), radius: 8}
		if rng.IntN(2) == 0 {
			c.radius, c.small, c.long = 0, 2+6*rng.Float64(), 2+12*rng.Float64()
		}
		sin, cos := math.Sincos(6 * rng.Float64())
		m := &mesh.Mesh{Vertices: tri[:], Triangles: [][3]int32{{0, 1, 2}}}
		below := rng.IntN(2) == 0
		got, _ := sideOf([]section{c}, facetsOf(m, 0, 200, 200), 0, 1000, below, nil).at(cos, sin, 1000)
		want := sampledAir(tri, c, cos, sin, below)
		if want == 1000 {
			return // touched by no sample: the cut may still be a sliver
		}
		if got < 0 {
			got = 0
		}
		if want < 0 {
			want = 0
		}
		if got > want+1e-9 || got < want-1.2 {
			t.Fatalf("air %g, sampled %g: %v %+v", got, want, tri, c)
		}
	})
}

func sampledAir(tri [3]r3.Vector, c section, cos, sin float64, below bool) float64 {
	least := 1000.0
	const n = 150
	for i := 0; i <= n; i++ {
		for k := 0; i+k <= n; k++ {
			p := tri[0].Add(tri[1].Sub(tri[0]).Mul(float64(i) / n)).Add(tri[2].Sub(tri[0]).Mul(float64(k) / n))
			if below {
				p.Z = -p.Z
			}
			if p.Z < c.from || p.Z > c.to {
				continue
			}
			d := math.Hypot(p.X, p.Y) - c.radius
			if !c.round() {
				x, y := p.X*cos+p.Y*sin, p.Y*cos-p.X*sin
				d = math.Hypot(math.Max(0, math.Abs(x)-c.small), math.Max(0, math.Abs(y)-c.long))
			}
			least = math.Min(least, d)
		}
	}
	return least
}

// Sections of tools measured together, each as far as it counts, give every tool the air that sections measured one by one give it, and
// name the same panel where one touches.
func TestSectionsTogether(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 3))
		var panels []axial.Panel
		for range 1 + rng.IntN(6) {
			m := soup(rng, 1+rng.IntN(12))
			for i := range m.Vertices {
				m.Vertices[i] = m.Vertices[i].Mul(.25)
			}
			panels = append(panels, axial.Panel{Shape: near.NewShape(m), Grow: 2 * rng.Float64()})
		}
		v := turnedOf(&axial.Scene{Panels: panels}, frameOf(Weld{Along: vec(1, 0, 0), Axis: vec(0, 0, 1)}))
		const above, below, rise, enough = 1.2, 0.8, 1.0, 10.0
		var g girths
		var tools [][2][]section
		for range 1 + rng.IntN(4) {
			tool := Tool{Gun: shell.Gun{Arm: 10 + 40*rng.Float64()}, Tip: shell.Tip{Face: 5, Shank: 6 + 4*float64(rng.IntN(3)), Length: 40}}
			high := 60 + 60*rng.Float64()
			tools = append(tools, [2][]section{sectionsOf(tool, rise, high-above), sectionsOf(tool, rise, high-below)})
			g.add(tools[len(tools)-1][0], tools[len(tools)-1][1], above, below, enough)
		}
		g.measure(v, -below-rise, above+rise)
		found := map[roundPart]roundAir{}
		for _, one := range g.all {
			found[one.roundPart] = one.roundAir
		}
		facets := v.Beside(40, 200, -below-rise, above+rise, nil)
		fan := axial.NewFan(1)
		for i, tool := range tools {
			var sides, alone [2]side
			for k, surface := range [2]float64{above, below} {
				sides[k] = sideOf(tool[k], nil, surface, enough, k == 1, found)
				alone[k] = sideOf(tool[k], facets, surface, enough, k == 1, nil)
				for j := range alone[k].air {
					if touches := alone[k].air[j] <= 0; touches != (sides[k].air[j] <= 0) || sides[k].panel[j] != alone[k].panel[j] {
						t.Fatalf("tool %d, side %d, section %d: air %v and panel %d, alone %v and %d", i, k, j, sides[k].air[j],
							sides[k].panel[j], alone[k].air[j], alone[k].panel[j])
					}
				}
			}
			air, panel := tipAir(sides, fan, enough)
			if want, at := tipAir(alone, fan, enough); air[0] != want[0] || panel[0] != at[0] {
				t.Fatalf("tool %d: air %v and panel %d, alone %v and %d", i, air[0], panel[0], want[0], at[0])
			}
		}
	})
}

func TestSections(t *testing.T) {
	// a nose from 6 mm to 16 mm widens over 5 mm, then the shank, then the bar
	all := sectionsOf(Tool{gun(200, 200), round()}, 1, 114)
	at := func(h float64) section {
		for _, s := range all {
			if h >= s.from && h < s.to {
				return s
			}
		}
		t.Fatalf("nothing at %g", h)
		return section{}
	}
	for _, test := range []struct{ high, radius float64 }{{1, 5}, {2.5, 6}, {3.5, 7}, {4.5, 8}, {30, 8}, {59, 8}, {60, 15}, {113, 15}} {
		if got := at(test.high).radius; got != test.radius {
			t.Errorf("radius %g at %g, want %g", got, test.high, test.radius)
		}
	}
	if s := sectionsOf(Tool{gun(200, 200), narrow()}, 1, 114)[0]; s.round() || s.small != 4 || s.long != 8 || s.from != 1 || s.to != 60 {
		t.Errorf("narrow tip %+v", s)
	}
	if s := sectionsOf(Tool{gun(200, 60), round()}, 1, 40); s[len(s)-1].from != 40 || s[len(s)-1].to != 40 {
		t.Errorf("a tip longer than the arm's height: %+v", s)
	}
}
