package rollers

import (
	"math"
	"math/rand/v2"
	"reflect"
	"seamwright/internal/record"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/flange"
	"seamwright/seams/roller"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

// along builds stations 2 mm apart on a curve given by arc length, on a strip 16 mm wide with a free edge on
// the left and a bend on the right.
func along(length float64, closed bool, at func(s float64) (p, along, axis r3.Vector)) Line {
	n := int(math.Ceil(length / 2))
	last := n
	if closed {
		last = n - 1
	}
	out := Line{ID: "f1", Closed: closed}
	for i := 0; i <= last; i++ {
		s := length * float64(i) / float64(n)
		p, t, axis := at(s)
		out.Stations = append(out.Stations, flange.LinePoint{S: s, Point: p, Along: t, Axis: axis, Across: axis.Cross(t), Left: 8, Right: 8,
			LeftEdge: flange.FreeEdge, RightEdge: flange.Bend, LeftSheet: 0, RightSheet: -1})
	}
	return out
}

func straight(length float64) Line {
	return along(length, false, func(s float64) (p, t, axis r3.Vector) { return vec(s, 0, 0), vec(1, 0, 0), vec(0, 0, 1) })
}

func ring(radius float64) Line {
	return along(2*math.Pi*radius, true, func(s float64) (p, t, axis r3.Vector) {
		sin, cos := math.Sincos(s / radius)
		return vec(radius*cos, radius*sin, 0), vec(-sin, cos, 0), vec(0, 0, 1)
	})
}

// arch bends out of the plane of the sheets.
func arch(radius float64) Line {
	return along(math.Pi*radius, false, func(s float64) (p, t, axis r3.Vector) {
		sin, cos := math.Sincos(s / radius)
		return vec(-radius*cos, 0, radius*sin), vec(sin, 0, cos), vec(-cos, 0, sin)
	})
}

// gutter is two straights and a quarter of a circle in the plane of the sheets.
func gutter(leg, radius float64) Line {
	arc := radius * math.Pi / 2
	return along(2*leg+arc, false, func(s float64) (p, t, axis r3.Vector) {
		up := vec(0, 0, 1)
		switch {
		case s <= leg:
			return vec(s, 0, 0), vec(1, 0, 0), up
		case s >= leg+arc:
			return vec(leg+radius, radius+s-leg-arc, 0), vec(0, 1, 0), up
		}
		sin, cos := math.Sincos((s - leg) / radius)
		return vec(leg+radius*sin, radius-radius*cos, 0), vec(cos, sin, 0), up
	})
}

func request(l Line) Request {
	return Request{Line: l, Wheel: 6, Diameter: 200, LeastRadius: 60, Edge: 5, Bend: 1, Speed: 30}
}

func lay(t rapid.TB, r Request) Path {
	t.Helper()
	out, err := Lay(r)
	if err != nil {
		t.Fatal(err)
	}
	return out
}

func near(a, b, by float64) bool { return math.Abs(a-b) <= by }

func TestClosedForms(t *testing.T) {
	inf := math.Inf(1)
	for _, test := range []struct {
		name           string
		line           Line
		length         float64
		inPlane, total float64
		kinds          []Kind
		rollable       int
	}{
		{"straight", straight(900), 900, inf, inf, nil, 1},
		{"ring that can be rolled", ring(80), 2 * math.Pi * 80, 80, 80, nil, 1},
		{"ring that cannot", ring(40), 2 * math.Pi * 40, 40, 40, []Kind{Turn}, 0},
		{"arch that the wheel fits under", arch(150), math.Pi * 150, inf, 150, nil, 1},
		{"arch that it does not", arch(80), math.Pi * 80, inf, 80, []Kind{Hollow}, 2},
		{"gutter", gutter(300, 90), 600 + 90*math.Pi/2, 90, 90, nil, 1},
		{"gutter too tight", gutter(300, 30), 600 + 30*math.Pi/2, 30, 30, []Kind{Turn}, 2},
	} {
		t.Run(test.name, func(t *testing.T) {
			p := lay(t, request(test.line))
			if !near(p.Length, test.length, 0.002*test.length) {
				t.Errorf("length %g, want %g", p.Length, test.length)
			}
			if !near(p.Seconds, p.Length/30, 1e-9) {
				t.Errorf("%g s for %g mm at 30 mm/s", p.Seconds, p.Length)
			}
			for _, r := range []struct{ got, want float64 }{{p.InPlane.Radius, test.inPlane}, {p.Total.Radius, test.total}} {
				if math.IsInf(r.want, 1) != (r.got > 1e5) || !math.IsInf(r.want, 1) && !near(r.got, r.want, 0.08*r.want) {
					t.Errorf("radius %g, want %g", r.got, r.want)
				}
			}
			var kinds []Kind
			for _, q := range p.Problems {
				kinds = append(kinds, q.Kind)
			}
			if !reflect.DeepEqual(kinds, test.kinds) || len(p.Rollable) != test.rollable {
				t.Errorf("problems %v, rollable %v", p.Problems, p.Rollable)
			}
		})
	}
}

// The seam rules measure radii in their own way: both must agree.
func TestRadiiAgreeWithTheSeamRules(t *testing.T) {
	for _, l := range []Line{ring(80), ring(25), arch(120), gutter(200, 70), gutter(200, 25)} {
		p := lay(t, request(l))
		bends, err := roller.Bends(p.Points, p.Normals, p.Closed, 0)
		if err != nil {
			t.Fatal(err)
		}
		tightest := 0.0
		for _, b := range bends {
			tightest = math.Max(tightest, b.Side)
		}
		if a := 1 / p.InPlane.Radius; !near(a, tightest, 1e-6) {
			t.Errorf("least radius %g, by the seam rules %g", p.InPlane.Radius, 1/tightest)
		}
	}
}

func TestTightStretchIsPlaced(t *testing.T) {
	p := lay(t, request(gutter(300, 30)))
	q := p.Problems[0]
	if !near(q.From, 300, 15) || !near(q.To, 300+30*math.Pi/2, 15) || q.At.Distance(vec(321, 9, 0)) > 15 || q.Limit != 60 ||
		!strings.Contains(q.String(), "60.0 mm") {
		t.Errorf("%v at %v", q, q.At)
	}
	if a, b := p.Rollable[0], p.Rollable[1]; a.From != 0 || a.To >= q.From || b.From <= q.To || !near(b.To, 600+15*math.Pi, 1e-6) {
		t.Errorf("rollable %v around %v to %v", p.Rollable, q.From, q.To)
	}
}

func TestAcrossTheStrip(t *testing.T) {
	for _, test := range []struct {
		name        string
		left, right float64
		l, r        flange.Edge
		offset      float64
		short       float64
	}{
		{"room on both sides", 8, 8, flange.FreeEdge, flange.Bend, 0, 0},
		{"off the bend", 10, 2, flange.FreeEdge, flange.Bend, 2, 0},
		{"off the edge", 3, 9, flange.FreeEdge, flange.Bend, -2, 0},
		{"sheets part", 2, 9, flange.GapOpens, flange.Bend, -1, 0},
		{"too narrow", 4, 4, flange.FreeEdge, flange.Bend, -0.5, 1},
	} {
		t.Run(test.name, func(t *testing.T) {
			l := straight(300)
			for i := range l.Stations {
				st := &l.Stations[i]
				st.Left, st.Right, st.LeftEdge, st.RightEdge = test.left, test.right, test.l, test.r
			}
			p := lay(t, request(l))
			for i, o := range p.Offset {
				if !near(o, test.offset, 1e-6) || !near(p.Points[i].Y, test.offset, 1e-6) {
					t.Fatalf("offset %g at %g, want %g", o, p.S[i], test.offset)
				}
			}
			if (len(p.Problems) == 1) != (test.short > 0) || len(p.Problems) == 1 && !near(p.Problems[0].Limit-p.Problems[0].Value, test.short,
				1e-9) {
				t.Errorf("problems %v, want %g short", p.Problems, test.short)
			}
		})
	}
}

// A bulge of the bend into the strip pushes the path aside, smoothly: it keeps the bound all along, and no
// turn is as tight as following the bound would need.
func TestPathGoesRoundABulgeSmoothly(t *testing.T) {
	l := straight(600)
	for i := range l.Stations {
		if s := l.Stations[i].S; s > 280 && s < 320 {
			l.Stations[i].Right = 2 // the wheel keeps 4 from the bend: 2 to the left
		}
	}
	p := lay(t, request(l))
	for i, s := range p.S {
		if s > 280 && s < 320 && p.Offset[i] < 2-0.02 {
			t.Errorf("offset %g at %g breaks the bound of 2", p.Offset[i], s)
		}
		if (s < 200 || s > 400) && !(math.Abs(p.Offset[i]) <= 0.2) {
			t.Errorf("offset %g far from the bulge, at %g", p.Offset[i], s)
		}
	}
	if p.InPlane.Radius < 60 {
		t.Errorf("the path turns with %g mm", p.InPlane.Radius)
	}
}

// The stagger of triangles is taken out, the line itself stays.
func TestRipplesAreTakenOut(t *testing.T) {
	rng := rand.New(rand.NewPCG(1, 1))
	for _, line := range []Line{straight(500), ring(80), gutter(300, 90)} {
		clean := lay(t, request(line))
		rough := line
		rough.Stations = append([]flange.LinePoint(nil), line.Stations...)
		for i := range rough.Stations {
			st := &rough.Stations[i]
			by := 0.3 * (2*rng.Float64() - 1)
			st.Point, st.Left, st.Right = st.Point.Add(st.Across.Mul(by)), st.Left-by, st.Right+by
		}
		p := lay(t, request(rough))
		worst, sum := 0.0, 0.0
		for i := range p.Points {
			d := p.Points[i].Distance(clean.Points[min(i, len(clean.Points)-1)])
			worst, sum = math.Max(worst, d), sum+d/float64(len(p.Points))
		}
		if worst > 0.3 || sum > 0.1 {
			t.Errorf("the path is %g mm off at worst, %g on the mean", worst, sum)
		}
		if len(p.Problems) > 0 {
			t.Errorf("ripples of 0.3 mm make problems: %v", p.Problems)
		}
		for i := range clean.Offset {
			if !(math.Abs(clean.Offset[i]) <= 0.35) {
				t.Errorf("smoothing moves a clean line by %g mm at %g", clean.Offset[i], clean.S[i])
				break
			}
		}
	}
}

func TestEndsAndOverlap(t *testing.T) {
	r := request(straight(500))
	r.Start, r.End = 12.5, 20
	p := lay(t, r)
	if !near(p.Length, 467.5, 1e-6) || p.Points[0].X != 12.5 || !near(p.Points[len(p.Points)-1].X, 480, 1e-9) {
		t.Errorf("length %g from %v to %v", p.Length, p.Points[0], p.Points[len(p.Points)-1])
	}
	r.Start = 490
	if p = lay(t, r); len(p.Problems) != 1 || p.Problems[0].Kind != Short || p.Length != 0 {
		t.Errorf("nothing left to roll: %+v", p)
	}
	r = request(ring(80))
	r.Overlap = 15
	if p = lay(t, r); !near(p.Rolled-p.Length, 15, 1e-9) || !near(p.Seconds, p.Rolled/30, 1e-9) || !p.Closed {
		t.Errorf("rolled %g of %g mm", p.Rolled, p.Length)
	}
	r.Speed = 0
	if p = lay(t, r); p.Seconds != 0 {
		t.Errorf("%g s at no known speed", p.Seconds)
	}
}

// A closed path is smooth over its closing point, and the rollable stretch may go on over it.
func TestClosingPoint(t *testing.T) {
	p := lay(t, request(ring(80)))
	n := len(p.Points)
	if d, want := p.Points[0].Distance(p.Points[n-1]), p.Length/float64(n); !near(d, want, 0.05*want) {
		t.Errorf("the closing step is %g, the others %g", d, want)
	}
	// a rounded rectangle with one tight corner away from the start
	l := ring(80)
	path := Path{Closed: true}
	for _, st := range l.Stations {
		path.S = append(path.S, st.S)
	}
	blocked := make([]bool, len(path.S))
	blocked[50] = true
	if got := path.free(blocked); len(got) != 1 || got[0].From != path.S[51] || got[0].To != path.S[49] {
		t.Errorf("rollable %v", got)
	}
}

func TestErrors(t *testing.T) {
	said := record.Errors(t)
	for _, test := range []struct {
		want  string
		spoil func(*Request)
	}{
		{"no line", func(r *Request) { r.Line.Stations = nil }},
		{"no line", func(r *Request) { r.Line.Stations, r.Line.Closed = r.Line.Stations[:2], true }},
		{"not finite", func(r *Request) { r.Line.Stations[2].Axis.Z = math.NaN() }},
		{"does not lie after", func(r *Request) { r.Line.Stations[2].S = 1 }},
		{"is none", func(r *Request) { r.Wheel = -1 }},
		{"is none", func(r *Request) { r.Speed = math.Inf(1) }},
	} {
		r := request(straight(100))
		test.spoil(&r)
		if _, err := Lay(r); err == nil || !said.Has(err, test.want) || !strings.Contains(err.Error(), "roller seam on f1") {
			t.Errorf("error %v, want one about %q that names the line", err, test.want)
		}
	}
}

// On any strip: the path keeps its bounds, and the same request gives the same path.
func TestPathKeepsItsBounds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "seed"), 1))
		lines := []Line{straight(30 + 500*rng.Float64()), ring(15 + 100*rng.Float64()), gutter(50+100*rng.Float64(), 20+80*rng.Float64())}
		r := request(lines[rng.IntN(3)])
		left, right := 4.0, 4.0
		for i := range r.Line.Stations {
			if rng.IntN(20) == 0 {
				left, right = 3+8*rng.Float64(), 3+8*rng.Float64()
			}
			r.Line.Stations[i].Left, r.Line.Stations[i].Right = left, right
		}
		p := lay(t, r)
		line := resample(r.Line)
		low, high, _ := r.bounds(line)
		if len(p.Offset) != len(low) {
			t.Fatalf("%d points for %d stations", len(p.Offset), len(low))
		}
		for i, o := range p.Offset {
			if o < low[i]-1e-6 || o > high[i]+1e-6 || math.IsNaN(o) {
				t.Fatalf("offset %g outside %g to %g at %g", o, low[i], high[i], p.S[i])
			}
		}
		if !reflect.DeepEqual(p, lay(t, r)) {
			t.Fatal("the same request gives two paths")
		}
	})
}

