package tangent_test

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"seamwright/geometry/flange"
	"seamwright/internal/plates"
)

// bentSheet is a sheet with a free edge at y = 18 and a bend of a radius (of the mesh) that begins at the tangent line
// y = start and takes it up, or down for -1, by 90 degrees into a wall; flat on for a radius of 0. The facets' corners
// lie on the bend's circle. Off the tangent line by a share of a facet, the first facet begins on the flat.
type bentSheet struct {
	rows          int // of facets over the flange
	start, height float64
	radius, up    float64
	facets        int // in 90 degrees
	off           float64
}

const bentEdge = 18.

func (b bentSheet) profile() profile {
	var p profile
	for i := range b.rows + 1 {
		p = append(p, [2]float64{bentEdge - (bentEdge-b.start)*float64(i)/float64(b.rows), b.height})
	}
	if b.radius == 0 {
		return append(p, [2]float64{b.start - 30, b.height})
	}
	step := math.Pi / 2 / float64(b.facets)
	p[b.rows][0] += b.off * b.radius * step
	for i := 1; i <= b.facets; i++ {
		sin, cos := math.Sincos(step * (float64(i) - b.off))
		p = append(p, [2]float64{b.start - b.radius*sin, b.height + b.up*b.radius*(1-cos)})
	}
	wall := b.start - b.radius
	return append(p, [2]float64{wall, b.height + b.up*(b.radius+15)}, [2]float64{wall, b.height + b.up*(b.radius+30)})
}

// bendCase is two sheets of one thickness whose meshes lie gap more than a thickness apart.
type bendCase struct {
	upper, lower   bentSheet
	thickness, gap float64
	noise          float64
}

// hold finds the strip of the two sheets and holds it to where it truly ends: at the tangent line of the bend that
// begins first, y = begins, whatever the radius and however the bend is meshed.
func (b bendCase) hold(t *testing.T, begins, within float64) {
	t.Helper()
	rng := rand.New(rand.NewPCG(4, 9))
	pitch := map[bool]float64{true: 2, false: 8}[b.upper.rows > 6]
	b.upper.height = b.thickness + b.gap
	lower, upper := plates.Extruded(b.lower.profile(), 60, pitch*1.2, rng), plates.Extruded(b.upper.profile(), 60, pitch, rng)
	shake(upper, b.noise, rng)
	shake(lower, b.noise, rng)
	f := one(t, sheetOf("upper", upper, b.thickness), sheetOf("lower", lower, b.thickness))
	width := bentEdge - begins
	if low, high := f.Width.Least-width, f.Width.Greatest-width; low < -within || high > within || !(math.Abs(f.Length-60) <= 0.3) {
		t.Errorf("width off by %+.3f to %+.3f, length %.2f, want 60", low, high, f.Length)
	}
	if !(math.Abs(f.Area/(60*width)-1) <= 0.015) {
		t.Errorf("area %.1f, want %.0f", f.Area, 60*width)
	}
	low, area := math.Inf(1), 0.0
	for i, p := range f.Outline[0] {
		q := f.Outline[0][(i+1)%len(f.Outline[0])]
		low, area = min(low, p.Y), area+(p.X*q.Y-p.Y*q.X)/2
	}
	if !(math.Abs(low-begins) <= within+0.1) || !(math.Abs(math.Abs(area)/(60*width)-1) <= 0.015) || len(f.Outline) != 1 {
		t.Errorf("%d loops, the outline begins at %.3f and holds %.1f mm², want %g and %.0f", len(f.Outline), low, math.Abs(area), begins,
			60*width)
	}
	for _, s := range f.Line {
		if !(math.Abs(s.Point.Y-begins-width/2) <= 0.3) {
			t.Errorf("at %.1f the line lies at %.3f, want %.3f", s.S, s.Point.Y, begins+width/2)
			break
		}
	}
	if s := f.Line[len(f.Line)/2]; s.LeftEdge != flange.Bend && s.RightEdge != flange.Bend {
		t.Errorf("edges %s and %s, want a bend", s.LeftEdge, s.RightEdge)
	}
}

