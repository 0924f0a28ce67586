package joining

import (
	"fmt"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/seams/rule"
)

// measureStrip gives the plan's flange its weld line and outline, and what the line runs past.
func measureStrip(out *layout.Flange, f flange.Flange) {
	for _, st := range f.Line {
		out.Line = append(out.Line, layout.LinePoint{Along: st.S, At: Vec(st.Point), Normal: Vec(st.Axis), Left: st.Left, Right: st.Right,
			Air: st.Gap, Ends: [2]layout.Edge{st.LeftEdge, st.RightEdge}})
	}
	out.Outline = outlines(f)
	for _, h := range f.Holes {
		out.Holes = append(out.Holes, layout.Hole{At: Vec(h.Center), Radius: h.Radius})
	}
}

// notches notes what is cut into the sides of a joint's strip as it was found: the weld line runs straight past.
func (x *joiner) notches(s *Strip) {
	for _, n := range s.Flange.Notches {
		side := "right"
		if n.Left {
			side = "left"
		}
		x.find(rule.Problem{Rule: "flange.notch", Value: n.Depth}, s.About(n.Center),
			fmt.Sprintf("flange %s: notch %.1f mm deep in its %s side, from %.0f to %.0f mm along it", s.ID, n.Depth, side, n.From, n.To))
	}
}

// outlines moves the strip's outline from the mesh on which it was measured to where the sheets touch, as the
// weld line is, by the offset of the nearest station.
func outlines(f flange.Flange) [][]layout.Vec {
	points := make([]r3.Vector, len(f.Line))
	for i, st := range f.Line {
		points[i] = st.Point
	}
	line := curve.NewPlaces(points)
	var out [][]layout.Vec
	for _, loop := range f.Outline {
		points := make([]layout.Vec, len(loop))
		for i, p := range loop {
			st := &f.Line[line.Nearest(p)]
			points[i] = Vec(p.Add(st.Axis.Mul(st.Offset)))
		}
		out = append(out, points)
	}
	return out
}
