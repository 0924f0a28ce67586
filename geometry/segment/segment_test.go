package segment

import (
	"math"
	"slices"
	"testing"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/integrate/quad"
	"pgregory.net/rapid"
)

// TestFitSlopesAreSmooth compares first and second derivatives on both sides of every fit point.
func TestFitSlopesAreSmooth(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		n := rapid.IntRange(3, 12).Draw(t, "points")
		closed := rapid.Bool().Draw(t, "closed")
		var points []r3.Vector
		for i := range n {
			c := rapid.SliceOfN(rapid.IntRange(-9, 9), 2, 2).Draw(t, "place")
			points = append(points, vec(float64(c[0])/10+float64(i)*3, float64(c[1]), float64(i%3)))
		}
		pieces, _ := Through(points, [2]r3.Vector{}, closed)
		for i := 1; i < len(pieces)+1; i++ {
			if i == len(pieces) && !closed {
				break
			}
			a, b := pieces[i-1].poles, pieces[i%len(pieces)].poles
			h, k := a[3].at.Sub(a[0].at).Norm(), b[3].at.Sub(b[0].at).Norm()
			first := a[3].at.Sub(a[2].at).Mul(3 / h).Sub(b[1].at.Sub(b[0].at).Mul(3 / k))
			second := a[3].at.Sub(a[2].at.Mul(2)).Add(a[1].at).Mul(6 / h / h).Sub(b[0].at.Sub(b[1].at.Mul(2)).Add(b[2].at).Mul(6 / k / k))
			if !(first.Norm() <= 1e-9) || !(second.Norm() <= 1e-9) {
				t.Fatalf("point %d: derivatives jump by %v and %v", i, first, second)
			}
		}
	})
}

// TestGaussNodes compares the rule's constants with gonum's.
func TestGaussNodes(t *testing.T) {
	x, w := make([]float64, 10), make([]float64, 10)
	quad.Legendre{}.FixedLocations(x, w, -1, 1)
	for i, g := range gauss {
		if math.Abs(g[0]/math.Abs(x[5+i])-1) > 1e-14 || math.Abs(g[1]/w[5+i]-1) > 1e-13 {
			t.Errorf("node %v with the weight %v, want %v with %v", g[0], g[1], x[5+i], w[5+i])
		}
	}
}

// TestArcsStayWithinTheChord samples random elliptic arcs.
func TestArcsStayWithinTheChord(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := func(name string, low, high float64) float64 { return rapid.Float64Range(low, high).Draw(t, name) }
		s := Arc(vec(c("x", -9, 9), 0, 0), vec(c("a", 1, 500), 0, 0), vec(c("skew", -50, 50), c("b", 0.01, 500), c("z", -5, 5)),
			c("start", 0, 6), c("sweep", 0.01, 6.28))
		points, length, ok := Flatten([]Segment{s}, Scaling(1), 0.02, 100_000)
		if !ok {
			t.Fatal("more points than allowed")
		}
		for i := 1; i < len(points); i++ {
			for _, share := range []float64{0.3, 0.5, 0.7} {
				at := s.along(s.sweep * (float64(i-1) + share) / float64(len(points)-1))
				if d := distanceToSegment(at, points[i-1], points[i]); d > 0.02*(1+1e-6) {
					t.Fatalf("chord %d leaves %v", i, d)
				}
			}
		}
		chords := 0.0
		for i, before := 1, s.From; i <= 2000; i++ {
			at := s.along(s.sweep * float64(i) / 2000)
			chords, before = chords+at.Sub(before).Norm(), at
		}
		if length < chords*(1-1e-9) || length > chords*1.001 {
			t.Fatalf("length %v, chords %v", length, chords)
		}
	})
}

// TestFullTurns: a whole turn ends where it starts, written in degrees, too, and stays closed under a map.
func TestFullTurns(t *testing.T) {
	for name, sweep := range map[string]float64{"radians": 2 * math.Pi, "degrees": 360 * radian()} {
		s := Arc(vec(1e3/3, -7e5/3, 11), vec(40.1, 3, 0), vec(-.7, 9.3, 2), 1.234, sweep)
		m := Moving(vec(.1, .2, .3)).After(Affine{X: vec(2, .1, 0), Y: vec(0, -3, .4), Z: vec(1, 0, 1), Move: vec(1, 2, 3)})
		if mapped := s.Mapped(m); s.From != s.To || mapped.From != mapped.To {
			t.Errorf("%s: from %v to %v, mapped from %v to %v", name, s.From, s.To, mapped.From, mapped.To)
		}
	}
}

// radian keeps the compiler from working the product out more finely than a reader of degrees can.
func radian() float64 { return math.Pi / 180 }

// TestTooManyPoints says so at every count below what the curve takes.
func TestTooManyPoints(t *testing.T) {
	pieces, _ := Through([]r3.Vector{{}, vec(10, 5, 0), vec(20, 0, 1)}, [2]r3.Vector{}, false)
	chain := append(pieces, Arc(vec(20, 1, 1), vec(0, -1, 0), vec(1, 0, 0), 0, math.Pi), Line(vec(20, 2, 1), vec(0, 2, 1)))
	all, _, ok := Flatten(chain, Scaling(1), .01, 1000)
	if !ok || len(all) < 20 {
		t.Fatalf("%d points, %v", len(all), ok)
	}
	for most := range len(all) {
		if got, _, ok := Flatten(chain, Scaling(1), .01, most); ok || len(got) > most {
			t.Errorf("at most %d: %d points, %v", most, len(got), ok)
		}
	}
	if got, _, ok := Flatten(chain, Scaling(1), .01, len(all)); !ok || !slices.Equal(got, all) {
		t.Errorf("just as many as it takes: %d points, %v", len(got), ok)
	}
}

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }
