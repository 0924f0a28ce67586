package drawing

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
)

// light writes an LWPOLYLINE: x, y and bulge for each vertex.
func light(flags int, vertices [][3]float64, more ...any) string {
	pairs := append([]any{8, "a", 90, len(vertices), 70, flags}, more...)
	for _, v := range vertices {
		pairs = append(pairs, 10, v[0], 20, v[1], 42, v[2])
	}
	return record("LWPOLYLINE", pairs...)
}

// old writes a POLYLINE with its vertices: x, y, z and bulge for each.
func old(flags int, vertices [][4]float64, more ...any) string {
	var b strings.Builder
	b.WriteString(record("POLYLINE", append([]any{8, "a", 66, 1, 70, flags}, more...)...))
	for _, v := range vertices {
		b.WriteString(record("VERTEX", 8, "a", 10, v[0], 20, v[1], 30, v[2], 42, v[3]))
	}
	b.WriteString(record("SEQEND"))
	return b.String()
}

// nurbsCircle is a full circle of the radius given as a quadratic spline of nine weighted points.
func nurbsCircle(radius float64, scaleOfWeights float64) string {
	pairs := []any{8, "a", 70, 1 | 4 | 8, 71, 2, 72, 12, 73, 9}
	for _, k := range []float64{0, 0, 0, 1, 1, 2, 2, 3, 3, 4, 4, 4} {
		pairs = append(pairs, 40, k)
	}
	for i := range 9 {
		w := scaleOfWeights
		if i%2 == 1 {
			w *= math.Sqrt2 / 2
		}
		pairs = append(pairs, 41, w)
	}
	for _, p := range [][2]float64{{1, 0}, {1, 1}, {0, 1}, {-1, 1}, {-1, 0}, {-1, -1}, {0, -1}, {1, -1}, {1, 0}} {
		pairs = append(pairs, 10, radius*p[0], 20, radius*p[1], 30, 0)
	}
	return record("SPLINE", pairs...)
}

func spline(flags, degree int, knots, weights []float64, points ...r3.Vector) string {
	pairs := []any{8, "a", 70, flags, 71, degree, 72, len(knots), 73, len(points)}
	for _, k := range knots {
		pairs = append(pairs, 40, k)
	}
	for _, w := range weights {
		pairs = append(pairs, 41, w)
	}
	for _, p := range points {
		pairs = append(pairs, 10, p.X, 20, p.Y, 30, p.Z)
	}
	return record("SPLINE", pairs...)
}

const pi = math.Pi

