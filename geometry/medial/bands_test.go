package medial

import (
	"testing"

	"github.com/golang/geo/r3"

	"seamwright/geometry/region"
)

// A strip of six bands, the last but one of which fell into two pieces, 6 mm apart or 40: no branch, as pieces lie beside each other, and a
// ring in the other case.
func TestLoopAtTheEndOfAStrip(t *testing.T) {
	for _, test := range []struct {
		apart  float64
		chains int
	}{{6, 1}, {40, 2}} {
		g := &bandGraph{}
		add := func(x, y float64, links ...int32) {
			g.nodes = append(g.nodes, bandNode{Centroid: region.Centroid{Sum: r3.Vector{X: x * 50, Y: y * 50}, Area: 50}})
			for _, o := range links {
				g.link(int32(len(g.nodes)-1), o)
			}
		}
		add(0, 0)
		add(8, 0, 0)
		add(16, 0, 1)
		add(24, test.apart/2, 2)
		add(24, -test.apart/2, 2)
		add(32, 0, 3, 4)
		g.joinParallel(12)
		chains := g.chains()
		if len(chains) != test.chains {
			t.Fatalf("%g apart: %d lines, want %d", test.apart, len(chains), test.chains)
		}
		if first := chains[0].Points; test.chains == 1 && (len(first) != 5 || first[3] != (r3.Vector{X: 24})) {
			t.Errorf("%g apart: the line passes %v, want the middle of both pieces", test.apart, first)
		}
	}
}

// A strip of ten bands of 8 by 12 mm with a sliver, or a leg, that leaves its fourth band and runs back beside it, 7 mm off.
func TestSliverIsNoBranch(t *testing.T) {
	for _, test := range []struct {
		name   string
		area   float64 // of each of the three pieces beside
		chains int
	}{{"sliver", 8 * 1.5, 1}, {"leg", 8 * 12, 3}} {
		g := &bandGraph{}
		add := func(x, y, area float64, links ...int32) {
			g.nodes = append(g.nodes, bandNode{Centroid: region.Centroid{Sum: r3.Vector{X: x * area, Y: y * area}, Area: area}})
			for _, o := range links {
				g.link(int32(len(g.nodes)-1), o)
			}
		}
		add(0, 0, 96)
		for i := int32(1); i < 10; i++ {
			add(float64(8*i), 0, 96, i-1)
		}
		add(24, 7, test.area, 4)
		add(16, 7, test.area, 10)
		add(8, 7, test.area, 11)
		whole := 0.0
		for _, n := range g.nodes {
			whole += n.Area
		}
		g.joinSlivers(12)
		if chains := g.chains(); len(chains) != test.chains {
			t.Errorf("%s: %d lines, want %d", test.name, len(chains), test.chains)
		}
		left := 0.0
		for _, n := range g.nodes {
			if !n.dead {
				left += n.Area
			}
		}
		if left != whole {
			t.Errorf("%s: %g mm² left of %g", test.name, left, whole)
		}
	}
}
