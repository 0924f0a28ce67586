package strips_test

import (
	"context"
	"math"
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/internal/strap"
	"seamwright/layout/strips"
)

func TestEndInADirection(t *testing.T) {
	s := strap.New(t)
	c, err := strips.Gather(context.Background(), s.Plan, s.Shell, s.Rules())
	if err != nil {
		t.Fatal(err)
	}
	first, middle := c.Strips[0].Spot(0), c.Strips[0].Spot(4)
	at := func(deg float64) (d r3.Vector) {
		d.Y, d.X = math.Sincos(deg * math.Pi / 180)
		return d
	}
	for _, x := range []struct {
		w    strips.Spot
		deg  float64
		want float64
	}{{first, 0, 12}, {first, 90, 9}, {first, 45, 9 * math.Sqrt2}, {first, 30, 12 / math.Cos(math.Pi/6)}, {middle, 0, math.Inf(1)},
		{middle, 90, 9}, {middle, -90, 9}} {
		if got := x.w.Toward(at(x.deg)); !(math.Abs(got-x.want) <= 1e-9) && got != x.want {
			t.Errorf("weld %d at %v°: %v, want %v", x.w.Weld.Number, x.deg, got, x.want)
		}
	}
}

func TestStacksOfAJoint(t *testing.T) {
	s := strap.New(t)
	s.AddStraight("strap/2", "strap", 400, 0, 100).Panels = []string{"rail", "roof"}
	s.AddStraight("strap/3", "strap", 600, 0, 100).Panels = []string{"rail", "roof", "stiff"}
	stacks, err := strips.Stacks(s.Plan, s.Rules(), "strap")
	if err != nil || len(stacks) != 2 || stacks[0].String() != "0.9 + 1.2" || stacks[1].String() != "1.2 + 0.9 + 1.2" {
		t.Errorf("%v, %v", stacks, err)
	}
}