// A flange ends at the tangent line of the bend, on bends as pressed (inner radii of 2 to 6 mm) and on narrower and
// wider ones, whether one sheet turns away or both do and whatever lies between them.
func TestBendBegins(t *testing.T) {
	for _, noise := range []float64{0, 0.02} {
		for _, inner := range []float64{1, 2, 3, 5, 8, 12, 20} {
			for i, facets := range []int{3, 6, 12} {
				for k, mesh := range []struct{ thickness, gap float64 }{{0.8, 0.3}, {1.5, -0.3}, {1, 0}, {1.2, 0.24}} {
					both := (k+i)%2 == 0
					t.Run(fmt.Sprint(noise, inner, facets, mesh, both), func(t *testing.T) {
						radius := inner + mesh.thickness/2
						upper := bentSheet{rows: []int{3, 12}[k/2], radius: radius, up: 1, facets: facets}
						lower := upper
						if lower.up = -1; !both {
							lower.radius = 0
						}
						within := 0.2
						if noise > 0 && inner > 8 {
							within = 0.3 // it tilts facets by as much as a flatter bend turns in half a millimetre
						}
						bendCase{upper, lower, mesh.thickness, mesh.gap, noise}.hold(t, 0, within)
					})
				}
			}
		}
	}
}

// Where no corner of the mesh lies on the tangent line it is measured none the less, as long as facets are no longer
// than 3 mm. Of longer ones the bend may begin anywhere in the first.
func TestBendBeginsWithinAFacet(t *testing.T) {
	for _, inner := range []float64{1, 3, 5, 8, 12, 20} {
		for i, facets := range []int{3, 6, 12} {
			radius := inner + 0.5
			if radius*math.Pi/2/float64(facets) > 3 {
				continue
			}
			for k, off := range []float64{0.2, 0.5, 0.8} {
				t.Run(fmt.Sprint(inner, facets, off), func(t *testing.T) {
					upper := bentSheet{rows: []int{3, 12}[(k+i)%2], radius: radius, up: 1, facets: facets, off: off}
					lower := upper
					if lower.up, lower.off = -1, off/2; k == 1 {
						lower.radius = 0
					}
					bendCase{upper, lower, 1, 0.1, 0}.hold(t, 0, 0.2)
				})
			}
		}
	}
}

// Of two bends the one that begins first ends the flange, wherever the other begins and whatever its radius.
func TestFirstBendCounts(t *testing.T) {
	for _, later := range []float64{0.5, 2, 6} {
		for _, other := range []float64{1.5, 4, 9} {
			upper, lower := bentSheet{rows: 5, radius: 3, up: 1, facets: 6}, bentSheet{rows: 4, start: -later, radius: other, up: -1, facets: 5}
			bendCase{upper, lower, 1, 0, 0}.hold(t, 0, 0.2)
			upper, lower = bentSheet{rows: 5, start: -later, radius: 3, up: 1, facets: 6}, bentSheet{rows: 4, radius: other, up: -1, facets: 5}
			bendCase{upper, lower, 1, 0, 0}.hold(t, 0, 0.2)
		}
	}
}

// Two sheets that go round a wide bend together lie on each other beyond it, to where one of them ends.
func TestNestedBend(t *testing.T) {
	round := func(radius, height, wall float64) profile {
		p := profile{{18, height}, {12, height}, {6, height}, {0, height}}
		for a := 5.; a <= 90; a += 5 {
			sin, cos := math.Sincos(a * math.Pi / 180)
			p = append(p, [2]float64{-radius * sin, height + radius*(1-cos)})
		}
		return append(p, [2]float64{-radius, height + radius + wall/2}, [2]float64{-radius, height + radius + wall})
	}
	rng := rand.New(rand.NewPCG(4, 9))
	a, b := plates.Extruded(round(26, 0, 30), 120, 6, rng), plates.Extruded(round(25, 1, 5), 120, 7, rng)
	f := one(t, sheetOf("outer", a, 1), sheetOf("inner", b, 1))
	if want := 18 + 25.5*math.Pi/2 + 5; !(math.Abs(f.Width.Least-want) <= 0.3) || !(math.Abs(f.Width.Greatest-want) <= 0.3) {
		t.Errorf("width %+v, want %.2f over flange, bend and wall", f.Width, want)
	}
}

