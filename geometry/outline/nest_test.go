package outline

import (
	"testing"

	"github.com/golang/geo/r2"
)

// A place is on a polygon along its sides and at its corners, to what is told apart, and neither inside it nor on a side's continuation.
func TestOnAPolygon(t *testing.T) {
	l := polygonOf([]r2.Point{{X: 0, Y: 0}, {X: 100, Y: 0}, {X: 100, Y: 30}, {X: 40, Y: 30}, {X: 40, Y: 80}, {X: 0, Y: 80}})
	for _, c := range []struct {
		at         r2.Point
		on, inside bool
	}{
		{r2.Point{X: 50, Y: 0}, true, false},
		{r2.Point{X: 50, Y: 0.9 * toldGap}, true, true},
		{r2.Point{X: 50, Y: 1.1 * toldGap}, false, true},
		{r2.Point{X: 50, Y: -1.1 * toldGap}, false, false},
		{r2.Point{X: 40, Y: 55}, true, false},
		{r2.Point{X: 40, Y: 15}, false, true}, // straight on from a side
		{r2.Point{X: 130, Y: 0}, false, false},
		{r2.Point{X: 100 + 0.9*toldGap, Y: 30}, true, false},
		{r2.Point{X: 20, Y: 40}, false, true},
		{r2.Point{X: 70, Y: 55}, false, false},
	} {
		if got := l.touches(c.at, toldGap); got != c.on {
			t.Errorf("%v: on it %v", c.at, got)
		}
		if got := l.holds(c.at); !c.on && got != c.inside {
			t.Errorf("%v: inside %v", c.at, got)
		}
	}
}
