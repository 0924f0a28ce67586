package drawing

import (
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/dxf"
	"seamwright/geometry/intake"
	"seamwright/geometry/segment"
)

// entity is one drawn thing: a curve, an inserted block, or something that is skipped and counted.
type entity struct {
	kind   string
	layer  string
	at     int64 // line or byte of its type
	paper  bool  // drawn on a sheet rather than in the model
	hidden bool
	curve  curve
	insert *insertion
	skip   string // why it is not read: it is counted under kind and this; " " alone for a type that is no outline
	err    error  // why it cannot be read; raised only when the entity is used
}

// curve is a chain of segments, each starting where the one before ends, in the world system and the
// drawing's unit.
type curve struct {
	segments []segment.Segment
	closed   bool
	note     string // what had to be assumed, said once for each kind of note
}

// Reasons for skipping, as they stand in the notes after the type.
const (
	noOutline = " "
	noSize    = "of no size"
	meshKind  = "mesh"
)

// curveReaders are the entities that become paths. 3DLINE is LINE in drawings before R11.
var curveReaders = map[string]func(dxf.Record) (curve, error){
	"LINE": lineCurve, "3DLINE": lineCurve, "CIRCLE": circleCurve, "ARC": arcCurve, "ELLIPSE": ellipseCurve,
	"LWPOLYLINE": lightPolyline, "SPLINE": splineCurve,
}

// structural are records that end or fill others and stand for nothing drawn.
var structural = map[string]bool{"SEQEND": true, "VERTEX": true, "ENDBLK": true}

// entity reads the entity that starts at the current tag; none for records that draw nothing.
func (p *parser) entity() ([]entity, error) {
	if p.Cur.Code != 0 {
		return nil, p.Advance() // stray groups before the first entity
	}
	r, err := p.Record(p.opt.mostPoints())
	if err != nil {
		return nil, err
	}
	if structural[r.Kind] {
		return nil, nil
	}
	if p.count++; p.count > p.opt.mostEntities() {
		return nil, intake.FaultAt(r.At, "drawing has more than %d entities: export the outlines alone, or allow more", p.opt.mostEntities())
	}
	e := p.common(r)
	switch read := curveReaders[r.Kind]; {
	case r.Kind == "POLYLINE":
		err = p.oldPolyline(r, &e)
	case r.Kind == "INSERT":
		e.insert, e.err = p.insertion(r)
	case read != nil:
		e.take(read(r))
	default:
		e.skip = noOutline
	}
	if p.curves += len(e.curve.segments); p.curves > p.opt.mostPoints() {
		return nil, intake.FaultAt(r.At, "drawing has more than %d points: draw it with fewer, or allow more", p.opt.mostPoints())
	}
	return []entity{e}, err
}

// common reads what all entities have.
func (p *parser) common(r dxf.Record) entity {
	e := entity{kind: r.Kind, at: r.At, layer: "0"}
	if name := p.file.names.Decode(r.Text(layerCode)); name != "" {
		e.layer = name
	}
	if known, ok := p.file.layers[dxf.Folded(e.layer)]; ok {
		e.layer = known.name
	}
	// A mark that cannot be read counts as not set.
	paper, _ := r.Whole(paperCode, 0)
	hidden, _ := r.Whole(hiddenCode, 0)
	e.paper, e.hidden = paper == 1, hidden == 1
	return e
}

// take stores what a curve reader returned.
func (e *entity) take(c curve, err error) {
	e.curve, e.err = c, err
	if err == nil && len(c.segments) == 0 {
		e.skip = noSize
	}
}

func lineCurve(r dxf.Record) (curve, error) {
	a, err := r.NeedPoint(10, "start point")
	if err != nil {
		return curve{}, err
	}
	b, err := r.NeedPoint(11, "end point")
	if err != nil || a == b {
		return curve{}, err
	}
	return curve{segments: []segment.Segment{segment.Line(a, b)}}, nil
}

