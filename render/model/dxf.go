package model

import (
	"fmt"
	"io"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/drawing"
	"seamwright/layout"
)

// Measures of a drawing in mm.
const (
	axisLength  = 20.0 // of the line through a weld
	numberHigh  = 4.0
	numberAside = 4.0 // from the weld, along the drawing's x
)

// DXF writes the welds as a text DXF, R2000, in millimetres. Each station has its layers:
//
//	st10 tack, st10 fill, st10 released   a POINT at each weld
//	st10 axes                             a line 20 mm long through each weld along its axis, the weld in its middle
//	st10 numbers                          the weld's number beside it
//	st10 rollers                          a polyline along each roller seam
//
// and layers weld lines and flanges hold the weld line and the outline of every flange, without the points that
// lie within 0.02 mm of the line through their neighbours.
func DXF(w io.Writer, plan *layout.Plan) error {
	if err := usable(plan); err != nil {
		return fmt.Errorf("DXF: %w", err)
	}
	d := drawing.Drawing{Name: plan.Shell.Name}
	for _, st := range stations(plan) {
		drawStation(&d, st)
	}
	for i, f := range plan.Flanges {
		addPath(&d, "weld lines", thin(f.Places()), f.Closed)
		if slices.ContainsFunc(plan.Flanges[:i], func(o layout.Flange) bool { return sameOutline(f, o) }) {
			continue // another row over the same broad contact
		}
		for _, loop := range f.Outline {
			addPath(&d, "flanges", thin(loop), true)
		}
	}
	if err := drawing.Write(w, d); err != nil {
		return fmt.Errorf("DXF: %w", err)
	}
	return nil
}

// sameOutline says whether two strips are rows over one broad contact, which is drawn once.
func sameOutline(f, o layout.Flange) bool {
	return f.Patch && o.Patch && slices.EqualFunc(f.Outline, o.Outline, func(a, b []layout.Vec) bool { return slices.Equal(a, b) })
}

func drawStation(d *drawing.Drawing, s *atStation) {
	layer := func(what string) string { return layerName(s.id + " " + what) }
	for _, w := range s.welds {
		at, half := w.Position.R3(), w.Axis.R3().Mul(axisLength/2)
		d.Marks = append(d.Marks,
			drawing.Mark{Layer: layer(string(step(w))), At: at},
			drawing.Mark{Layer: layer("numbers"), At: at.Add(r3.Vector{X: numberAside}), Text: fmt.Sprint(w.Number), Height: numberHigh})
		d.Paths = append(d.Paths, drawing.Path{Layer: layer("axes"), Points: []r3.Vector{at.Sub(half), at.Add(half)}})
	}
	for _, r := range s.seams {
		addPath(d, layer("rollers"), r.Path, r.Closed)
	}
}

// thinning is how far a line may leave the points that it was drawn through, mm.
const thinning = 0.02

func thin(points []layout.Vec) []layout.Vec {
	return curve.Simplify(points, thinning, func(p, a, b layout.Vec) float64 {
		_, d := curve.New([]r3.Vector{a.R3(), b.R3()}, false).Nearest(p.R3())
		return d
	})
}

func addPath(d *drawing.Drawing, layer string, points []layout.Vec, closed bool) {
	if len(points) < 2 {
		return
	}
	p := drawing.Path{Layer: layer, Closed: closed}
	for _, v := range points {
		p.Points = append(p.Points, v.R3())
	}
	d.Paths = append(d.Paths, p)
}
