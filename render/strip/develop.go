package strip

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/render/paper"
)

// Flat is a flange laid flat. Its flat points are millimetres with x to the right and y down, as on paper;
// the way of the weld line starts at the origin and towards growing x, and left of it is up.
type Flat struct {
	Flange              layout.Flange
	On                  string  // panel on whose outer face the strip lies
	Length              float64 // mm of the centre line on that face
	Centre              []paper.Point
	Left, Right         []paper.Point // sides, one point for each of Centre
	LeftSide, RightSide Distortion
	CutAt               float64 // mm after the start of the plan's weld line where a closed flange is cut
	Folds               int     // points where a side runs backwards, because the line turns more sharply than the strip is wide

	way    way
	heads  []float64 // heading at each point, radians, to the left
	welds  []mark    // along the line from the cut
	holes  []hole
	seams  []seam
	sides  []layout.Side // as seen on the face
	facing float64       // mm from the weld line to the face
}

// Distortion is the length of a side on paper against that on the sheet, in mm.
type Distortion struct{ Flat, True float64 }

// Difference is how much longer the side is on paper, in mm.
func (d Distortion) Difference() float64 { return d.Flat - d.True }

// Percent is the difference as a share of the true length; zero for a side without length.
func (d Distortion) Percent() float64 {
	if d.True == 0 {
		return 0
	}
	return 100 * d.Difference() / d.True
}

// way is the weld line as seen on the face: a closed one ends where it starts.
type way struct {
	line         []r3.Vector // between the sheets
	face         []r3.Vector // on the face
	normal       []r3.Vector // towards the reader
	across       []r3.Vector // to the left, within the sheet
	left, right  []float64   // mm to the strip's sides
	sum, faceSum []float64   // mm up to each point, on line and on face
}

// Develop lays a flange flat. Every flange with two points or more can be laid flat; whether it fits onto
// A4 pages is another matter.
func Develop(index *layout.Index, flangeID string, opt Options) (*Flat, error) {
	here, err := find(index, flangeID)
	if err != nil {
		return nil, err
	}
	fl := here.Flange
	if err := usable(fl); err != nil {
		return nil, fmt.Errorf("strip of flange %s: %w", flangeID, err)
	}
	fl, shift := layout.Rebase(fl, here.Welds)
	f := &Flat{Flange: fl, On: opt.On, CutAt: shift}
	first, err := f.choose(index, opt.On)
	if err != nil {
		return nil, fmt.Errorf("strip of flange %s: %w", flangeID, err)
	}
	if f.way = wayOf(fl, first, f.facing); len(f.way.line) < 2 {
		return nil, fmt.Errorf("strip of flange %s: all points of its weld line are one", flangeID)
	}
	f.Length = f.way.faceSum[len(f.way.faceSum)-1]
	f.sides = sidesOf(&fl, first)
	f.layFlat()
	f.LeftSide = f.compare(f.Left, f.way.left, 1)
	f.RightSide = f.compare(f.Right, f.way.right, -1)
	f.gather(here)
	return f, nil
}

// usable refuses flanges that a plan by another hand may hold.
func usable(fl layout.Flange) error {
	n := len(fl.Line)
	if n < 2 || fl.Closed && n < 3 {
		return fmt.Errorf("its weld line has %d points: too few to lay flat", n)
	}
	for i, p := range fl.Line {
		for k := range 3 {
			if !finite(p.At[k]) || !finite(p.Normal[k]) {
				return fmt.Errorf("point %d of its weld line is not a number", i)
			}
		}
		if p.Normal == (layout.Vec{}) {
			return fmt.Errorf("point %d of its weld line has no normal", i)
		}
		if !(p.Left >= 0 && p.Right >= 0 && finite(p.Left+p.Right)) {
			return fmt.Errorf("point %d of its weld line has no width", i)
		}
		if i > 0 && !(p.Along >= fl.Line[i-1].Along) || !(p.Along <= fl.Length+measured) {
			return fmt.Errorf("point %d of its weld line lies %v mm along a line of %v mm, not after the one before it", i, p.Along, fl.Length)
		}
	}
	return nil
}

