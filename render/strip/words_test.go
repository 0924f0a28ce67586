package strip

import (
	"math"
	"strings"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/render/paper"
)

// An axis is named where the line sets off nearer to it than 22.5 degrees from the plane across it: two axes for directions about
// the middle between them, one elsewhere.
func TestHeadingNamesTheAxes(t *testing.T) {
	for _, c := range []struct {
		degrees float64 // from +X towards +Y
		want    string
	}{
		{0, "+X"}, {21.5, "+X"}, {23.5, "+X +Y"}, {44, "+X +Y"}, {46, "+Y +X"}, {66, "+Y +X"}, {69, "+Y"}, {90, "+Y"},
		{113, "+Y -X"}, {180, "-X"}, {-23.5, "+X -Y"}, {-90, "-Y"},
	} {
		sin, cos := math.Sincos(c.degrees * math.Pi / 180)
		line := surface{
			length: 100, point: func(s float64) r3.Vector { return r3.Vector{X: cos * s, Y: sin * s} },
			normal: func(float64) r3.Vector { return r3.Vector{Z: 1} },
		}
		f := mustDevelop(t, planOf(flangeOf(line, 8), 1, 20), Options{})
		if got := f.heading(); got != c.want {
			t.Errorf("%g degrees: %q, want %q", c.degrees, got, c.want)
		}
	}
}

func TestDistortionInWords(t *testing.T) {
	f := Flat{LeftSide: Distortion{Flat: 101.24, True: 100}, RightSide: Distortion{Flat: 198, True: 200}}
	if got, want := f.distortionText(), "left side 1.2 mm (1.24 %) longer; right side 2.0 mm (1.00 %) shorter; centre true"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
	f = Flat{LeftSide: Distortion{Flat: 100.04, True: 100}, RightSide: Distortion{Flat: 99.96, True: 100}}
	if got, want := f.distortionText(), "left side true; right side true; centre true"; got != want {
		t.Errorf("%q, want %q", got, want)
	}
}

func TestSlitsAreAskedForWhereASideFolds(t *testing.T) {
	const ask = "slit the strip"
	flat := mustDevelop(t, planOf(flangeOf(straight(300), 8), 1, 20), Options{})
	if flat.Folds != 0 || strings.Contains(strings.Join(flat.instructions(true), "\n"), ask) {
		t.Errorf("straight strip with %d folds: %q", flat.Folds, flat.instructions(true))
	}
	tight := mustDevelop(t, planOf(flangeOf(flatRing(6), 8), 1, 0), Options{})
	if tight.Folds == 0 || !strings.Contains(strings.Join(tight.instructions(true), "\n"), ask) {
		t.Errorf("ring of 6 mm radius, 8 mm to its inner side, with %d folds: %q", tight.Folds, tight.instructions(true))
	}
}

// What is drawn later keeps clear of a wedge by the room that it is said to take: from its tip at the edge inwards by its height.
func TestWedgesStandWithinTheStrip(t *testing.T) {
	f := flangeOf(straight(200), 9)
	setSides(&f, layout.Side{From: 0, To: 200, Left: layout.FreeEdge, Right: layout.FreeEdge})
	flat := mustDevelop(t, planOf(f, 1, 0), Options{})
	pieces, err := flat.cut()
	if err != nil {
		t.Fatal(err)
	}
	b := board{p: pieces[0]}
	b.drawSides(newInk(paper.New(paper.Size{Width: pageWide, Height: pageHigh}, "")))
	if len(b.used) < 4 {
		t.Fatalf("%d wedges on two free edges of 200 mm", len(b.used))
	}
	for _, u := range b.used {
		middle := (u.low + u.high) / 2
		edge := math.Copysign(9, middle)
		tip, foot := u.high, u.low
		if edge < 0 {
			tip, foot = foot, tip
		}
		if !(math.Abs(tip-edge) <= 1e-9) || !(math.Abs(math.Abs(tip-foot)-wedgeHigh) <= 1e-9) {
			t.Errorf("a wedge takes %g to %g across, want its tip at %g and %g of height", foot, tip, edge, wedgeHigh)
		}
	}
}
