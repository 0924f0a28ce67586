package drawing

import (
	"math"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"
)

// basis is the B-spline basis function by its definition (Cox and de Boor), as slow and plain as can be.
func basis(knots []float64, i, p int, u float64) float64 {
	if p == 0 {
		if knots[i] <= u && u < knots[i+1] {
			return 1
		}
		return 0
	}
	sum := 0.0
	if d := knots[i+p] - knots[i]; d > 0 {
		sum += (u - knots[i]) / d * basis(knots, i, p-1, u)
	}
	if d := knots[i+p+1] - knots[i+1]; d > 0 {
		sum += (knots[i+p+1] - u) / d * basis(knots, i+1, p-1, u)
	}
	return sum
}

// byDefinition is the point of a rational B-spline as the weighted sum of its control points.
func byDefinition(knots, weights []float64, points []r3.Vector, p int, u float64) r3.Vector {
	var sum r3.Vector
	all := 0.0
	for i, q := range points {
		b := weights[i] * basis(knots, i, p, u)
		sum, all = sum.Add(q.Mul(b)), all+b
	}
	return sum.Mul(1 / all)
}

// TestSplinesAgreeWithTheirDefinition draws random splines, of any degree, with weights and repeated knots,
// and compares path and length with the definition.
func TestSplinesAgreeWithTheirDefinition(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		p := rapid.IntRange(1, 5).Draw(t, "degree")
		n := p + 1 + rapid.IntRange(0, 5).Draw(t, "more")
		points := make([]r3.Vector, n)
		weights := make([]float64, n)
		for i := range n {
			c := rapid.SliceOfN(rapid.IntRange(-20, 20), 3, 3).Draw(t, "point")
			points[i] = vec(float64(c[0]), float64(c[1]), float64(c[2]))
			weights[i] = float64(rapid.IntRange(1, 8).Draw(t, "weight")) / 2
		}
		knots := make([]float64, n+p+1)
		for i := 1; i < len(knots); i++ {
			knots[i] = knots[i-1] + float64(rapid.SampledFrom([]int{0, 1, 1, 2}).Draw(t, "step"))
		}
		if rapid.Bool().Draw(t, "clamped") {
			for i := range p {
				knots[i], knots[n+p-i] = knots[p], knots[n]
			}
		}
		if knots[p] == knots[n] || repeated(knots[p:n+1]) > p {
			return
		}
		text := inMillimetres(spline(8, p, knots, weights, points...))
		d, err := ReadDXF(strings.NewReader(text), "x.dxf", Options{Chord: 0.005})
		if err != nil {
			t.Fatal(err)
		}
		if len(d.Paths) == 0 {
			return // all points in one place
		}
		checkAgainst(t, d.Paths[0], 0.005, func(s float64) r3.Vector {
			u := knots[p] + s*(knots[n]-knots[p])
			return byDefinition(knots, weights, points, p, math.Min(u, math.Nextafter(knots[n], 0)))
		})
	})
}

// repeated is the greatest number of equal knots in a row.
func repeated(knots []float64) int {
	most, run := 1, 1
	for i := 1; i < len(knots); i++ {
		if run++; knots[i] != knots[i-1] {
			run = 1
		}
		most = max(most, run)
	}
	return most
}

// checkAgainst samples a curve given over 0..1 densely: every sample lies within the chord tolerance of the
// path, and their length is the path's but for what the samples miss where the curve turns back on itself.
func checkAgainst(t *rapid.T, p Path, chord float64, at func(float64) r3.Vector) {
	const samples = 2000
	length, previous, from := 0.0, at(0), 0
	for i := 1; i <= samples; i++ {
		here := at(float64(i) / samples)
		length += here.Sub(previous).Norm()
		previous = here
		near := math.Inf(1)
		for k := from; k < len(p.Points); k++ {
			next := p.Points[(k+1)%len(p.Points)]
			if d := distanceToSegment(here, p.Points[k], next); d < near {
				near, from = d, k
			}
			if near <= chord && k > from+2 {
				break
			}
		}
		if near > chord*1.001 {
			near = distanceToPath(here, p) // the path comes by more than once
		}
		if near > chord*1.001+1e-9 {
			t.Fatalf("sample %d at %v lies %v off the path", i, here, near)
		}
	}
	if p.Length < length*(1-1e-9) || p.Length > length*1.005+1e-6 {
		t.Fatalf("length %v, %d samples give %v", p.Length, samples, length)
	}
}

func distanceToPath(at r3.Vector, p Path) float64 {
	near := math.Inf(1)
	for k := range p.Points {
		near = math.Min(near, distanceToSegment(at, p.Points[k], p.Points[(k+1)%len(p.Points)]))
	}
	return near
}

// TestNURBSCircleIsTheCircle checks every point, not only the length.
func TestNURBSCircleIsTheCircle(t *testing.T) {
	p := onePath(t, mustRead(t, inMillimetres(nurbsCircle(10, 1)), Options{}))
	for _, v := range p.Points {
		wantRelative(t, "radius", v.Norm(), 10, 1e-14)
	}
	if !p.Closed || len(p.Points) < 16 {
		t.Errorf("closed %v, %d points", p.Closed, len(p.Points))
	}
}

