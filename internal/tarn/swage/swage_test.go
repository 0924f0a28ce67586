package swage

import (
	"math"
	"testing"

	"github.com/golang/geo/r2"
)

func TestHeightAcrossABead(t *testing.T) {
	w := []Swage{Straight(0, 0, 300, 0, 12, 25, -6)}
	for _, c := range []struct{ x, y, want float64 }{
		{150, 0, -6}, {150, 11.9, -6}, {150, -18.5, -3}, {150, 25, 0}, {-11.9, 0, -6}, {325.1, 0, 0}, {-8, 6, -6},
	} {
		if got := Pressed(w, c.x, c.y); !(math.Abs(got-c.want) <= 1e-12) {
			t.Errorf("at (%g, %g): %g mm, want %g", c.x, c.y, got, c.want)
		}
	}
}

func TestContoursGoRoundCrestAndFoot(t *testing.T) {
	for name, w := range map[string]Swage{
		"straight": Straight(0, 0, 300, 40, 12, 25, 6), "arc": Arc(10, 20, 90, 0, 170, 9, 20, 4), "frame": Frame(5, -3, 120, 80, 40, 8, 18, 5),
	} {
		at := map[float64]int{}
		for _, p := range Contours([]Swage{w}, 10) {
			least := math.Inf(1)
			for i := range len(w.Path) - 1 {
				least = math.Min(least, toSegment(p, w.Path[i], w.Path[i+1]))
			}
			if w.closed {
				least = math.Min(least, toSegment(p, w.Path[len(w.Path)-1], w.Path[0]))
			}
			at[math.Round(least*50)/50]++
		}
		if len(at) != 2 || at[w.Crest] < 20 || at[w.Foot] < 20 {
			t.Errorf("%s: points at the distances %v, want many at %g and %g", name, at, w.Crest, w.Foot)
		}
	}
}

// The mesh passes the bead's flank on both sides and round both ends.
func TestContoursOfABeadOnAllItsSides(t *testing.T) {
	const step = 10
	points := Contours([]Swage{Straight(0, 0, 300, 0, 12, 25, 6)}, step)
	for _, p := range []r2.Point{{X: 150, Y: 12}, {X: 150, Y: -12}, {X: 150, Y: 25}, {X: 150, Y: -25}, {X: -25}, {X: 325}, {X: 312}} {
		least := math.Inf(1)
		for _, q := range points {
			least = math.Min(least, p.Sub(q).Norm())
		}
		if least > step {
			t.Errorf("no point within %d mm of %v: the nearest is %.1f mm off", step, p, least)
		}
	}
}
