package drawing

import (
	"github.com/golang/geo/r3"

	"seamwright/geometry/dxf"
	"seamwright/geometry/intake"
	"seamwright/geometry/segment"
)

// splineData is a SPLINE as the file gives it.
type splineData struct {
	segment.Spline
	at       int64
	closed   bool
	fits     []r3.Vector
	tangents [2]r3.Vector // at the first and last fit point; zero when not given
}

// splineCurve reads a SPLINE. Control points win over fit points, which other programs may interpolate
// differently; fit points alone are joined by a smooth curve, with a note.
func splineCurve(r dxf.Record) (curve, error) {
	d, err := readSpline(r)
	if err != nil {
		return curve{}, err
	}
	if len(d.Controls) == 0 {
		return fitCurve(d), nil
	}
	if len(d.Controls) == 1 {
		return curve{}, nil
	}
	c := curve{closed: d.closed}
	if c.note, err = d.complete(); err != nil {
		return curve{}, err
	}
	if err := d.check(); err != nil {
		return curve{}, err
	}
	if c.segments, err = d.Pieces(); err != nil {
		return curve{}, intake.FaultAt(d.at, "SPLINE is %v: draw it as two splines", err)
	}
	if c.closed && !segment.Meets(c.segments) {
		c.closed, c.note = false, "SPLINE marked closed whose ends do not meet: taken open"
	}
	return c, nil
}

func fitCurve(d *splineData) curve {
	var c curve
	c.segments, c.closed = segment.Through(d.fits, d.tangents, d.closed)
	if len(c.segments) > 1 || len(c.segments) == 1 && d.tangents != [2]r3.Vector{} {
		c.note = "SPLINE given by fit points alone: joined by the smooth cubic through them"
	}
	return c
}

// readSpline sorts the groups of a SPLINE into lists.
func readSpline(r dxf.Record) (*splineData, error) {
	d := &splineData{at: r.At}
	flags, err := r.Whole(flagsCode, 0)
	if err != nil {
		return nil, err
	}
	const closed, periodic = 1, 2
	d.closed = flags&(closed|periodic) != 0
	if d.Degree, err = r.Whole(71, 3); err != nil {
		return nil, err
	}
	if d.Controls, err = r.Points(10); err != nil {
		return nil, err
	}
	if d.fits, err = r.Points(11); err != nil {
		return nil, err
	}
	if d.Knots, err = r.Numbers(40); err != nil {
		return nil, err
	}
	if d.Weights, err = r.Numbers(41); err != nil {
		return nil, err
	}
	for i, code := range [2]int{12, 13} {
		if d.tangents[i], _, err = r.Point(code); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// complete fills in what some writers leave out: weights of 1, a knot vector, or its first and last knot,
// which have no effect on the curve.
func (d *splineData) complete() (note string, err error) {
	n, p := len(d.Controls), d.Degree
	if p < 1 || p > maxDegree {
		return "", intake.FaultAt(d.at, "SPLINE has the degree %d: it must be 1 to %d; export the drawing again", p, maxDegree)
	}
	if n <= p {
		return "", intake.FaultAt(d.at, "SPLINE of degree %d has %d control points: it needs at least %d; export the drawing again", p, n, p+1)
	}
	if len(d.Weights) == 0 {
		d.Weights = make([]float64, n)
		for i := range d.Weights {
			d.Weights[i] = 1
		}
	}
	switch len(d.Knots) {
	case n + p + 1:
	case n + p - 1:
		d.Knots = append(append([]float64{d.Knots[0]}, d.Knots...), d.Knots[len(d.Knots)-1])
	case 0:
		d.Knots = segment.EvenKnots(n, p)
		note = "SPLINE without knots: evenly spaced knots taken"
	default:
		return "", intake.FaultAt(d.at, "SPLINE of degree %d with %d control points has %d knots: it needs %d; export the drawing again", p, n,
			len(d.Knots), n+p+1)
	}
	return note, nil
}

// check turns away what no curve can be made of.
func (d *splineData) check() error {
	n, p := len(d.Controls), d.Degree
	if len(d.Weights) != n {
		return intake.FaultAt(d.at, "SPLINE has %d control points but %d weights: export the drawing again", n, len(d.Weights))
	}
	for i, w := range d.Weights {
		if w <= 0 || w > maxCoordinate || w < 1/maxCoordinate {
			return intake.FaultAt(d.at, "SPLINE has the weight %v at control point %d: it must be above zero; mend it in the drawing", w, i+1)
		}
	}
	for i, k := range d.Knots {
		if i > 0 && k < d.Knots[i-1] {
			return intake.FaultAt(d.at, "SPLINE's knot %d (%v) is less than the one before it: export the drawing again", i+1, k)
		}
	}
	if d.Knots[p] == d.Knots[n] {
		return intake.FaultAt(d.at, "SPLINE's knots leave no room for a curve: export the drawing again")
	}
	return nil
}
