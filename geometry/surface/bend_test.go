package surface_test

import (
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/kit"
	"seamwright/geometry/mesh"
	"seamwright/geometry/surface"
	"seamwright/internal/plates"
)

// The facets between two bends that turn the same way are none of theirs, narrow as the flat may be, though noise turns facets
// against each other here and there. Without noise those of the bends are.
func TestFlatBetweenBends(t *testing.T) {
	for _, flat := range []float64{4.8, 5.5, 6.2, 8} {
		for _, radius := range []float64{1.2, 2} {
			for _, noise := range []float64{0, 0.005, 0.01} {
				var p [][2]float64
				turn := func(y, from float64, facets int) {
					for i := range facets + 1 {
						sin, cos := math.Sincos((from + 90*float64(i)/float64(facets)) * math.Pi / 180)
						p = append(p, [2]float64{y + radius*sin, radius * (1 - cos)})
					}
				}
				p = append(p, [2]float64{-radius, radius + 16}, [2]float64{-radius, radius + 8})
				turn(0, -90, 3)
				turn(flat, 0, 3)
				p = append(p, [2]float64{flat + radius, radius + 8}, [2]float64{flat + radius, radius + 16})
				rng := rand.New(rand.NewPCG(4, 9))
				m := plates.Extruded(p, 60, 5, rng)
				for i := range m.Vertices {
					m.Vertices[i] = m.Vertices[i].Add(r3.Vector{Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Mul(noise))
				}
				s := surface.NewPanel(surface.Sheet{Mesh: m, Thickness: 0.8}, surface.Whole{}, 8, 1)
				for i, bent := range s.BentFacets() {
					c := s.Center(int32(i))
					isFlat := c.Z > radius+0.5 || c.Z < 0.05 && c.Y > 0.1 && c.Y < flat-0.1
					if bent && isFlat || !bent && !isFlat && noise == 0 {
						t.Errorf("flat %g, radius %g, noise %g: the facet about %.2f is said to be of a bend: %t", flat, radius, noise, c, bent)
					}
				}
			}
		}
	}
}

// Of a sheet that lies there many times, with corners of its own, the same facets are of bends as of it alone, on any number of workers,
// though it is told of some thousand edges and facets at a time.
func TestBendsOfManySheets(t *testing.T) {
	rng := rand.New(rand.NewPCG(8, 2))
	var p [][2]float64
	y, z, up := 0., 0., 1.
	for range 30 { // flats and bends of any width and turn, up and down
		step, turn := 4+12*rng.Float64(), 40*rng.Float64()*math.Pi/180
		for k := range 4 {
			sin, cos := math.Sincos(float64(k) * turn)
			p = append(p, [2]float64{y + 1.5*sin, z + up*1.5*(1-cos)})
		}
		last := p[len(p)-1]
		y, z, up = last[0]+step*(1.1-rng.Float64()), last[1]+up*step, -up
	}
	one, many := plates.Extruded(p, 40, 5, rng), &mesh.Mesh{}
	const copies = 24
	for range copies {
		first := int32(len(many.Vertices))
		many.Vertices = append(many.Vertices, one.Vertices...)
		for _, tri := range one.Triangles {
			many.Triangles = append(many.Triangles, [3]int32{first + tri[0], first + tri[1], first + tri[2]})
		}
	}
	bends := func(m *mesh.Mesh, workers int) []bool {
		s := surface.NewPanel(surface.Sheet{Mesh: m, Thickness: 0.8}, surface.Whole{}, 8, 1)
		s.Workers = workers
		return s.BentFacets()
	}
	want := bends(one, 1)
	if n := len(want); n > 3000 || n*copies < 20_000 || !slices.Contains(want, true) || !slices.Contains(want, false) {
		t.Fatalf("%d facets, or all alike", n)
	}
	want = slices.Repeat(want, copies)
	for _, workers := range []int{1, 2, 5} {
		if !slices.Equal(bends(many, workers), want) {
			t.Errorf("%d workers tell otherwise of many sheets than of one", workers)
		}
	}
}

// A wide bend in small even facets is one from tangent line to tangent line: its facets' normals are theirs, as none is noise. Under
// noise some of its facets turn otherwise: nearly all that lies in its midst is of the bend none the less.
func TestWideBendOfSmallFacets(t *testing.T) {
	for _, facets := range []int{17, 28} {
		for _, noise := range []float64{0, 0.01} {
			const radius, turn = 18, 60.
			p := [][2]float64{{-20, 0}, {-10, 0}}
			for i := range facets + 1 {
				sin, cos := math.Sincos(turn * float64(i) / float64(facets) * math.Pi / 180)
				p = append(p, [2]float64{radius * sin, radius * (1 - cos)})
			}
			sin, cos := math.Sincos(turn * math.Pi / 180)
			last := p[len(p)-1]
			p = append(p, [2]float64{last[0] + 10*cos, last[1] + 10*sin}, [2]float64{last[0] + 20*cos, last[1] + 20*sin})
			rng := rand.New(rand.NewPCG(4, 9))
			m := plates.Extruded(p, 100, 6, rng)
			for i := range m.Vertices {
				m.Vertices[i] = m.Vertices[i].Add(r3.Vector{Y: rng.NormFloat64(), Z: rng.NormFloat64()}.Mul(noise))
			}
			s := surface.NewPanel(surface.Sheet{Mesh: m, Thickness: 0.8}, surface.Whole{}, 25, 1)
			if noise == 0 && s.Tilt != 0 {
				t.Errorf("%d facets: normals are off by %g", facets, s.Tilt)
			}
			in, of := 0, 0
			for i, bent := range s.BentFacets() {
				c, first, end := s.Center(int32(i)), 1.1*radius*turn/float64(facets)*math.Pi/180, radius*turn*math.Pi/180
				at := radius * math.Atan2(c.Y, radius-c.Z)
				if at > first && at < end-first {
					in, of = in+kit.CountIf(bent), of+1
				} else if bent && (at < -0.01 || at > end+0.01) {
					t.Errorf("%d facets, noise %g: the facet about %.2f of a flat is said to be of a bend", facets, noise, c)
				}
			}
			if in < of && noise == 0 || !(float64(in) >= 0.9*float64(of)) {
				t.Errorf("%d facets, noise %g: %d of %d facets are of the bend", facets, noise, in, of)
			}
		}
	}
}