// TestPeriodicSpline closes without clamped knots.
func TestPeriodicSpline(t *testing.T) {
	corners := []r3.Vector{vec(0, 0, 0), vec(9, 0, 0), vec(9, 9, 0), vec(0, 9, 0)}
	points := append(slices.Clone(corners), corners[:3]...)
	knots := []float64{0, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10}
	d := mustRead(t, inMillimetres(spline(1|2|8, 3, knots, nil, points...)), Options{})
	p := onePath(t, d)
	if !p.Closed || len(d.Notes) > 0 {
		t.Errorf("closed %v, notes %q", p.Closed, d.Notes)
	}
	// Each span of a uniform cubic B-spline is a cubic whose derivative is a parabola in u: with the
	// symmetry of the square, four times the length of one span by Simpson's rule on many steps.
	speed := func(u float64) float64 {
		a, b, c := -(1-u)*(1-u)/2, (3*u*u-4*u)/2, (-3*u*u+2*u+1)/2
		return points[0].Mul(a).Add(points[1].Mul(b)).Add(points[2].Mul(c)).Add(points[3].Mul(u * u / 2)).Norm()
	}
	sum, steps := speed(0)+speed(1), 2000
	for i := 1; i < steps; i++ {
		sum += float64(2+2*(i%2)) * speed(float64(i)/float64(steps))
	}
	wantRelative(t, "length", p.Length, 4*sum/3/float64(steps), 1e-10)
}

// TestSplinesMended reads what some writers leave out.
func TestSplinesMended(t *testing.T) {
	whole := onePath(t, mustRead(t, inMillimetres(spline(8, 2, []float64{0, 0, 0, 1, 2, 2, 2}, nil, vec(0, 0, 0), vec(1, 2, 0), vec(3, 2, 0),
		vec(4, 0, 0))), Options{}))
	for name, knots := range map[string][]float64{"first and last knot left out": {0, 0, 1, 2, 2}, "no knots": nil} {
		p := onePath(t, mustRead(t, inMillimetres(spline(8, 2, knots, nil, vec(0, 0, 0), vec(1, 2, 0), vec(3, 2, 0), vec(4, 0, 0))), Options{}))
		wantRelative(t, name, p.Length, whole.Length, 1e-14)
	}
	d := mustRead(t, inMillimetres(spline(1|8, 1, []float64{0, 0, 1, 1}, nil, vec(0, 0, 0), vec(1, 0, 0))), Options{})
	if onePath(t, d).Closed || !hasNote(d, "ends do not meet") {
		t.Errorf("an open spline marked closed: %+v", d)
	}
}

// A spline that states no degree is cubic.
func TestSplineWithoutADegree(t *testing.T) {
	stated := spline(8, 3, nil, nil, vec(0, 0, 0), vec(1, 2, 0), vec(3, -2, 0), vec(4, 0, 0), vec(6, 1, 0), vec(7, 0, 0))
	left := strings.Replace(stated, "71\n3\n", "", 1)
	if left == stated {
		t.Fatalf("no degree in\n%s", stated)
	}
	a, b := onePath(t, mustRead(t, inMillimetres(stated), Options{})), onePath(t, mustRead(t, inMillimetres(left), Options{}))
	wantRelative(t, "length", b.Length, a.Length, 1e-15)
}

func fits(flags int, more []any, points ...r3.Vector) string {
	pairs := append([]any{70, flags, 71, 3, 74, len(points)}, more...)
	for _, p := range points {
		pairs = append(pairs, 11, p.X, 21, p.Y, 31, p.Z)
	}
	return record("SPLINE", pairs...)
}

// TestFitPoints checks the curve through fit points: it passes through them, turns without a jump, keeps
// straight lines straight and circles nearly round.
func TestFitPoints(t *testing.T) {
	t.Run("straight", func(t *testing.T) {
		d := mustRead(t, inMillimetres(fits(8, nil, vec(0, 0, 0), vec(1, 1, 1), vec(5, 5, 5))), Options{})
		wantRelative(t, "length", onePath(t, d).Length, 5*math.Sqrt(3), 1e-12)
		if !hasNote(d, "fit points") {
			t.Errorf("notes %q", d.Notes)
		}
	})
	t.Run("two points", func(t *testing.T) {
		d := mustRead(t, inMillimetres(fits(8, nil, vec(0, 0, 0), vec(3, 4, 0))), Options{})
		wantRelative(t, "length", onePath(t, d).Length, 5, 1e-15)
	})
	t.Run("closed round a circle", func(t *testing.T) {
		var points []r3.Vector
		for i := range 24 {
			points = append(points, vec(10*math.Cos(pi*float64(i)/12), 10*math.Sin(pi*float64(i)/12), 0))
		}
		for name, list := range map[string][]r3.Vector{"once": points, "start repeated": append(slices.Clone(points), points[0])} {
			p := onePath(t, mustRead(t, inMillimetres(fits(1|8, nil, list...)), Options{}))
			wantRelative(t, name, p.Length, 20*pi, 2e-5)
			if !p.Closed {
				t.Error("not closed")
			}
			for _, v := range points {
				if distanceToPath(v, p) > 1e-9 {
					t.Fatalf("%s: passes %v at %v", name, v, distanceToPath(v, p))
				}
			}
		}
	})
	t.Run("quarter circle between tangents", func(t *testing.T) {
		points := []r3.Vector{vec(10, 0, 0), vec(10*math.Cos(pi/6), 5, 0), vec(5, 10*math.Cos(pi/6), 0), vec(0, 10, 0)}
		p := onePath(t, mustRead(t, inMillimetres(fits(8, []any{12, 0, 22, 2, 32, 0, 13, -2, 23, 0, 33, 0}, points...)), fine))
		wantRelative(t, "length", p.Length, 5*pi, 1e-3)
		if d := p.Points[1].Sub(p.Points[0]); !(math.Abs(d.X) <= 0.01*d.Y) {
			t.Errorf("starts towards %v", d)
		}
	})
}
