package planner

import (
	"fmt"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/seams/rule"
)

// measureStrip gives the plan's flange what was measured at each point of the weld line, and what it runs past.
func measureStrip(out *layout.Flange, f flange.Flange) {
	for _, st := range f.Line {
		out.Left = append(out.Left, st.Left)
		out.Right = append(out.Right, st.Right)
		out.Air = append(out.Air, st.Gap)
	}
	out.Outline = outlines(f)
	out.Sides = stretches(f)
	for _, h := range f.Holes {
		out.Holes = append(out.Holes, layout.Hole{At: vec(h.Center), Radius: h.Radius})
	}
}

// notches notes what is cut into the sides of a joint's strip as it was found: the weld line runs straight past.
func (b *builder) notches(s *strip, found flange.Flange) {
	for _, n := range found.Notches {
		side := "right"
		if n.Left {
			side = "left"
		}
		b.find(rule.Problem{Rule: "flange.notch", Value: n.Depth}, s.about(n.Center),
			fmt.Sprintf("flange %s: notch %.1f mm deep in its %s side, from %.0f to %.0f mm along it", s.id, n.Depth, side, n.From, n.To))
	}
}

// outlines moves the strip's outline from the mesh on which it was measured to where the sheets touch, as the
// weld line is, by the offset of the nearest station.
func outlines(f flange.Flange) [][]layout.Vec {
	var out [][]layout.Vec
	for _, loop := range f.Outline {
		points := make([]layout.Vec, len(loop))
		for i, p := range loop {
			st := flange.Nearest(f.Line, p)
			points[i] = vec(p.Add(st.Axis.Mul(st.Offset)))
		}
		out = append(out, points)
	}
	return out
}

// stretches joins neighbouring points with the same sides; one stretch ends and the next begins half-way
// between two points.
func stretches(f flange.Flange) []layout.Side {
	var out []layout.Side
	for i, st := range f.Line {
		left, right := st.LeftEdge, st.RightEdge
		if n := len(out); n > 0 {
			if out[n-1].Left == left && out[n-1].Right == right {
				continue
			}
			middle := (f.Line[i-1].S + st.S) / 2
			out[n-1].To = middle
			out = append(out, layout.Side{From: middle, Left: left, Right: right})
			continue
		}
		out = append(out, layout.Side{Left: left, Right: right})
	}
	if n := len(out); n > 0 {
		out[n-1].To = f.Length
	}
	return out
}