// curves are one entity each with what closed forms say of it: length, enclosed area where closed (signed in
// the xy plane), and the first and last point.
var curves = []struct {
	name        string
	entity      string
	kind        string
	length      float64
	closed      bool
	area        float64
	first, last r3.Vector // of an open curve
}{
	{"line in space", record("LINE", 8, "a", 10, 1, 20, 2, 30, 3, 11, 4, 21, 6, 31, 15), "LINE", 13, false, 0, vec(1, 2, 3), vec(4, 6, 15)},
	{"line without heights", record("LINE", 10, 0, 20, 0, 11, 3, 21, 4), "LINE", 5, false, 0, vec(0, 0, 0), vec(3, 4, 0)},
	{"line of an early release", record("3DLINE", 10, 0, 20, 0, 30, 1, 11, 3, 21, 4, 31, 1), "3DLINE", 5, false, 0, vec(0, 0, 1),
		vec(3, 4, 1)},
	{"line keeps out of its extrusion", record("LINE", 10, 1, 20, 0, 11, 4, 21, 4, 210, 0, 220, 0, 230, -1), "LINE", 5, false, 0, vec(1, 0, 0),
		vec(4, 4, 0)},
	{"quarter arc", record("ARC", 10, 1, 20, 2, 30, 5, 40, 10, 50, 0, 51, 90), "ARC", 5 * pi, false, 0, vec(11, 2, 5), vec(1, 12, 5)},
	{"arc over 0 degrees", record("ARC", 10, 0, 20, 0, 40, 6, 50, 330, 51, 30), "ARC", 2 * pi, false, 0, vec(6*math.Cos(pi/6), -3, 0),
		vec(6*math.Cos(pi/6), 3, 0)},
	{"arc with negative angles", record("ARC", 10, 0, 20, 0, 40, 6, 50, -90, 51, 0), "ARC", 3 * pi, false, 0, vec(0, -6, 0), vec(6, 0, 0)},
	{"full arc", record("ARC", 10, 0, 20, 0, 40, 2, 50, 90, 51, 450), "ARC", 4 * pi, true, 4 * pi, vec(0, 0, 0), vec(0, 0, 0)},
	{"arc seen from below", record("ARC", 10, 10, 20, 0, 30, 2, 40, 5, 50, 0, 51, 90, 210, 0, 220, 0, 230, -1), "ARC", 2.5 * pi, false, 0,
		vec(-15, 0, -2), vec(-10, 5, -2)},
	{"arc in the plane x = 7", record("ARC", 10, 0, 20, 0, 30, 7, 40, 2, 50, 0, 51, 90, 210, 1, 220, 0, 230, 0), "ARC", pi, false, 0,
		vec(7, 2, 0), vec(7, 0, 2)},
	{"circle", record("CIRCLE", 10, 3, 20, 4, 40, 5), "CIRCLE", 10 * pi, true, 25 * pi, vec(0, 0, 0), vec(0, 0, 0)},
	{"circle seen from below", record("CIRCLE", 10, 3, 20, 4, 40, 5, 210, 0, 220, 0, 230, -1), "CIRCLE", 10 * pi, true, -25 * pi, vec(0, 0, 0),
		vec(0, 0, 0)},
	{"circle on edge", record("CIRCLE", 10, 3, 20, 4, 40, 5, 210, 0, 220, 1, 230, 0), "CIRCLE", 10 * pi, true, 0, vec(0, 0, 0), vec(0, 0, 0)},
	{"ellipse", record("ELLIPSE", 10, 1, 20, 1, 11, 0, 21, 5, 31, 0, 40, 0.6, 41, 0, 42, 2*pi), "ELLIPSE", ellipsePerimeter(5, 3), true,
		15 * pi,
		vec(0, 0, 0), vec(0, 0, 0)},
	{"ellipse without parameters", record("ELLIPSE", 10, 1, 20, 1, 11, 5, 21, 0, 40, 0.6), "ELLIPSE", ellipsePerimeter(5, 3), true,
		15 * pi,
		vec(0, 0, 0), vec(0, 0, 0)},
	{"thin ellipse", record("ELLIPSE", 10, 0, 20, 0, 11, 500, 21, 0, 40, 0.001), "ELLIPSE", ellipsePerimeter(500, 0.5), true, 250 * pi,
		vec(0, 0, 0), vec(0, 0, 0)},
	{"round ellipse", record("ELLIPSE", 10, 0, 20, 0, 11, 3, 21, 4, 40, 1), "ELLIPSE", 10 * pi, true, 25 * pi, vec(0, 0, 0), vec(0, 0, 0)},
	{"ellipse rounded to six decimals", record("ELLIPSE", 10, 0, 20, 0, 11, 3, 21, 4, 40, 1, 41, 0, 42, 6.283185), "ELLIPSE", 10 * pi, true,
		25 * pi, vec(0, 0, 0), vec(0, 0, 0)},
	{"ellipse quarter", record("ELLIPSE", 10, 0, 20, 0, 11, 5, 21, 0, 40, 0.6, 41, pi/2, 42, pi), "ELLIPSE", ellipsePerimeter(5, 3) / 4, false,
		0, vec(0, 3, 0), vec(-5, 0, 0)},
	{"ellipse seen from below", record("ELLIPSE", 10, 0, 20, 0, 11, 5, 21, 0, 40, 0.6, 41, 0, 42, pi/2, 210, 0, 220, 0, 230, -1), "ELLIPSE",
		ellipsePerimeter(5, 3) / 4, false, 0, vec(5, 0, 0), vec(0, -3, 0)},
	{"open polyline", light(0, [][3]float64{{0, 0, 0}, {3, 4, 0}, {3, 10, 0}}), "LWPOLYLINE", 11, false, 0, vec(0, 0, 0), vec(3, 10, 0)},
	{"closed polyline", light(1, [][3]float64{{0, 0, 0}, {4, 0, 0}, {4, 3, 0}}), "LWPOLYLINE", 12, true, 6, vec(0, 0, 0), vec(0, 0, 0)},
	{"closed polyline that repeats its start", light(1, [][3]float64{{0, 0, 0}, {4, 0, 0}, {4, 3, 0}, {0, 0, 0}}), "LWPOLYLINE", 12, true, 6,
		vec(0, 0, 0), vec(0, 0, 0)},
	{"open polyline that ends at its start", light(0, [][3]float64{{0, 0, 0}, {4, 0, 0}, {4, 3, 0}, {0, 0, 0}}), "LWPOLYLINE", 12, true, 6,
		vec(0, 0, 0), vec(0, 0, 0)},
	{"bulge 1", light(0, [][3]float64{{0, 0, 1}, {10, 0, 0}}), "LWPOLYLINE", 5 * pi, false, 0, vec(0, 0, 0), vec(10, 0, 0)},
	{"bulges 1 and 1 make a circle", light(1, [][3]float64{{0, 0, 1}, {10, 0, 1}}), "LWPOLYLINE", 10 * pi, true, 25 * pi, vec(0, 0, 0),
		vec(0, 0, 0)},
	{"bulges -1 and -1 make it backwards", light(1, [][3]float64{{0, 0, -1}, {10, 0, -1}}), "LWPOLYLINE", 10 * pi, true, -25 * pi,
		vec(0, 0, 0), vec(0, 0, 0)},
	{"bulge on the closing piece", light(1, [][3]float64{{0, 0, 0}, {10, 0, 0}, {10, 6, 0}, {0, 6, 1}}), "LWPOLYLINE", 26 + 3*pi, true,
		60 + 4.5*pi, vec(0, 0, 0), vec(0, 0, 0)},
	{"bulge inwards on the closing piece", light(1, [][3]float64{{0, 0, 0}, {10, 0, 0}, {10, 6, 0}, {0, 6, -1}}), "LWPOLYLINE", 26 + 3*pi,
		true, 60 - 4.5*pi, vec(0, 0, 0), vec(0, 0, 0)},
	{"closing bulge on an open polyline does nothing", light(0, [][3]float64{{0, 0, 0}, {10, 0, 1}}), "LWPOLYLINE", 10, false, 0,
		vec(0, 0, 0), vec(10, 0, 0)},
	{"quarter bulge", light(0, [][3]float64{{5, 0, math.Tan(pi / 8)}, {0, 5, 0}}), "LWPOLYLINE", 2.5 * pi, false, 0, vec(5, 0, 0),
		vec(0, 5, 0)},
	{"tiny bulge", light(0, [][3]float64{{0, 0, 1e-9}, {10, 0, 0}}), "LWPOLYLINE", 10, false, 0, vec(0, 0, 0), vec(10, 0, 0)},
	{"bulge below the least", light(0, [][3]float64{{0, 0, 1e-200}, {10, 0, 0}}), "LWPOLYLINE", 10, false, 0, vec(0, 0, 0), vec(10, 0, 0)},
	// The chord is 1, so the radius is (1+b²)/(4b) and the angle 4 atan b.
	{"huge bulge", light(0, [][3]float64{{0, 0, 1000}, {1, 0, 0}}), "LWPOLYLINE", (1 + 1e6) / 4000 * 4 * math.Atan(1000), false, 0,
		vec(0, 0, 0), vec(1, 0, 0)},
	{"polyline at a height, seen from below", light(0, [][3]float64{{1, 0, 0}, {4, 4, 0}}, 38, 7, 210, 0, 220, 0, 230, -1), "LWPOLYLINE", 5,
		false, 0, vec(-1, 0, -7), vec(-4, 4, -7)},
	{"bulge seen from below", light(1, [][3]float64{{0, 0, 1}, {10, 0, 1}}, 210, 0, 220, 0, 230, -1), "LWPOLYLINE", 10 * pi, true, -25 * pi,
		vec(0, 0, 0), vec(0, 0, 0)},
	{"old flat polyline", old(1, [][4]float64{{0, 0, 0, 0}, {4, 0, 0, 0}, {4, 3, 0, 0}}), "POLYLINE", 12, true, 6, vec(0, 0, 0), vec(0, 0, 0)},
	{"old polyline with bulges", old(1, [][4]float64{{0, 0, 0, 1}, {10, 0, 0, 1}}), "POLYLINE", 10 * pi, true, 25 * pi, vec(0, 0, 0),
		vec(0, 0, 0)},
	{"old polyline at its own height", old(0, [][4]float64{{0, 0, 9, 0}, {3, 4, 9, 0}}, 10, 0, 20, 0, 30, 2), "POLYLINE", 5, false, 0,
		vec(0, 0, 2), vec(3, 4, 2)},
	{"old polyline at its vertices' height", old(0, [][4]float64{{0, 0, 9, 0}, {3, 4, 9, 0}}), "POLYLINE", 5, false, 0, vec(0, 0, 9),
		vec(3, 4, 9)},
	{"old polyline seen from below", old(0, [][4]float64{{1, 0, 9, 0}, {4, 4, 9, 0}}, 210, 0, 220, 0, 230, -1), "POLYLINE", 5, false, 0,
		vec(-1, 0, -9), vec(-4, 4, -9)},
	{"polyline in space", old(8, [][4]float64{{0, 0, 0, 0}, {3, 4, 12, 0}}, 10, 0, 20, 0, 30, 5), "POLYLINE", 13, false, 0, vec(0, 0, 0),
		vec(3, 4, 12)},
	{"closed polyline in space, bulges without effect", old(9, [][4]float64{{0, 0, 0, 1}, {4, 0, 0, 1}, {4, 3, 0, 1}}), "POLYLINE", 12, true,
		6, vec(0, 0, 0), vec(0, 0, 0)},
	{"spline that is a circle", nurbsCircle(10, 1), "SPLINE", 20 * pi, true, 100 * pi, vec(0, 0, 0), vec(0, 0, 0)},
	{"weights count by their ratios", nurbsCircle(10, 1e-3), "SPLINE", 20 * pi, true, 100 * pi, vec(0, 0, 0), vec(0, 0, 0)},
	{"straight spline", spline(8, 1, []float64{0, 0, 1, 2, 2}, nil, vec(0, 0, 0), vec(3, 4, 0), vec(3, 4, 5)), "SPLINE", 10, false, 0,
		vec(0, 0, 0), vec(3, 4, 5)},
	{"parabola", spline(8, 2, []float64{0, 0, 0, 1, 1, 1}, nil, vec(-1, 1, 0), vec(0, -1, 0), vec(1, 1, 0)), "SPLINE",
		math.Sqrt(5) + math.Asinh(2)/2, false, 0, vec(-1, 1, 0), vec(1, 1, 0)},
	{"parabola of higher degree", spline(8, 3, []float64{0, 0, 0, 0, 1, 1, 1, 1}, nil, vec(-1, 1, 0), vec(-1./3, -1./3, 0),
		vec(1./3, -1./3, 0), vec(1, 1, 0)), "SPLINE", math.Sqrt(5) + math.Asinh(2)/2, false, 0, vec(-1, 1, 0), vec(1, 1, 0)},
	{"cusp", spline(8, 3, []float64{0, 0, 0, 0, 1, 1, 1, 1}, nil, vec(0, 0, 0), vec(0, 0, 0), vec(0, 1, 0), vec(1, 1, 0)), "SPLINE",
		cuspLength, false, 0, vec(0, 0, 0), vec(1, 1, 0)},
}

