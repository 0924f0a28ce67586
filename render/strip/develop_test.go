package strip

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/layout"
	"seamwright/render/paper"
)

// A strip may be 0.2 mm wrong in a metre.
const perMetre = 0.2e-3

// circleOf is the circle through the first, the middle and the last third of a flat line.
func circleOf(points []paper.Point) (center paper.Point, radius float64) {
	n := len(points)
	a, b, c := points[0], points[n/3], points[2*n/3]
	d := 2 * (a.X*(b.Y-c.Y) + b.X*(c.Y-a.Y) + c.X*(a.Y-b.Y))
	sq := func(p paper.Point) float64 { return p.X*p.X + p.Y*p.Y }
	center = paper.Point{
		X: (sq(a)*(b.Y-c.Y) + sq(b)*(c.Y-a.Y) + sq(c)*(a.Y-b.Y)) / d,
		Y: (sq(a)*(c.X-b.X) + sq(b)*(a.X-c.X) + sq(c)*(b.X-a.X)) / d,
	}
	return center, a.Sub(center).Norm()
}

// The developed centre line has the length and the curvature of the closed form: infinite radius means
// straight; below zero says that the centre of curvature lies to the right.
func TestDevelopsToClosedForms(t *testing.T) {
	inf := math.Inf(1)
	for _, c := range []struct {
		surface
		radius float64
	}{
		{straight(1000), inf},
		{flatRing(60), 60}, {flatRing(91), 91}, {flatRing(400), 400},
		{helix(120, 0.3, 1500), inf}, {helix(60, 0.05, 300), inf},
		{coneRing(91, math.Pi/6), -182}, {coneRing(150, 0.2), -150 / math.Sin(0.2)},
		{sphereCircle(600, 0.5), 600 * math.Tan(0.5)}, {sphereCircle(150, 1.2), 150 * math.Tan(1.2)},
	} {
		t.Run(c.name, func(t *testing.T) {
			f := mustDevelop(t, planOf(flangeOf(c.surface, 8), 0, 0), Options{})
			if !(math.Abs(f.Length-c.length) <= perMetre*c.length) {
				t.Errorf("length %.4f mm, the curve's is %.4f", f.Length, c.length)
			}
			if math.IsInf(c.radius, 1) {
				for i, p := range f.Centre {
					if !(math.Abs(p.Y) <= perMetre*c.length) || !(math.Abs(p.X-f.way.faceSum[i]) <= perMetre*c.length) {
						t.Fatalf("point %d at %.4f, %.4f is not on the straight line at %.4f", i, p.X, p.Y, f.way.faceSum[i])
					}
				}
				return
			}
			center, radius := circleOf(f.Centre)
			if !(math.Abs(radius-math.Abs(c.radius)) <= 1e-3*radius) {
				t.Errorf("radius %.4f, want %.4f", radius, c.radius)
			}
			if (center.Y > 0) != (c.radius < 0) {
				t.Errorf("turns to the wrong side: centre at %.1f, %.1f", center.X, center.Y)
			}
			from := f.Centre[0].Sub(center)
			for i, p := range f.Centre { // the far end is where the length puts it, not only the curvature
				sin, cos := math.Sincos(-f.way.faceSum[i] / c.radius)
				want := center.Add(paper.Point{X: from.X*cos - from.Y*sin, Y: from.X*sin + from.Y*cos})
				if off := p.Sub(want).Norm(); off > 1e-3*c.length {
					t.Fatalf("point %d lies %.3f mm off the arc", i, off)
				}
			}
		})
	}
}

// The sides stand off by their distances, square to the line.
func TestSidesAreTrueAcross(t *testing.T) {
	for _, c := range []surface{straight(500), flatRing(91), helix(120, 0.3, 700), coneRing(150, 0.4), sphereCircle(300, 0.7)} {
		f := mustDevelop(t, planOf(flangeOf(c, 7.5), 0, 0), Options{})
		for i := range f.Centre {
			l, r := f.Left[i].Sub(f.Centre[i]), f.Right[i].Sub(f.Centre[i])
			if !(math.Abs(l.Norm()-7.5) <= 1e-9) || !(math.Abs(r.Norm()-7.5) <= 1e-9) || !(l.Add(r).Norm() <= 1e-9) {
				t.Fatalf("%s: point %d: sides %.4f and %.4f mm away", c.name, i, l.Norm(), r.Norm())
			}
		}
	}
}