// measured is how exactly lengths along a line are written, mm.
const measured = 1e-3

func finite(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }

// choose settles the face: whether it is the first panel's, and how far from the weld line it is.
func (f *Flat) choose(index *layout.Index, on string) (first bool, err error) {
	stack := f.Flange.Panels
	if len(stack) == 0 {
		return false, nil
	}
	last := len(stack) - 1
	switch on {
	case "", stack[last]:
		f.On = stack[last]
	case stack[0]:
		first = true
	default:
		return false, fmt.Errorf("panel %q is not on its outside: lay it on %s or %s", on, stack[0], stack[last])
	}
	thick := make([]float64, len(stack))
	for i, id := range stack {
		thick[i] = index.Panel(id).Thickness
	}
	if !first {
		slices.Reverse(thick)
	}
	f.facing = depth(thick)
	return first, nil
}

// depth is how far the middle of the faying positions lies below the outer face of the first sheet; the air
// between sheets is closed when they are clamped.
func depth(thick []float64) float64 {
	if len(thick) < 2 {
		return 0
	}
	at, sum := 0.0, 0.0
	for _, t := range thick[:len(thick)-1] {
		at += t
		sum += at
	}
	return sum / float64(len(thick)-1)
}

// samePoint is how near two points of a line are one, mm: below the last digit that a plan is written with.
const samePoint = 1e-5

// wayOf sees the weld line from the face: from the first panel's, left and right change places.
func wayOf(fl layout.Flange, first bool, facing float64) way {
	var w way
	add := func(at layout.LinePoint, along float64) {
		p, n := at.At.R3(), at.Normal.R3().Normalize()
		if k := len(w.line) - 1; k >= 0 && p.Sub(w.line[k]).Norm() < samePoint {
			return
		}
		l, r := at.Left, at.Right
		if first {
			n, l, r = n.Mul(-1), r, l
		}
		w.line, w.sum = append(w.line, p), append(w.sum, along)
		w.face = append(w.face, p.Add(n.Mul(facing)))
		w.normal = append(w.normal, n)
		w.left, w.right = append(w.left, l), append(w.right, r)
	}
	for _, at := range fl.Line {
		add(at, at.Along)
	}
	if fl.Closed {
		add(fl.Line[0], fl.Length)
	}
	w.faceSum = sums(w.face)
	for i := range w.line {
		w.across = append(w.across, w.normal[i].Cross(w.tangent(i, fl.Closed)).Normalize())
	}
	return w
}

// tangent is the way of the line at point i.
func (w way) tangent(i int, closed bool) r3.Vector {
	n := len(w.line)
	a, b := max(i-1, 0), min(i+1, n-1)
	if closed && (i == 0 || i == n-1) {
		a, b = n-2, 1
	}
	return w.line[b].Sub(w.line[a])
}

func sums(points []r3.Vector) []float64 {
	out := make([]float64, len(points))
	for i := 1; i < len(points); i++ {
		out[i] = out[i-1] + points[i].Sub(points[i-1]).Norm()
	}
	return out
}

// turn is the angle in radians by which the way from a to b to c turns to the left within the sheet whose
// normal at b is n.
func turn(a, b, c, n r3.Vector) float64 {
	in, out := b.Sub(a), c.Sub(b)
	in, out = in.Sub(n.Mul(in.Dot(n))), out.Sub(n.Mul(out.Dot(n)))
	return math.Atan2(n.Dot(in.Cross(out)), in.Dot(out))
}