// cuspLength is that of (t³, 3t²-2t³) over 0..1: the integral of 3t·sqrt(t² + 4(1-t)²) = 3t·sqrt(5t²-8t+4),
// by the antiderivatives of sqrt of a quadratic.
var cuspLength = func() float64 {
	// With q = 5t²-8t+4: t = (q' + 8)/10, so the integral is 3/10·(2/3 q^1.5) + 2.4·∫sqrt q.
	q := func(t float64) float64 { return 5*t*t - 8*t + 4 }
	root := func(t float64) float64 { // of sqrt(5)·sqrt(u² + 4/25), u = t - 0.8
		u, k := t-0.8, 4.0/25
		return math.Sqrt(5) / 2 * (u*math.Sqrt(u*u+k) + k*math.Log(u+math.Sqrt(u*u+k)))
	}
	whole := func(t float64) float64 { return 0.2*math.Pow(q(t), 1.5) + 2.4*root(t) }
	return whole(1) - whole(0)
}()

func TestCurvesHaveTheirClosedForms(t *testing.T) {
	for _, c := range curves {
		t.Run(c.name, func(t *testing.T) {
			p := onePath(t, mustRead(t, inMillimetres(c.entity), fine))
			if p.Kind != c.kind {
				t.Errorf("kind %s, want %s", p.Kind, c.kind)
			}
			tolerance := 1e-10
			if strings.Contains(c.name, "rounded") {
				tolerance = 1e-6
			}
			wantRelative(t, "length", p.Length, c.length, tolerance)
			// A chord at distance d leaves a circle of radius r short by about 4d/3r of its length.
			wantRelative(t, "chords", polylineLength(p.Points, p.Closed), c.length, 1e-4)
			if p.Closed != c.closed {
				t.Fatalf("closed = %v", p.Closed)
			}
			if c.closed {
				if got := flatArea(p.Points); !(math.Abs(got-c.area) <= c.length*1e-5) {
					t.Errorf("area %.9g, want %.9g", got, c.area)
				}
				return
			}
			wantPoint(t, "first point", p.Points[0], c.first, 1e-12)
			wantPoint(t, "last point", p.Points[len(p.Points)-1], c.last, 1e-12)
		})
	}
}