// A sheet curved one way only lies flat without distortion; on a sphere the sides' true lengths are those of
// their own circles, and flat ones those of a cone.
func TestDistortionIsThatOfTheSurface(t *testing.T) {
	for _, c := range []surface{straight(800), flatRing(91), helix(150, 0.2, 900), coneRing(150, 0.4)} {
		f := mustDevelop(t, planOf(flangeOf(c, 8), 0, 0), Options{})
		for _, d := range []Distortion{f.LeftSide, f.RightSide} {
			if !(math.Abs(d.Difference()) <= 2e-5*d.True) {
				t.Errorf("%s: %.4f mm flat, %.4f true", c.name, d.Flat, d.True)
			}
		}
	}
	const w = 9.0
	for _, c := range []struct{ radius, angle float64 }{{300, 0.6}, {120, 1.1}, {80, 0.9}} {
		f := mustDevelop(t, planOf(flangeOf(sphereCircle(c.radius, c.angle), w), 0, 0), Options{})
		for _, side := range []struct {
			got  Distortion
			sign float64
		}{{f.LeftSide, -1}, {f.RightSide, 1}} {
			trueLength := 2 * math.Pi * c.radius * math.Sin(c.angle+side.sign*w/c.radius)
			flat := 2 * math.Pi * (c.radius*math.Sin(c.angle) + side.sign*w*math.Cos(c.angle))
			want := flat - trueLength
			if !(math.Abs(side.got.Difference()-want) <= 0.01+0.02*math.Abs(want)) {
				t.Errorf("sphere of %g at %g: side %+g: %.4f mm, want %.4f", c.radius, c.angle, side.sign, side.got.Difference(), want)
			}
			if got, want := side.got.Percent(), 100*want/trueLength; !(math.Abs(got-want) <= 0.01) {
				t.Errorf("sphere of %g at %g: side %+g: %.4f %%, want %.4f", c.radius, c.angle, side.sign, got, want)
			}
		}
	}
}

// On the outside of a bend the paper is longer than between the sheets, on the inside shorter.
func TestLengthIsThatOfTheFace(t *testing.T) {
	ring := flatRing(200)
	ring.normal = func(s float64) r3.Vector { return polar(1, s/200, 0) } // a hoop: sheets stand upright
	p := planOf(flangeOf(ring, 8), 0, 0)
	p.Panels[0].Thickness, p.Panels[1].Thickness = 2, 1
	for _, c := range []struct {
		on     string
		radius float64
	}{{"", 201}, {"upper", 201}, {"lower", 198}} {
		f := mustDevelop(t, p, Options{On: c.on})
		if want := 2 * math.Pi * c.radius; !(math.Abs(f.Length-want) <= perMetre*want) {
			t.Errorf("on %q: %.3f mm, want %.3f", c.on, f.Length, want)
		}
		if !(math.Abs(f.LeftSide.Difference()) <= 0.05) {
			t.Errorf("on %q: a hoop unrolls without distortion, not with %.3f mm", c.on, f.LeftSide.Difference())
		}
	}
	p.Panels = append(p.Panels, layout.Panel{ID: "third", Thickness: 3})
	p.Flanges[0].Panels = []string{"lower", "upper", "third"}
	// Interfaces lie 3 and 4 mm below the outer face of the third sheet: their middle is the weld line.
	if f, want := mustDevelop(t, p, Options{}), 2*math.Pi*203.5; !(math.Abs(f.Length-want) <= perMetre*want) {
		t.Errorf("three sheets: %.3f mm, want %.3f", f.Length, want)
	}
}

// Seen from the other face a strip is its mirror image.
func TestOtherFaceIsMirrored(t *testing.T) {
	p := planOf(flangeOf(coneRing(91, 0.4), 8), 0, 0)
	for i := range p.Flanges[0].Line {
		p.Flanges[0].Line[i].Left, p.Flanges[0].Line[i].Right = 7, 9
	}
	setSides(&p.Flanges[0], layout.Side{To: 572, Left: layout.FreeEdge, Right: layout.Bend})
	a, b := mustDevelop(t, p, Options{On: "upper"}), mustDevelop(t, p, Options{On: "lower"})
	for i := range a.Centre {
		for _, pair := range [][2]paper.Point{{a.Centre[i], b.Centre[i]}, {a.Left[i], b.Right[i]}, {a.Right[i], b.Left[i]}} {
			if !(math.Abs(pair[0].X-pair[1].X) <= 1e-6) || !(math.Abs(pair[0].Y+pair[1].Y) <= 1e-6) {
				t.Fatalf("point %d: %v and %v", i, pair[0], pair[1])
			}
		}
	}
	if a.sides[0].Left != "free edge" || b.sides[0].Left != "bend" {
		t.Errorf("sides %v and %v", a.sides, b.sides)
	}
}

