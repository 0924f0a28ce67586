package drawing

import (
	"math"

	"github.com/golang/geo/r3"
)

// splineData is a SPLINE as the file gives it.
type splineData struct {
	at       int64
	degree   int
	closed   bool
	knots    []float64
	weights  []float64
	controls []r3.Vector
	fits     []r3.Vector
	tangents [2]r3.Vector // at the first and last fit point; zero when not given
}

// splineCurve reads a SPLINE. Control points win over fit points, which other programs may interpolate
// differently; fit points alone are joined by the curve of fitCurve, with a note.
func splineCurve(r record) (curve, error) {
	d, err := readSpline(r)
	if err != nil {
		return curve{}, err
	}
	if len(d.controls) == 0 {
		return fitCurve(d), nil
	}
	if len(d.controls) == 1 {
		return curve{}, nil
	}
	c := curve{closed: d.closed}
	if c.note, err = d.complete(); err != nil {
		return curve{}, err
	}
	if err := d.check(); err != nil {
		return curve{}, err
	}
	if c.segments, err = d.spans(); err != nil {
		return curve{}, err
	}
	if c.closed && !meets(c.segments) {
		c.closed, c.note = false, "SPLINE marked closed whose ends do not meet: taken open"
	}
	return c, nil
}

// readSpline sorts the groups of a SPLINE into lists.
func readSpline(r record) (*splineData, error) {
	d := &splineData{at: r.at}
	flags, err := r.whole(flagsCode, 0)
	if err != nil {
		return nil, err
	}
	const closed, periodic = 1, 2
	d.closed = flags&(closed|periodic) != 0
	if d.degree, err = r.whole(71, 3); err != nil {
		return nil, err
	}
	if d.controls, err = r.points(10); err != nil {
		return nil, err
	}
	if d.fits, err = r.points(11); err != nil {
		return nil, err
	}
	if d.knots, err = r.numbers(40); err != nil {
		return nil, err
	}
	if d.weights, err = r.numbers(41); err != nil {
		return nil, err
	}
	for i, code := range [2]int{12, 13} {
		if d.tangents[i], _, err = r.point(code); err != nil {
			return nil, err
		}
	}
	return d, nil
}

// points returns all points of a list whose x is in the group given; each x starts a new point.
func (r record) points(code int) ([]r3.Vector, error) {
	var list []r3.Vector
	for _, t := range r.tags {
		axis := (int(t.code) - code) / 10
		if (int(t.code)-code)%10 != 0 || axis < 0 || axis > 2 || (axis > 0 && len(list) == 0) {
			continue
		}
		v, err := t.coordinate()
		if err != nil {
			return nil, err
		}
		if axis == 0 {
			list = append(list, r3.Vector{})
		}
		*component(&list[len(list)-1], axis) = v
	}
	return list, nil
}

// numbers returns the values of all groups with the code.
func (r record) numbers(code int) ([]float64, error) {
	var list []float64
	for _, t := range r.tags {
		if int(t.code) != code {
			continue
		}
		v, err := t.float()
		if err != nil {
			return nil, err
		}
		list = append(list, v)
	}
	return list, nil
}

// complete fills in what some writers leave out: weights of 1, a knot vector, or its first and last knot,
// which have no effect on the curve.
func (d *splineData) complete() (note string, err error) {
	n, p := len(d.controls), d.degree
	if p < 1 || p > maxDegree {
		return "", problemAt(d.at, "SPLINE has the degree %d: it must be 1 to %d; export the drawing again", p, maxDegree)
	}
	if n <= p {
		return "", problemAt(d.at, "SPLINE of degree %d has %d control points: it needs at least %d; export the drawing again", p, n, p+1)
	}
	if len(d.weights) == 0 {
		d.weights = make([]float64, n)
		for i := range d.weights {
			d.weights[i] = 1
		}
	}
	switch len(d.knots) {
	case n + p + 1:
	case n + p - 1:
		d.knots = append(append([]float64{d.knots[0]}, d.knots...), d.knots[len(d.knots)-1])
	case 0:
		d.knots = clampedKnots(n, p)
		note = "SPLINE without knots: evenly spaced knots taken"
	default:
		return "", problemAt(d.at, "SPLINE of degree %d with %d control points has %d knots: it needs %d; export the drawing again", p, n,
			len(d.knots), n+p+1)
	}
	return note, nil
}