// TestEntitiesOfNoSizeAreCounted reads what has nothing to it.
func TestEntitiesOfNoSizeAreCounted(t *testing.T) {
	d := mustRead(t, inMillimetres(
		record("LINE", 10, 1, 20, 1, 11, 1, 21, 1),
		record("CIRCLE", 10, 1, 20, 1, 40, 0),
		record("ARC", 10, 1, 20, 1, 40, 3, 50, 30, 51, 30),
		record("ARC", 10, 1, 20, 1, 40, 3, 50, 30, 51, 30.0000000001),
		record("ELLIPSE", 10, 1, 20, 1, 11, 4, 21, 0, 40, 0),
		light(0, [][3]float64{{1, 1, 0}}),
		light(1, [][3]float64{{1, 1, 0}, {1, 1, 0}}),
		light(0, nil),
		old(0, nil),
		record("SPLINE", 70, 8, 71, 3, 10, 1, 20, 1, 30, 1),
		record("SPLINE", 70, 8, 71, 3),
		spline(8, 3, []float64{0, 0, 0, 0, 1, 1, 1, 1}, nil, vec(1, 1, 1), vec(1, 1, 1), vec(1, 1, 1), vec(1, 1, 1)),
	), Options{})
	if len(d.Paths) != 0 {
		t.Errorf("%d paths", len(d.Paths))
	}
	const want = "skipped: 1 LINE of no size, 1 CIRCLE of no size, 2 ARC of no size, 1 ELLIPSE of no size, 3 LWPOLYLINE of no size, 1 " +
		"POLYLINE of no size, 3 SPLINE of no size"
	if !hasNote(d, want) {
		t.Errorf("notes %q", d.Notes)
	}
}

