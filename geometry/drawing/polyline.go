package drawing

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/dxf"
	"seamwright/geometry/intake"
	"seamwright/geometry/segment"
)

// corner is a vertex of a polyline with the bulge of the piece that starts there.
type corner struct {
	at    r3.Vector
	bulge float64
}

// chained joins corners by straight lines and arcs, in the plane of their frame. Pieces of no length go.
func chained(corners []corner, closed bool, frame segment.Affine) curve {
	n := len(corners)
	c := curve{closed: closed, segments: make([]segment.Segment, 0, n)}
	for i, from := range corners {
		if i == n-1 && !closed {
			break
		}
		to := corners[(i+1)%n]
		if from.at == to.at {
			continue
		}
		s := segment.Bulge(from.at, to.at, from.bulge)
		c.segments = append(c.segments, s.Mapped(frame))
	}
	return c
}

// lightPolyline reads an LWPOLYLINE: x and y for each vertex, one height for all.
func lightPolyline(r dxf.Record) (curve, error) {
	height, err := r.Number(38, 0)
	if err != nil {
		return curve{}, err
	}
	flags, err := r.Whole(flagsCode, 0)
	if err != nil {
		return curve{}, err
	}
	frame, err := frameOf(r)
	if err != nil {
		return curve{}, err
	}
	corners, err := lightCorners(r, height)
	if err != nil {
		return curve{}, err
	}
	const closed = 1
	return chained(corners, flags&closed != 0, frame), nil
}

// lightCorners takes the vertices in the order of their groups; the count in group 90 is not needed.
func lightCorners(r dxf.Record, height float64) ([]corner, error) {
	const x, y, bulge = 10, 20, 42
	count := 0
	for _, t := range r.Tags {
		if t.Code == x {
			count++
		}
	}
	corners := make([]corner, 0, count)
	hasY := true
	for _, t := range r.Tags {
		if t.Code != x && (len(corners) == 0 || t.Code != y && t.Code != bulge) {
			continue
		}
		v, err := t.Coordinate()
		if err != nil {
			return nil, err
		}
		switch t.Code {
		case x:
			if !hasY {
				return nil, intake.FaultAt(t.At, "LWPOLYLINE vertex %d has no y (group 20): export the drawing again", len(corners))
			}
			corners, hasY = append(corners, corner{at: r3.Vector{X: v, Z: height}}), false
		case y:
			corners[len(corners)-1].at.Y, hasY = v, true
		case bulge:
			corners[len(corners)-1].bulge = v
		}
	}
	if !hasY {
		return nil, intake.FaultAt(r.At, "LWPOLYLINE's last vertex has no y (group 20): export the drawing again")
	}
	return corners, nil
}

// Flags of POLYLINE and of its VERTEX records (DXF reference; from memory).
const (
	polylineClosed   = 1
	polylineSplined  = 4
	polyline3D       = 8
	polylineMesh     = 16
	polylinePolyface = 64
	vertexOfFrame    = 16 // control point of the spline that the other vertices were fitted to
)

// oldPolyline reads a POLYLINE with the VERTEX records that follow it, up to SEQEND or, where that is
// missing, the next entity.
func (p *parser) oldPolyline(r dxf.Record, e *entity) error {
	flags, err := r.Whole(flagsCode, 0)
	e.err = err
	frame, err := frameOf(r)
	e.keep(err)
	start, _, err := r.Point(10)
	e.keep(err)
	var corners []corner
	for p.Cur.Is("VERTEX") {
		v, err := p.Record(p.opt.mostPoints())
		if err != nil {
			return err
		}
		c, onCurve, err := vertex(v, flags)
		e.keep(err)
		if onCurve {
			corners = append(corners, c)
		}
	}
	if e.err != nil {
		return nil
	}
	if flags&(polylineMesh|polylinePolyface) != 0 {
		e.skip = meshKind
		return nil
	}
	note := ""
	if flags&polyline3D != 0 {
		frame, corners = segment.Scaling(1), unbent(corners)
	} else {
		note = level(corners, start.Z)
	}
	c := chained(corners, flags&polylineClosed != 0, frame)
	c.note = note
	e.take(c, nil)
	return nil
}

// unbent drops the bulges, which mean nothing in space.
func unbent(corners []corner) []corner {
	for i := range corners {
		corners[i].bulge = 0
	}
	return corners
}

// keep stores the first error of an entity.
func (e *entity) keep(err error) {
	if e.err == nil {
		e.err = err
	}
}

// vertex reads a VERTEX; control points of a fitted spline are not on the curve.
func vertex(v dxf.Record, polylineFlags int) (c corner, onCurve bool, err error) {
	flags, err := v.Whole(flagsCode, 0)
	if err != nil {
		return c, false, err
	}
	if polylineFlags&polylineSplined != 0 && flags&vertexOfFrame != 0 {
		return c, false, nil
	}
	if c.at, err = v.NeedPoint(10, "place"); err != nil {
		return c, false, err
	}
	t, ok := v.Find(42)
	if ok {
		c.bulge, err = t.Coordinate()
	}
	return c, true, err
}

// level gives all corners of a flat polyline one height: the polyline's own or, where it states none, the
// one that its vertices agree on.
func level(corners []corner, height float64) (note string) {
	if len(corners) == 0 {
		return ""
	}
	agreed := true
	for _, c := range corners {
		agreed = agreed && c.at.Z == corners[0].at.Z
	}
	if height == 0 && agreed {
		height = corners[0].at.Z
	}
	for i := range corners {
		corners[i].at.Z = height
	}
	if !agreed {
		return "flat POLYLINE with vertices at different heights: taken flat at the polyline's height"
	}
	return ""
}