// clampedKnots are evenly spaced knots with the first and the last repeated, so that the curve runs from the
// first control point to the last.
func clampedKnots(n, p int) []float64 {
	knots := make([]float64, n+p+1)
	for i := range knots {
		knots[i] = float64(min(max(0, i-p), n-p))
	}
	return knots
}

// check turns away what no curve can be made of.
func (d *splineData) check() error {
	n, p := len(d.controls), d.degree
	if len(d.weights) != n {
		return problemAt(d.at, "SPLINE has %d control points but %d weights: export the drawing again", n, len(d.weights))
	}
	for i, w := range d.weights {
		if w <= 0 || w > maxCoordinate || w < 1/maxCoordinate {
			return problemAt(d.at, "SPLINE has the weight %v at control point %d: it must be above zero; mend it in the drawing", w, i+1)
		}
	}
	for i, k := range d.knots {
		if i > 0 && k < d.knots[i-1] {
			return problemAt(d.at, "SPLINE's knot %d (%v) is less than the one before it: export the drawing again", i+1, k)
		}
	}
	if d.knots[p] == d.knots[n] {
		return problemAt(d.at, "SPLINE's knots leave no room for a curve: export the drawing again")
	}
	return nil
}

// spans cuts the spline at its knots into beziers.
func (d *splineData) spans() ([]segment, error) {
	n, p := len(d.controls), d.degree
	var spans []segment
	for i := p; i < n; i++ {
		if !(d.knots[i] < d.knots[i+1]) {
			continue
		}
		poles := make([]pole, p+1)
		for j := range poles {
			poles[j] = d.blossom(i, j)
		}
		s := segment{kind: bezier, from: poles[0].at, to: poles[p].at, poles: poles}
		if k := len(spans); k > 0 && !near(spans[k-1].to, s.from) {
			return nil, problemAt(d.at, "SPLINE is broken at its knot %v: draw it as two splines", d.knots[i])
		}
		spans = append(spans, s)
	}
	return withoutPoints(spans), nil
}

// blossom is the j-th control point of the bezier between knots i and i+1: the polar form of the spline with
// the first knot taken p-j times and the second j times (Ramshaw's blossoming; from memory).
func (d *splineData) blossom(i, j int) pole {
	p := d.degree
	row := make([]pole, p+1)
	for k := range row {
		row[k] = pole{d.controls[i-p+k], d.weights[i-p+k]}
	}
	for level := 1; level <= p; level++ {
		u := d.knots[i]
		if level <= j {
			u = d.knots[i+1]
		}
		for k := p; k >= level; k-- {
			low, high := d.knots[i-p+k], d.knots[i+1+k-level]
			row[k] = blended(row[k-1], row[k], (u-low)/(high-low))
		}
	}
	return row[p]
}

// near reports whether two points are one but for rounding.
func near(a, b r3.Vector) bool {
	size := math.Max(a.Norm(), b.Norm())
	return a.Sub(b).Norm() <= 1e-9*math.Max(size, 1)
}

// meets reports whether a curve ends where it starts, but for what the rounding of knots in the file does.
func meets(segments []segment) bool {
	if len(segments) == 0 {
		return false
	}
	const rounding = 1e-5 // of the control polygon
	run := 0.0
	for _, s := range segments {
		for i := 1; i < len(s.poles); i++ {
			run += s.poles[i].at.Sub(s.poles[i-1].at).Norm()
		}
	}
	return segments[len(segments)-1].to.Sub(segments[0].from).Norm() <= rounding*run
}

// withoutPoints drops the segments that stay in one place.
func withoutPoints(segments []segment) []segment {
	var kept []segment
	for _, s := range segments {
		moves := false
		for _, p := range s.poles[1:] {
			moves = moves || p.at != s.poles[0].at
		}
		if moves {
			kept = append(kept, s)
		}
	}
	return kept
}