// TestWhatIsNoOutlineIsCounted names what is skipped.
func TestWhatIsNoOutlineIsCounted(t *testing.T) {
	d := mustRead(t, inMillimetres(
		record("MTEXT", 10, 1, 20, 1, 1, "words"), record("HATCH", 10, 0, 20, 0), record("MTEXT"), record("POINT", 10, 1, 20, 2),
		record("DIMENSION", 2, "*D1"), record("LINE", 10, 0, 20, 0, 11, 1, 21, 0),
		old(64, [][4]float64{{0, 0, 0, 0}, {1, 0, 0, 0}}), old(16, [][4]float64{{0, 0, 0, 0}, {1, 0, 0, 0}}),
		record("LINE", 67, 1, 10, 0, 20, 0, 11, 1, 21, 0), record("CIRCLE", 67, 1, 40, "not even read"),
		record("LINE", 60, 1, 10, 0, 20, 0, 11, 2, 21, 0),
	), Options{})
	if len(d.Paths) != 2 {
		t.Errorf("%d paths, want 2", len(d.Paths))
	}
	for _, want := range []string{"skipped: 2 MTEXT, 1 HATCH, 1 POINT, 1 DIMENSION, 2 POLYLINE mesh", "skipped: 2 in paper space",
		"marked invisible in the drawing, but read all the same: 1"} {
		if !hasNote(d, want) {
			t.Errorf("no note %q in %q", want, d.Notes)
		}
	}
}

