package reach

import (
	"math"

	"seamwright/seams/shell"
)

// bars is what of a gun does not depend on the tip: arms and back, round the weld's axis, with the throat
// pointing along x.
type bars struct {
	radius float64 // of arms and back
	high   float64 // height of the arms' middles above and below the weld
	depth  float64 // distance of the back's middle from the axis
}

func barsOf(g shell.Gun) bars {
	r := g.Arm / 2
	return bars{radius: r, high: g.ThroatGap/2 + r, depth: g.ThroatDepth + r}
}

// reach is the greatest distance of any metal of the gun from the weld's axis, and up or down from the weld.
func (b bars) reach() (out, up float64) { return b.depth + b.radius, b.high + b.radius }

// section is an upright part of an electrode above the stack: round, or a rectangle turning with the gun.
type section struct {
	from, to float64 // mm above the stack's surface
	radius   float64 // of a round section
	small    float64 // half size along the throat of a rectangular one
	long     float64 // half size across it
	bar      bool    // the bar above the tip
}

func (s section) round() bool { return s.radius > 0 }

// outer is the radius about the axis that holds the section at any angle.
func (s section) outer() float64 {
	if s.round() {
		return s.radius
	}
	return math.Hypot(s.small, s.long)
}

// turns reports whether a tip's shank is a rectangle, so that how much room it has depends on the gun's angle.
func turns(t shell.Tip) bool { return t.ShankLong > 0 && t.ShankLong != t.Shank }

// noseStep is the height in mm of the steps that a nose is built of, each as wide as the nose at its top.
const noseStep = 1.0

// sectionsOf is an electrode from the rise above the stack to the arm, top is the arm's middle above the stack.
func sectionsOf(t Tool, rise, top float64) []section {
	length := min(t.Tip.Length, top)
	bar := section{from: length, to: top, radius: t.Gun.Arm / 2, bar: true}
	if turns(t.Tip) {
		return []section{{from: rise, to: length, small: t.Tip.Shank / 2, long: t.Tip.ShankLong / 2}, bar}
	}
	radius, face := t.Tip.Shank/2, min(t.Tip.Face, t.Tip.Shank)/2
	var out []section
	low := rise
	for low < length {
		high := min(length, low+noseStep)
		r := min(radius, face+high)
		if r >= radius {
			out = append(out, section{from: low, to: length, radius: radius})
			break
		}
		out = append(out, section{from: low, to: high, radius: r})
		low = high
	}
	return append(out, bar)
}