// A line in any plane develops to itself: every distance between two of its points stays.
func TestPlaneLinesStayCongruent(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := func(name string) float64 { return rapid.Float64Range(-math.Pi, math.Pi).Draw(t, name) }
		normal := polar(math.Sin(angle("tilt")), angle("turn"), 0)
		normal.Z = math.Sqrt(math.Max(0, 1-normal.Norm2()))
		u := normal.Ortho().Normalize()
		v := normal.Cross(u)
		heading, at := angle("heading"), r3.Vector{X: 500}
		f := layout.Flange{ID: "strip", Panels: []string{"lower", "upper"}}
		for range rapid.IntRange(2, 60).Draw(t, "points") {
			f.Line = append(f.Line, layout.LinePoint{Along: f.Length, At: layout.VecOf(at), Normal: layout.VecOf(normal), Left: 5, Right: 5})
			heading += rapid.Float64Range(-1, 1).Draw(t, "bend")
			sin, cos := math.Sincos(heading)
			step := rapid.Float64Range(0.5, 20).Draw(t, "step")
			at = at.Add(u.Mul(cos).Add(v.Mul(sin)).Mul(step))
			f.Length += step
		}
		flat, err := Develop(layout.NewIndex(planOf(f, 1, 0)), "strip", Options{})
		if err != nil {
			t.Fatal(err)
		}
		for i := range f.Line {
			for k := range i {
				want := f.Line[i].At.R3().Sub(f.Line[k].At.R3()).Norm()
				if got := flat.Centre[i].Sub(flat.Centre[k]).Norm(); !(math.Abs(got-want) <= 1e-6*(1+want)) {
					t.Fatalf("points %d and %d are %.6f mm apart, flat %.6f", k, i, want, got)
				}
			}
		}
	})
}

func TestUnusableFlangesAreRefused(t *testing.T) {
	good := func() *layout.Plan { return planOf(flangeOf(straight(100), 8), 1, 0) }
	for name, c := range map[string]struct {
		spoil func(p *layout.Plan)
		opt   Options
		want  string
	}{
		"no such flange": {func(p *layout.Plan) { p.Flanges[0].ID = "other" }, Options{}, `flange "strip" is not in the plan: it has other`},
		"one point":      {func(p *layout.Plan) { p.Flanges[0].Line = p.Flanges[0].Line[:1] }, Options{}, "1 points: too few"},
		"backwards": {func(p *layout.Plan) { p.Flanges[0].Line[5].Along = 3 }, Options{},
			"point 5 of its weld line lies 3 mm along a line of 100 mm, not after the one before it"},
		"too long": {func(p *layout.Plan) { p.Flanges[0].Length = 99 }, Options{}, "lies 100 mm along a line of 99 mm"},
		"not a number": {func(p *layout.Plan) { p.Flanges[0].Line[7].At[1] = math.NaN() }, Options{},
			"point 7 of its weld line is not a number"},
		"endless": {func(p *layout.Plan) { p.Flanges[0].Line[7].Normal[1] = math.Inf(1) }, Options{},
			"point 7 of its weld line is not a number"},
		"no normal": {func(p *layout.Plan) { p.Flanges[0].Line[3].Normal = layout.Vec{} }, Options{},
			"point 3 of its weld line has no normal"},
		"width below nothing": {func(p *layout.Plan) { p.Flanges[0].Line[3].Right = -1 }, Options{}, "point 3 of its weld line has no width"},
		"all points one": {func(p *layout.Plan) {
			for i := range p.Flanges[0].Line {
				p.Flanges[0].Line[i].At = layout.Vec{1, 2, 3}
			}
		}, Options{}, "are one"},
		"no such face": {func(*layout.Plan) {}, Options{On: "roof"}, `panel "roof" is not on its outside: lay it on lower or upper`},
		"too wide": {func(p *layout.Plan) {
			for i := range p.Flanges[0].Line {
				p.Flanges[0].Line[i].Left = 300
			}
			p.Flanges[0].Width.Greatest = 308
		}, Options{}, "308 mm wide"},
	} {
		t.Run(name, func(t *testing.T) {
			p := good()
			c.spoil(p)
			if _, err := Sheets(layout.NewIndex(p), "strip", c.opt); err == nil || !strings.Contains(err.Error(), c.want) {
				t.Errorf("error %v, want one with %q", err, c.want)
			}
		})
	}
}

// Where a line turns more sharply than the strip is wide, the side does not run backwards.
func TestSharpTurnsFoldNoSide(t *testing.T) {
	f := mustDevelop(t, planOf(flangeOf(flatRing(5), 8), 0, 0), Options{})
	if f.Folds == 0 {
		t.Error("a side 8 mm inside a ring of 5 mm does not fold")
	}
	if f := mustDevelop(t, planOf(flangeOf(flatRing(40), 8), 0, 0), Options{}); f.Folds != 0 {
		t.Errorf("%d folds on a ring of 40 mm", f.Folds)
	}
}
