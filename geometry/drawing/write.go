package drawing

import (
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/dxf"
	"seamwright/geometry/intake"
	"seamwright/geometry/space"
)

// Write writes a drawing as text DXF, R2000, in millimetres ($INSUNITS 4), every layer declared. A path of
// two points becomes a LINE, a path at one height an LWPOLYLINE with that elevation, any other a 3-D
// POLYLINE; a mark becomes a POINT, shown as a cross in a circle, or a TEXT. Points are written to the last
// digit, so that reading the file gives them back. The same drawing gives the same bytes.
func Write(out io.Writer, d Drawing) error {
	for _, err := range []error{writable(d.Paths), writableMarks(d.Marks)} {
		if err != nil {
			return fmt.Errorf("write drawing %s: %w", d.Name, err)
		}
	}
	w := dxf.NewWriter(layersOf(d))
	head := dxf.Head{Box: space.EmptyBox()}
	for _, p := range d.Paths {
		writePath(w, p)
		for _, v := range p.Points {
			head.Box = head.Box.Add(v)
		}
	}
	for _, m := range d.Marks {
		writeMark(w, m)
		head.Box = head.Box.Add(m.At)
		head.PointMode, head.PointSize = crossInCircle, 5
	}
	if err := w.Finish(out, head); err != nil {
		return fmt.Errorf("write drawing %s: %w", d.Name, err)
	}
	return nil
}

// crossInCircle is the point mode that has points shown as a cross in a circle: 2 for the cross and 32 for the circle (DXF reference; from
// memory).
const crossInCircle = 34

// writable checks what a DXF file cannot hold.
func writable(paths []Path) error {
	for i, p := range paths {
		switch {
		case len(p.Points) < 2:
			return fmt.Errorf("path %d has %d points: it needs two or more", i+1, len(p.Points))
		case !usable(p.Points, 0):
			return fmt.Errorf("path %d has a point that is not a number or beyond %v mm", i+1, maxCoordinate)
		case dxf.BadLayer(p.Layer):
			return fmt.Errorf("path %d: layer %s: leave out control characters and < > / \\ \" : ; ? * | = `", i+1, intake.Quoted(p.Layer))
		}
	}
	return nil
}

// writableMarks checks what a DXF file cannot hold.
func writableMarks(marks []Mark) error {
	for i, m := range marks {
		switch {
		case !usable([]r3.Vector{m.At}, 0):
			return fmt.Errorf("mark %d has a place that is not a number or beyond %v mm", i+1, maxCoordinate)
		case dxf.BadLayer(m.Layer):
			return fmt.Errorf("mark %d: layer %s: leave out control characters and < > / \\ \" : ; ? * | = `", i+1, intake.Quoted(m.Layer))
		case m.Text != "" && !(m.Height > 0 && m.Height < maxCoordinate):
			return fmt.Errorf("mark %d: words %v mm high: give a height above zero", i+1, m.Height)
		}
	}
	return nil
}

// layerOf is the layer that a path is written on.
func layerOf(p Path) string { return layerName(p.Layer) }

func layerName(name string) string {
	if name := strings.TrimSpace(name); name != "" {
		return name
	}
	return "0"
}

// layersOf lists the layers in the order of the paths and marks, 0 first as DXF wants it; names that differ
// in case only are one layer.
func layersOf(d Drawing) []string {
	names := []string{"0"}
	add := func(name string) {
		if !slices.ContainsFunc(names, func(n string) bool { return dxf.Folded(n) == dxf.Folded(name) }) {
			names = append(names, name)
		}
	}
	for _, p := range d.Paths {
		add(layerOf(p))
	}
	for _, m := range d.Marks {
		add(layerName(m.Layer))
	}
	return names
}

// writePath writes one path as an entity of the model.
func writePath(w *dxf.Writer, p Path) {
	switch {
	case len(p.Points) == 2 && !p.Closed:
		w.Entity("LINE", layerOf(p), "AcDbLine")
		w.Point(10, p.Points[0])
		w.Point(11, p.Points[1])
	case sameHeight(p.Points):
		w.Entity("LWPOLYLINE", layerOf(p), "AcDbPolyline")
		w.Whole(90, len(p.Points))
		w.Whole(70, closedFlag(p))
		w.Number(38, p.Points[0].Z)
		for _, v := range p.Points {
			w.Number(10, v.X)
			w.Number(20, v.Y)
		}
	default:
		writeSpacePolyline(w, p)
	}
}

func writeSpacePolyline(w *dxf.Writer, p Path) {
	const ofSpace, vertexOfSpace = polyline3D, 32
	owner := w.Entity("POLYLINE", layerOf(p), "AcDb3dPolyline")
	w.Whole(66, 1)
	w.Point(10, r3.Vector{})
	w.Whole(70, ofSpace|closedFlag(p))
	for _, v := range p.Points {
		w.Part(owner, "VERTEX", layerOf(p), "AcDbVertex", "AcDb3dPolylineVertex")
		w.Point(10, v)
		w.Whole(70, vertexOfSpace)
	}
	w.Part(owner, "SEQEND", layerOf(p))
}

func closedFlag(p Path) int {
	if p.Closed {
		return polylineClosed
	}
	return 0
}

// sameHeight reports whether all points are at one height.
func sameHeight(points []r3.Vector) bool {
	for _, p := range points {
		if p.Z != points[0].Z {
			return false
		}
	}
	return true
}

// writeMark writes a point, or words whose line begins at the point.
func writeMark(w *dxf.Writer, m Mark) {
	if m.Text == "" {
		w.Entity("POINT", layerName(m.Layer), "AcDbPoint")
		w.Point(10, m.At)
		return
	}
	w.Entity("TEXT", layerName(m.Layer), "AcDbText")
	w.Point(10, m.At)
	w.Number(40, m.Height)
	w.Words(1, m.Text)
	w.Text(100, "AcDbText")
}
