package tangent_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/golang/geo/r2"

	"seamwright/geometry/tangent"
)

// section is a flat of a length from minus half of it, then a bend of a radius up to 90 degrees in so many facets, the first
// of which begins some way back on the flat.
func section(length, radius float64, facets int, back float64) []r2.Point {
	line := []r2.Point{{X: -length / 2}, {}, {X: length / 2}, {X: length - back}}
	for i := 1; i <= facets; i++ {
		s, c := math.Sincos(math.Pi / 2 * float64(i) / float64(facets))
		line = append(line, r2.Point{X: length + radius*s, Y: radius * (1 - c)})
	}
	last := line[len(line)-1]
	return append(line, r2.Point{X: last.X, Y: last.Y + 5}, r2.Point{X: last.X, Y: last.Y + 10})
}

func ExampleFinder_Find() {
	b := new(tangent.Finder).Find(section(14.25, 3, 4, 0), 14.25)
	fmt.Printf("the bend turns up from %.2f mm on\n", b.Start)
	// Output: the bend turns up from 14.25 mm on
}

// The bend begins at the same place however its facets lie.
func TestFindMindsNoFacets(t *testing.T) {
	for _, facets := range []int{3, 4, 6, 9, 16} {
		for _, radius := range []float64{1.5, 3, 6.5} {
			for back, within := range map[float64]float64{0: 0.005, 0.7: 0.05, 2: 0.15} {
				b := new(tangent.Finder).Find(section(14.25, radius, facets, back), 14.25)
				if b.Up != 1 || !(math.Abs(b.Start-14.25) <= within) {
					t.Errorf("radius %g in %d facets from %g mm before: %+v", radius, facets, back, b)
				}
			}
		}
	}
	flat := []r2.Point{{X: -7}, {}, {X: 7}, {X: 14}, {X: 21}}
	if b := new(tangent.Finder).Find(flat, 14); b.Up != 0 {
		t.Errorf("a bend in a flat: %+v", b)
	}
}

// A finder that has looked at other sections says the same as a new one.
func TestFinderForgets(t *testing.T) {
	var f tangent.Finder
	for _, facets := range []int{16, 3, 9, 4, 6} {
		line := section(14.25, 2, facets, 0.3)
		if got, want := f.Find(line, 14.25), new(tangent.Finder).Find(line, 14.25); got != want {
			t.Errorf("%d facets: %+v, a new one %+v", facets, got, want)
		}
	}
}

// A bend that goes over, after a flat, into one that turns the same way begins where it would without: a corner of the other bend is
// none of its own, though three corners lie on many circles.
func TestFindMindsNoBendBeyond(t *testing.T) {
	for _, radius := range []float64{1.5, 1.9, 3} {
		for _, flat := range []float64{6.5, 7, 8.6, 10, 14} {
			for _, turn := range []float64{80, 86, 90} {
				for _, off := range []float64{0, 0.5, 0.83} { // of a facet, by which all begin before where they would
					line := []r2.Point{{X: -3.9}, {}, {X: 3.9}}
					arc := func(at r2.Point, from, turn float64) r2.Point {
						ahead := func(degrees float64) r2.Point {
							sin, cos := math.Sincos(degrees * math.Pi / 180)
							return r2.Point{X: cos, Y: sin}
						}
						round := func(degrees float64) r2.Point {
							return at.Add(ahead(from + 90).Mul(radius)).Add(ahead(from + degrees - 90).Mul(radius))
						}
						size := turn / 3 * math.Pi / 180 * radius
						line = append(line, at.Sub(ahead(from).Mul(off*size)))
						for i := 1.; i <= 3; i++ {
							line = append(line, round(turn/3*(i-off)))
						}
						if off > 0 {
							line = append(line, round(turn).Add(ahead(from+turn).Mul((1-off)*size)))
						}
						return round(turn).Add(ahead(from + turn).Mul(flat))
					}
					line = append(line, arc(arc(r2.Point{X: 7.8}, 0, turn), turn, 90))
					if b := new(tangent.Finder).Find(line, 7.8); b.Up != 1 || !(math.Abs(b.Start-7.8) <= 0.15) {
						t.Errorf("radius %g by %g degrees, then %g mm flat, off %g: %+v, want it at 7.8", radius, turn, flat, off, b)
					}
				}
			}
		}
	}
}
