package spots

import (
	"math"
	"sort"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/space"
	"seamwright/layout/pitch"
)

// track is the line that the welds sit on: the weld line moved sideways where it must be. Lengths along
// it (u) differ from the points' (s) only where it was moved on a curve.
type track struct {
	points []flange.LinePoint
	closed bool
	offset []float64   // mm along Across, by point
	s, u   []float64   // by point; one more at the end of a closed line, where it closes
	boxes  []space.Box // of every boxed segments
}

// boxed is how many segments share a box, by which those far away are passed over.
const boxed = 32

func newTrack(line Line, offset []float64) *track {
	t := &track{points: line.Points, closed: line.Closed, offset: offset}
	start := line.Points[0].S
	for _, st := range line.Points {
		t.s = append(t.s, st.S-start)
	}
	if line.Closed {
		last := line.Points[len(line.Points)-1]
		t.s = append(t.s, t.s[len(t.s)-1]+line.Points[0].Point.Sub(last.Point).Norm())
	}
	t.u = make([]float64, len(t.s))
	for k := range t.segments() {
		ds := t.s[k+1] - t.s[k]
		straight := t.point(k + 1).Point.Sub(t.point(k).Point).Norm()
		if straight > 0 {
			ds *= t.moved(k+1).Sub(t.moved(k)).Norm() / straight
		}
		t.u[k+1] = t.u[k] + ds
		if k%boxed == 0 {
			t.boxes = append(t.boxes, space.EmptyBox())
		}
		box := &t.boxes[k/boxed]
		*box = box.Add(t.moved(k)).Add(t.moved(k + 1))
	}
	return t
}

func (t *track) segments() int { return len(t.s) - 1 }

func (t *track) point(k int) flange.LinePoint { return t.points[k%len(t.points)] }

// moved is where the track passes point k.
func (t *track) moved(k int) r3.Vector {
	st := t.point(k)
	return st.Point.Add(st.Across.Mul(t.offset[k%len(t.offset)]))
}

func (t *track) length() float64 { return t.u[len(t.u)-1] }

// segment returns the segment that u is in and how far along it, 0 to 1.
func (t *track) segment(u float64) (int, float64) {
	k := sort.SearchFloat64s(t.u, u)
	k = min(max(k-1, 0), t.segments()-1)
	width := t.u[k+1] - t.u[k]
	if width <= 0 {
		return k, 0
	}
	return k, math.Min(1, math.Max(0, (u-t.u[k])/width))
}

// wrap brings u of a closed line into 0 to length.
func (t *track) wrap(u float64) float64 {
	if !t.closed {
		return u
	}
	length := t.length()
	if u = math.Mod(u, length); u < 0 {
		u += length
	}
	return u
}

func (t *track) at(u float64) r3.Vector {
	k, f := t.segment(t.wrap(u))
	return lerp(t.moved(k), t.moved(k+1), f)
}

func (t *track) sAt(u float64) float64 {
	k, f := t.segment(t.wrap(u))
	return t.points[0].S + t.s[k] + f*(t.s[k+1]-t.s[k])
}

// weld is the spot at u with its frame made square again after blending its two points.
func (t *track) weld(u float64) Weld {
	return t.weldIn(t.segment(t.wrap(u)))
}

// weldIn is the spot in a segment, as far along it as f, 0 to 1, says.
func (t *track) weldIn(k int, f float64) Weld {
	a, b := t.point(k), t.point(k+1)
	offset := blend(t.offset[k%len(t.offset)], t.offset[(k+1)%len(t.offset)], f)
	axis := unit(lerp(a.Axis, b.Axis, f), a.Axis)
	along := lerp(a.Along, b.Along, f)
	along = unit(along.Sub(axis.Mul(along.Dot(axis))), a.Along)
	return Weld{
		S: t.points[0].S + t.s[k] + f*(t.s[k+1]-t.s[k]), Offset: offset, Position: lerp(t.moved(k), t.moved(k+1), f),
		Along: along, Axis: axis, Across: axis.Cross(along),
		Left: blend(a.Left, b.Left, f) - offset, Right: blend(a.Right, b.Right, f) + offset,
		Gap: blend(a.Gap, b.Gap, f),
	}
}

// within returns the stretches of the track nearer to c than radius, by growing u and merged. On a closed
// line a stretch over the closing point comes as two.
func (t *track) within(c r3.Vector, radius float64) []pitch.Span {
	var out []pitch.Span
	for k := 0; k < t.segments(); k++ {
		if k%boxed == 0 && t.boxes[k/boxed].Distance2(c) >= radius*radius {
			k += boxed - 1
			continue
		}
		a, d := t.moved(k).Sub(c), t.moved(k+1).Sub(t.moved(k))
		from, to, ok := insideBall(a, d, radius)
		if !ok {
			continue
		}
		width := t.u[k+1] - t.u[k]
		out = append(out, pitch.Span{From: t.u[k] + from*width, To: t.u[k] + to*width})
	}
	return pitch.Merge(out)
}

// insideBall returns the part of a + f d, f in 0 to 1, that is inside the ball of the radius about the origin.
func insideBall(a, d r3.Vector, radius float64) (from, to float64, ok bool) {
	aa, bb, cc := d.Norm2(), a.Dot(d), a.Norm2()-radius*radius
	if aa == 0 {
		return 0, 1, cc < 0
	}
	root := float64(bb*bb) - float64(aa*cc)
	if root <= 0 {
		return 0, 0, false
	}
	root = math.Sqrt(root)
	from, to = math.Max(0, (-bb-root)/aa), math.Min(1, (-bb+root)/aa)
	return from, to, from < to
}

// turnStep is the length in mm over which the line's direction is taken when its turns are added up:
// shorter, and the unevenness of a line found on triangles would add up to turns that are not there.
const turnStep = 10.0

// turned returns places along the line, growing, and how far it has turned up to each, in degrees. On a
// closed line they span one whole turn from the first place.
func (t *track) turned() (u, turned []float64) {
	length := t.length()
	n := max(3, int(math.Round(length/turnStep)))
	step := length / float64(n)
	chord := func(k int) r3.Vector { return t.at(float64(k+1) * step).Sub(t.at(float64(k) * step)) }
	if !t.closed {
		u, turned = append(u, 0), append(turned, 0)
	}
	sum, last := 0.0, n-1
	if t.closed {
		last = n
	}
	for k := 0; k <= last; k++ {
		if k > 0 {
			a, b := chord(k-1), chord(k)
			sum += math.Atan2(a.Cross(b).Norm(), a.Dot(b)) * 180 / math.Pi
		}
		u, turned = append(u, (float64(k)+0.5)*step), append(turned, sum)
	}
	if !t.closed {
		u, turned = append(u, length), append(turned, sum)
	}
	return u, turned
}

func blend(a, b, f float64) float64 { return a + float64(f*(b-a)) }

func lerp(a, b r3.Vector, f float64) r3.Vector { return a.Add(b.Sub(a).Mul(f)) }

func unit(v, otherwise r3.Vector) r3.Vector {
	if n := v.Norm(); n > 1e-9 {
		return v.Mul(1 / n)
	}
	return otherwise
}