// round reads the centre, the radius and the frame of a circle or an arc.
func round(r dxf.Record) (center r3.Vector, radius float64, frame segment.Affine, err error) {
	if center, err = r.NeedPoint(10, "centre"); err != nil {
		return
	}
	if radius, err = r.NeedNumber(40, "radius"); err != nil {
		return
	}
	if radius < 0 || radius > maxCoordinate {
		err = intake.FaultAt(r.At, "%s has the radius %v: it must be above zero; mend it in the drawing", r.Kind, radius)
		return
	}
	frame, err = frameOf(r)
	return
}

func circleCurve(r dxf.Record) (curve, error) {
	center, radius, frame, err := round(r)
	if err != nil || radius == 0 {
		return curve{}, err
	}
	return curve{segments: []segment.Segment{flatArc(center, radius, 0, 2*math.Pi, frame)}, closed: true}, nil
}

// flatArc is the arc of a circle in the plane of its frame.
func flatArc(center r3.Vector, radius, start, sweep float64, frame segment.Affine) segment.Segment {
	s := segment.Arc(center, r3.Vector{X: radius}, r3.Vector{Y: radius}, start, sweep)
	return s.Mapped(frame)
}

func arcCurve(r dxf.Record) (curve, error) {
	center, radius, frame, err := round(r)
	if err != nil {
		return curve{}, err
	}
	start, err := r.NeedNumber(50, "start angle")
	if err != nil {
		return curve{}, err
	}
	end, err := r.NeedNumber(51, "end angle")
	if err != nil {
		return curve{}, err
	}
	sweep := turnBetween(start, end, 360)
	if radius == 0 || sweep == 0 {
		return curve{}, nil
	}
	s := flatArc(center, radius, radians(start), radians(sweep), frame)
	return curve{segments: []segment.Segment{s}, closed: sweep == 360}, nil
}

func radians(degrees float64) float64 { return degrees * (math.Pi / 180) }

// turnBetween is the anticlockwise turn from start to end: 0 when they are equal, a full turn when they
// differ by whole turns.
func turnBetween(start, end, full float64) float64 {
	if start == end {
		return 0
	}
	const sameAngle = 1e-7 // of a turn: angles are written with six decimals or more
	turn := math.Mod(end-start, full)
	if turn < 0 {
		turn += full
	}
	if turn < sameAngle*full || turn > (1-sameAngle)*full {
		return wholeTurn(end-start, full)
	}
	return turn
}

// wholeTurn tells a full turn, written as 0 to 360, from none at all, written with a rounding error.
func wholeTurn(difference, full float64) float64 {
	if math.Abs(difference) > full/2 {
		return full
	}
	return 0
}

func ellipseCurve(r dxf.Record) (curve, error) {
	center, err := r.NeedPoint(10, "centre")
	if err != nil {
		return curve{}, err
	}
	major, err := r.NeedPoint(11, "end of the major axis")
	if err != nil {
		return curve{}, err
	}
	ratio, err := r.NeedNumber(40, "ratio of the axes")
	if err != nil {
		return curve{}, err
	}
	normal, _, err := r.Point(extrusionCode)
	if err != nil {
		return curve{}, err
	}
	start, err := r.Number(41, 0)
	if err != nil {
		return curve{}, err
	}
	end, err := r.Number(42, 2*math.Pi)
	if err != nil {
		return curve{}, err
	}
	return ellipse(r, center, major, normal, ratio, start, end)
}

// ellipse builds the curve; its points are in the world system, the normal turns the major axis to the minor.
func ellipse(r dxf.Record, center, major, normal r3.Vector, ratio, start, end float64) (curve, error) {
	z := objectFrame(normal).Z
	minor := z.Cross(major).Mul(ratio)
	const flattest = 1e-9 // below this the minor axis is lost in the rounding of the coordinates
	if math.Abs(ratio) > 1e6 {
		return curve{}, intake.FaultAt(r.At, "ELLIPSE has the ratio %v of its axes: it must be 1 at most; mend it in the drawing", ratio)
	}
	sweep := turnBetween(start, end, 2*math.Pi)
	if sweep == 0 || minor.Norm() <= flattest*major.Norm() {
		return curve{}, nil
	}
	s := segment.Arc(center, major, minor, math.Mod(start, 2*math.Pi), sweep)
	return curve{segments: []segment.Segment{s}, closed: sweep == 2*math.Pi}, nil
}