// layFlat draws the centre line with the lengths and turns of the face, and sets the sides off it.
func (f *Flat) layFlat() {
	w := f.way
	n := len(w.face)
	segments := make([]float64, n-1) // headings
	at, heading := paper.Point{}, 0.0
	f.Centre = append(f.Centre, at)
	for i := range n - 1 {
		if i > 0 {
			heading += turn(w.face[i-1], w.face[i], w.face[i+1], w.normal[i])
		}
		segments[i] = heading
		at = at.Add(direction(heading).Mul(w.faceSum[i+1] - w.faceSum[i]))
		f.Centre = append(f.Centre, at)
	}
	closing := 0.0 // turn where a closed line was cut: half of it falls to each end
	if f.Flange.Closed {
		closing = turn(w.face[n-2], w.face[0], w.face[1], w.normal[0])
	}
	for i := range n {
		h := 0.0
		switch i {
		case 0:
			h = segments[0] - closing/2
		case n - 1:
			h = segments[n-2] + closing/2
		default:
			h = (segments[i-1] + segments[i]) / 2
		}
		f.heads = append(f.heads, h)
		left := leftOf(h)
		f.Left = append(f.Left, f.Centre[i].Add(left.Mul(w.left[i])))
		f.Right = append(f.Right, f.Centre[i].Sub(left.Mul(w.right[i])))
	}
	f.Folds = f.unfold(f.Left) + f.unfold(f.Right)
}

// unfold holds the points of a side that would run backwards where the side last went forwards, and counts
// them.
func (f *Flat) unfold(side []paper.Point) int {
	folds, last := 0, 0
	for i := 1; i < len(side); i++ {
		d := direction((f.heads[i-1] + f.heads[i]) / 2)
		if step := side[i].Sub(side[last]); float64(step.X*d.X)+float64(step.Y*d.Y) < 0 {
			side[i] = side[last]
			folds++
			continue
		}
		last = i
	}
	return folds
}

// direction is the unit vector of a heading: to the left is up the paper.
func direction(heading float64) paper.Point {
	sin, cos := math.Sincos(heading)
	return paper.Point{X: cos, Y: -sin}
}

func leftOf(heading float64) paper.Point {
	sin, cos := math.Sincos(heading)
	return paper.Point{X: -sin, Y: -cos}
}

// compare measures a side on paper and on the face.
func (f *Flat) compare(flat []paper.Point, width []float64, sign float64) Distortion {
	var d Distortion
	var last r3.Vector
	bows := f.bows(width, sign)
	for i := range flat {
		w := f.way
		q := w.line[i].Add(w.across[i].Mul(sign*width[i] + bows[i].across)).Add(w.normal[i].Mul(f.facing + bows[i].up))
		if i > 0 {
			d.True += q.Sub(last).Norm()
			d.Flat += flat[i].Sub(flat[i-1]).Norm()
		}
		last = q
	}
	return d
}

// bow is how far a side lies from where it would be if the sheet were straight across, mm.
type bow struct{ across, up float64 }

// bows looks for the side on the strip's outline, square to the line. Near the ends of an open strip, where
// the outline turns round its corners, and where it is not near, the nearest station that is sure speaks.
func (f *Flat) bows(width []float64, sign float64) []bow {
	edge := newEdge(f.Flange.Outline)
	n := len(width)
	out, sure := make([]bow, n), make([]bool, n)
	for i := range n {
		w := f.way
		if !f.Flange.Closed && math.Min(w.sum[i], w.sum[n-1]-w.sum[i]) < width[i] {
			continue
		}
		q := w.line[i].Add(w.across[i].Mul(sign * width[i]))
		if near, ok := edge.nearest(q, 0.5+0.2*width[i]); ok {
			d := near.Sub(q)
			out[i], sure[i] = bow{d.Dot(w.across[i]), d.Dot(w.normal[i])}, true
		}
	}
	spread(out, sure)
	return out
}

// spread gives what is not sure the value of the nearest that is, the earlier one of two.
func spread(values []bow, sure []bool) {
	from := -1
	for i := range values {
		if sure[i] {
			for k := from + 1; k < i; k++ {
				if from < 0 || i-k < k-from {
					values[k] = values[i]
				} else {
					values[k] = values[from]
				}
			}
			from = i
		}
	}
	for k := from + 1; k < len(values) && from >= 0; k++ {
		values[k] = values[from]
	}
}