// Where sheets lie on each other round a bend as pressed, each flat with a free edge is a strip that ends at the tangent line,
// and one between two bends is named.
func TestNestedFlats(t *testing.T) {
	for _, radius := range []float64{1, 3, 8, 20} {
		for _, facets := range []int{6, 14} {
			section := func(left float64) (p profile) {
				r, y := radius+1-left, 0.0
				for _, y = range []float64{0, 4, 9, 14} {
					p = append(p, [2]float64{y, left})
				}
				turn := func(about [2]float64, from float64) {
					for i := 1; i <= facets; i++ {
						sin, cos := math.Sincos((from + 90*float64(i)/float64(facets)) * math.Pi / 180)
						p = append(p, [2]float64{about[0] + r*sin, about[1] - r*cos})
					}
				}
				turn([2]float64{14, radius + 1}, 0)
				turn([2]float64{14, radius + 31}, 90)
				return append(p, [2]float64{7, 2*radius + 32 - left}, [2]float64{-8, 2*radius + 32 - left})
			}
			rng := rand.New(rand.NewPCG(4, uint64(facets)))
			sheets := []flange.Sheet{sheetOf("inner", plates.Extruded(section(0.5), 150, 6, rng), 1),
				sheetOf("outer", plates.Extruded(section(-0.5), 150, 7, rng), 1)}
			found, err := flange.Find(context.Background(), sheets, flange.Options{})
			if err != nil || len(found.Flanges) != 2 {
				t.Fatalf("radius %g in %d facets: %v, %d flanges, want 2", radius, facets, err, len(found.Flanges))
			}
			slices.SortFunc(found.Flanges, func(a, b flange.Flange) int { return cmp.Compare(a.Width.Mean, b.Width.Mean) })
			for i, width := range []float64{14, 22} {
				f := found.Flanges[i]
				if !(math.Abs(f.Width.Least-width) <= 0.2) || !(math.Abs(f.Width.Greatest-width) <= 0.2) || !(math.Abs(f.Length-150) <= 0.3) {
					t.Errorf("radius %g in %d facets: %.2f x %+v, want 150 x %g", radius, facets, f.Length, f.Width, width)
				}
			}
			if len(found.Small) != 1 || found.Small[0].Why != flange.RoundBends {
				t.Errorf("radius %g in %d facets: small %+v, want the wall between the bends", radius, facets, found.Small)
			}
		}
	}
}

// A sharp crease ends a flange where it is, however finely the wall beyond is meshed: its corners lie on no arc.
func TestCreaseIsNoArc(t *testing.T) {
	for _, rows := range []int{1, 3, 10, 40} {
		wall := func(height, up float64) profile {
			p := profile{{8, height}, {3, height}, {-2, height}, {-8, height}}
			for i := 1; i <= rows; i++ {
				p = append(p, [2]float64{-8, height + up*25*float64(i)/float64(rows)})
			}
			return p
		}
		rng := rand.New(rand.NewPCG(4, uint64(rows)))
		f := one(t, sheetOf("a", plates.Extruded(wall(1, 1), 150, 3, rng), 1), sheetOf("b", plates.Extruded(wall(0, -1), 150, 4, rng), 1))
		for _, s := range f.Line {
			if !(math.Abs(s.Left+s.Right-16) <= 0.05) || !(math.Abs(s.Point.Y) <= 0.05) {
				t.Fatalf("%d rows: at %.1f %.2f and %.2f mm wide about %.2f", rows, s.S, s.Left, s.Right, s.Point.Y)
			}
		}
	}
}