// TestOldPolylineOddities covers curve fitting, missing ends and vertices at odd heights.
func TestOldPolylineOddities(t *testing.T) {
	frame := record("VERTEX", 10, 5, 20, 50, 70, 16)
	fitted := record("POLYLINE", 66, 1, 70, 4) + record("VERTEX", 10, 0, 20, 0, 70, 8) + frame + record("VERTEX", 10, 10, 20, 0, 70, 10)
	p := onePath(t, mustRead(t, inMillimetres(fitted), Options{})) // no SEQEND either; the last vertex has a tangent, too
	wantRelative(t, "length without the control frame", p.Length, 10, 1e-12)

	d := mustRead(t, inMillimetres(old(0, [][4]float64{{0, 0, 0, 0}, {3, 4, 12, 0}})), Options{})
	wantRelative(t, "flat length", onePath(t, d).Length, 5, 1e-12)
	if !hasNote(d, "different heights") {
		t.Errorf("notes %q", d.Notes)
	}
}

// TestGroupsThatAreNotTheEntitys reads an entity with extended data, an application's group and an embedded
// object, which all use codes that would otherwise be coordinates or flags.
func TestGroupsThatAreNotTheEntitys(t *testing.T) {
	e := record("LINE", 5, "1F", 102, "{ACAD_REACTORS", 330, "1E", 67, 1, 102, "}", 100, "AcDbLine", 10, 0, 20, 0, 11, 3, 21, 4,
		1001, "APP", 1010, 9, 1020, 9, 1030, 9, 101, "Embedded Object", 10, 77, 11, 88, 31, 5)
	p := onePath(t, mustRead(t, inMillimetres(e), Options{}))
	wantRelative(t, "length", p.Length, 5, 1e-15)
}

// TestChordTolerance compares the number of points with the tolerance asked for.
func TestChordTolerance(t *testing.T) {
	for _, chord := range []float64{1e-4, 0.02, 0.5, 50} {
		p := onePath(t, mustRead(t, inMillimetres(record("CIRCLE", 10, 0, 20, 0, 40, 100)), Options{Chord: chord}))
		rise := 100 * (1 - math.Cos(math.Pi/float64(len(p.Points))))
		next := 100 * (1 - math.Cos(math.Pi/float64(len(p.Points)-1)))
		if rise > chord || (next <= chord && len(p.Points) > 16) {
			t.Errorf("chord %v: %d points leave %v", chord, len(p.Points), rise)
		}
	}
	for _, bad := range []float64{-1, math.NaN(), math.Inf(1)} {
		if _, err := ReadDXF(strings.NewReader(inMillimetres()), "x.dxf", Options{Chord: bad}); err == nil {
			t.Errorf("chord %v is taken", bad)
		}
	}
}

func TestLayerOfAnEntity(t *testing.T) {
	tables := section("TABLES", record("TABLE", 2, "LAYER", 70, 3),
		record("LAYER", 2, "Outline", 70, 0, 62, 7), record("LAYER", 2, "Cold", 70, 1, 62, 7), record("LAYER", 2, "Dark", 70, 0, 62, -7),
		record("ENDTAB"))
	line := func(layer string) string { return record("LINE", 8, layer, 10, 0, 20, 0, 11, 1, 21, 0) }
	text := insunits(4) + tables + section("ENTITIES", line(" OUTLINE "), line("cold"), line("cold"), line("dark"), line(`B\U+00F6rd`),
		line("F\xe4lt"), line("ж")) + eof
	d := mustRead(t, text, Options{})
	var got []string
	for _, p := range d.Paths {
		got = append(got, p.Layer)
	}
	if want := "[Outline Cold Cold Dark Börd Fält ж]"; fmt.Sprint(got) != want {
		t.Errorf("layers %v, want %s", got, want)
	}
	for _, want := range []string{`layer "Cold" is frozen in the drawing; its entities are read all the same: 2`,
		`layer "Dark" is off in the drawing; its entities are read all the same: 1`} {
		if !hasNote(d, want) {
			t.Errorf("no note %q in %q", want, d.Notes)
		}
	}
}

func TestCodePages(t *testing.T) {
	line := record("LINE", 8, "\xc4", 10, 0, 20, 0, 11, 1, 21, 0)
	for page, want := range map[string]string{"ANSI_1252": "Ä", "ansi_1251": "Д", "DOS850": "─", "ANSI_936": "Ä", "": "Ä"} {
		text := section("HEADER", "  9\n$DWGCODEPAGE\n  3\n"+page+"\n") + section("ENTITIES", line) + eof
		if got := onePath(t, mustRead(t, text, Options{})).Layer; got != want {
			t.Errorf("code page %q: layer %q, want %q", page, got, want)
		}
	}
}
