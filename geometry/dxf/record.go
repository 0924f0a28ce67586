package dxf

import (
	"math"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/intake"
)

// Record is one entity or table entry: its type and its groups up to the next type. Extended data,
// application groups in braces and embedded objects are left out.
type Record struct {
	Kind string
	At   int64 // line or byte of its type
	Tags []Tag // in the reader's own memory: gone with the next record
}

// Group codes that have the same meaning in every record.
const (
	firstX        = 10
	knotCode      = 40
	braceCode     = 102
	embeddedCode  = 101
	extendedCodes = 1000
)

// Record reads the record whose type is the current tag, of at most the points given.
func (p *Reader) Record(mostPoints int) (Record, error) {
	r := Record{Kind: p.Cur.Name(), At: p.Cur.At}
	const fewTags = 1 << 16
	if p.tags = p.tags[:0]; cap(p.tags) > fewTags {
		p.tags = nil // after one huge record
	}
	braces, embedded := false, false
	points := 0
	for {
		if err := p.Advance(); err != nil {
			return r, err
		}
		t := p.Cur
		switch {
		case t.Code == 0:
			r.Tags = p.tags
			return r, nil
		case t.Code == embeddedCode:
			embedded = true
		case t.Code == braceCode:
			braces = strings.HasPrefix(t.Name(), "{")
		case !braces && !embedded && t.Code > 0 && t.Code < extendedCodes:
			if t.Code == firstX || t.Code == firstX+1 || t.Code == knotCode {
				if points++; points > mostPoints {
					return r, intake.FaultAt(t.At, "%s has more than %d points: draw it with fewer, or allow more", TypeName(r.Kind), mostPoints)
				}
			}
			p.tags = append(p.tags, t)
		}
	}
}

// Find returns the first tag with the code.
func (r Record) Find(code int) (Tag, bool) {
	for _, t := range r.Tags {
		if int(t.Code) == code {
			return t, true
		}
	}
	return Tag{}, false
}

// Text returns the value of a group as it is written, or nothing.
func (r Record) Text(code int) string {
	t, _ := r.Find(code)
	return t.Text
}

// Number returns the value of a group, or otherwise when the record has no such group.
func (r Record) Number(code int, otherwise float64) (float64, error) {
	t, ok := r.Find(code)
	if !ok {
		return otherwise, nil
	}
	return t.Float()
}

// Whole is Number for a whole number.
func (r Record) Whole(code, otherwise int) (int, error) {
	t, ok := r.Find(code)
	if !ok {
		return otherwise, nil
	}
	return t.Whole()
}

// Point returns the point with x in the group given, y ten and z twenty above; z may be missing. It reports
// whether x and y are there.
func (r Record) Point(code int) (v r3.Vector, ok bool, err error) {
	var found [3]bool
	for _, t := range r.Tags {
		axis := (int(t.Code) - code) / 10
		if (int(t.Code)-code)%10 != 0 || axis < 0 || axis > 2 || found[axis] {
			continue
		}
		c, err := t.Coordinate()
		if err != nil {
			return v, false, err
		}
		found[axis] = true
		*Component(&v, axis) = c
	}
	return v, found[0] && found[1], nil
}

// Points returns all points of a list whose x is in the group given; each x starts a new point.
func (r Record) Points(code int) ([]r3.Vector, error) {
	var list []r3.Vector
	for _, t := range r.Tags {
		axis := (int(t.Code) - code) / 10
		if (int(t.Code)-code)%10 != 0 || axis < 0 || axis > 2 || (axis > 0 && len(list) == 0) {
			continue
		}
		v, err := t.Coordinate()
		if err != nil {
			return nil, err
		}
		if axis == 0 {
			list = append(list, r3.Vector{})
		}
		*Component(&list[len(list)-1], axis) = v
	}
	return list, nil
}

// Numbers returns the values of all groups with the code.
func (r Record) Numbers(code int) ([]float64, error) {
	var list []float64
	for _, t := range r.Tags {
		if int(t.Code) != code {
			continue
		}
		v, err := t.Float()
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
}

// NeedPoint is point for a point that the entity cannot do without.
func (r Record) NeedPoint(code int, what string) (r3.Vector, error) {
	v, ok, err := r.Point(code)
	if err == nil && !ok {
		err = intake.FaultAt(r.At, "%s has no %s (groups %d and %d): export the drawing again", TypeName(r.Kind), what, code, code+10)
	}
	return v, err
}

// NeedNumber is number for a value that the entity cannot do without.
func (r Record) NeedNumber(code int, what string) (float64, error) {
	if _, ok := r.Find(code); !ok {
		return 0, intake.FaultAt(r.At, "%s has no %s (group %d): export the drawing again", TypeName(r.Kind), what, code)
	}
	return r.Number(code, 0)
}

// Coordinate is the value as a coordinate that can be calculated with.
func (t Tag) Coordinate() (float64, error) {
	v, err := t.Float()
	if err == nil && math.Abs(v) > Farthest {
		err = intake.FaultAt(t.At, "group %d: coordinate %v is beyond %v: the file is damaged; export it again", t.Code, v, Farthest)
	}
	return v, err
}

// Component is a point's coordinate along an axis: 0 for x, 1 for y, 2 for z.
func Component(v *r3.Vector, axis int) *float64 {
	return [3]*float64{&v.X, &v.Y, &v.Z}[axis]
}
