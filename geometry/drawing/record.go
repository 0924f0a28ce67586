package drawing

import (
	"math"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/segment"
)

// record is one entity or table entry: its type and its groups up to the next type. Extended data,
// application groups in braces and embedded objects are left out.
type record struct {
	kind string
	at   int64 // line or byte of its type
	tags []tag // in scratch memory of the parser: gone with the next record
}

// Group codes that have the same meaning in every entity.
const (
	layerCode     = 8
	firstX        = 10
	knotCode      = 40
	hiddenCode    = 60
	paperCode     = 67
	flagsCode     = 70
	braceCode     = 102
	embeddedCode  = 101
	extendedCodes = 1000
	extrusionCode = 210
)

// record reads the record whose type is the current tag.
func (p *parser) record() (record, error) {
	r := record{kind: p.cur.name(), at: p.cur.at}
	const fewTags = 1 << 16
	if p.tags = p.tags[:0]; cap(p.tags) > fewTags {
		p.tags = nil // after one huge record
	}
	braces, embedded := false, false
	points := 0
	for {
		if err := p.advance(); err != nil {
			return r, err
		}
		t := p.cur
		switch {
		case t.code == 0:
			r.tags = p.tags
			return r, nil
		case t.code == embeddedCode:
			embedded = true
		case t.code == braceCode:
			braces = strings.HasPrefix(t.name(), "{")
		case !braces && !embedded && t.code > 0 && t.code < extendedCodes:
			if t.code == firstX || t.code == firstX+1 || t.code == knotCode {
				if points++; points > p.opt.mostPoints() {
					return r, problemAt(t.at, "%s has more than %d points: draw it with fewer, or allow more", typeName(r.kind), p.opt.mostPoints())
				}
			}
			p.tags = append(p.tags, t)
		}
	}
}

// find returns the first tag with the code.
func (r record) find(code int) (tag, bool) {
	for _, t := range r.tags {
		if int(t.code) == code {
			return t, true
		}
	}
	return tag{}, false
}

func (r record) text(code int) string {
	t, _ := r.find(code)
	return t.text
}

// number returns the value of a group, or otherwise when the record has no such group.
func (r record) number(code int, otherwise float64) (float64, error) {
	t, ok := r.find(code)
	if !ok {
		return otherwise, nil
	}
	return t.float()
}

func (r record) whole(code, otherwise int) (int, error) {
	t, ok := r.find(code)
	if !ok {
		return otherwise, nil
	}
	return t.whole()
}

// point returns the point with x in the group given, y ten and z twenty above; z may be missing. It reports
// whether x and y are there.
func (r record) point(code int) (v r3.Vector, ok bool, err error) {
	var found [3]bool
	for _, t := range r.tags {
		axis := (int(t.code) - code) / 10
		if (int(t.code)-code)%10 != 0 || axis < 0 || axis > 2 || found[axis] {
			continue
		}
		c, err := t.coordinate()
		if err != nil {
			return v, false, err
		}
		found[axis] = true
		*component(&v, axis) = c
	}
	return v, found[0] && found[1], nil
}

// needPoint is point for a point that the entity cannot do without.
func (r record) needPoint(code int, what string) (r3.Vector, error) {
	v, ok, err := r.point(code)
	if err == nil && !ok {
		err = problemAt(r.at, "%s has no %s (groups %d and %d): export the drawing again", typeName(r.kind), what, code, code+10)
	}
	return v, err
}

// needNumber is number for a value that the entity cannot do without.
func (r record) needNumber(code int, what string) (float64, error) {
	if _, ok := r.find(code); !ok {
		return 0, problemAt(r.at, "%s has no %s (group %d): export the drawing again", typeName(r.kind), what, code)
	}
	return r.number(code, 0)
}

// coordinate is the value as a coordinate that can be calculated with.
func (t tag) coordinate() (float64, error) {
	v, err := t.float()
	if err == nil && math.Abs(v) > maxCoordinate {
		err = problemAt(t.at, "group %d: coordinate %v is beyond %v: the file is damaged; export it again", t.code, v, maxCoordinate)
	}
	return v, err
}

func component(v *r3.Vector, axis int) *float64 {
	return [3]*float64{&v.X, &v.Y, &v.Z}[axis]
}

// frame returns the map from the entity's own coordinate system to the world.
func (r record) frame() (segment.Affine, error) {
	n, ok, err := r.point(extrusionCode)
	if err != nil || !ok {
		return segment.Scaling(1), err
	}
	return objectFrame(n), nil
}

// objectFrame returns the map from the object coordinate system of an entity with the extrusion direction
// given to the world: the arbitrary axis algorithm (DXF reference, "Arbitrary axis algorithm"; from memory).
// A zero direction counts as (0,0,1).
func objectFrame(extrusion r3.Vector) segment.Affine {
	const shortest = 1e-9 // a direction that is not zero by intent has a length of about 1
	length := extrusion.Norm()
	if length < shortest || (extrusion.X == 0 && extrusion.Y == 0 && extrusion.Z > 0) {
		return segment.Scaling(1)
	}
	n := extrusion.Mul(1 / length)
	const nearPole = 1.0 / 64
	aside := r3.Vector{Z: 1}
	if math.Abs(n.X) < nearPole && math.Abs(n.Y) < nearPole {
		aside = r3.Vector{Y: 1}
	}
	x := aside.Cross(n).Normalize()
	return segment.Affine{X: x, Y: n.Cross(x).Normalize(), Z: n}
}