func BenchmarkLay(b *testing.B) {
	r := request(gutter(2500, 120))
	b.ReportAllocs()
	for b.Loop() {
		lay(b, r)
	}
}

// Between two free edges a wheel needs its whole width, however near to an edge welds may be.
func TestAWheelLiesOnTheStrip(t *testing.T) {
	l := straight(400)
	for i := range l.Stations {
		l.Stations[i].Left, l.Stations[i].Right, l.Stations[i].RightEdge = 6, 6, flange.FreeEdge
	}
	for wheel, fits := range map[float64]bool{11.8: true, 12.4: false} {
		r := request(l)
		r.Wheel, r.Edge = wheel, 4
		narrow := slices.ContainsFunc(lay(t, r).Problems, func(p Problem) bool { return p.Kind == Narrow })
		if narrow == fits {
			t.Errorf("a wheel of %g mm on a strip of 12 mm: narrow %v", wheel, narrow)
		}
	}
}

// weightOf promises that a ripple of the given length is halved, and so it is away from the ends of a long line.
func TestARippleOfTheGivenLengthIsHalved(t *testing.T) {
	const length, high = 60.0, 0.4
	line := resample(straight(1200))
	wide := make([]float64, len(line.stations))
	low := make([]float64, len(line.stations))
	for i := range line.stations {
		st := &line.stations[i]
		st.Point = st.Point.Add(st.Across.Mul(high * math.Sin(2*math.Pi*st.S/length)))
		low[i], wide[i] = -8, 8
	}
	offset := smoothed(line, low, wide, length)
	for i := len(offset) / 4; i < 3*len(offset)/4; i++ {
		if want := -high / 2 * math.Sin(2*math.Pi*line.stations[i].S/length); !near(offset[i], want, 0.002) {
			t.Fatalf("at %g mm the path is moved by %g, want %g", line.stations[i].S, offset[i], want)
		}
	}
}

// Three places on a circle give its middle, however they lie on it.
func TestCurvature(t *testing.T) {
	for _, c := range []struct{ radius, before, behind float64 }{{1, 0.1, 0.1}, {40, 0.2, 0.5}, {500, 1, 0.01}, {3000, 3, 2.5}} {
		at := func(turn float64) r3.Vector {
			return r3.Vector{X: c.radius * math.Cos(turn), Y: 0.6 * c.radius * math.Sin(turn), Z: 0.8 * c.radius * math.Sin(turn)}
		}
		got := curvature(at(1-c.before), at(1), at(1+c.behind))
		if want := at(1).Mul(-1 / (c.radius * c.radius)); got.Sub(want).Norm() > 1e-6/c.radius {
			t.Errorf("radius %g: %v, want %v", c.radius, got, want)
		}
	}
	if got := curvature(r3.Vector{}, r3.Vector{X: 1}, r3.Vector{X: 3}); got != (r3.Vector{}) {
		t.Errorf("straight on: %v", got)
	}
	if got := curvature(r3.Vector{X: 4}, r3.Vector{}, r3.Vector{X: 4}); got.Sub(r3.Vector{X: 0.5}).Norm() > 1e-12 {
		t.Errorf("back on itself: %v, want the circle over the way there", got)
	}
}
