package segment

import (
	"math"

	"github.com/golang/geo/r3"
)

// Flatten returns the polyline that stands for the chain of segments under m, each of which starts where the one before
// ends: its points lie on the true curve, and its chords leave it by no more than chord. The length is the curve's own. It is
// not ok when that takes more points than most, and the points are then to be thrown away.
func Flatten(chain []Segment, m Affine, chord float64, most int) (points []r3.Vector, length float64, ok bool) {
	f := flattener{chord: chord, room: most, points: make([]r3.Vector, 0, len(chain)+1)}
	for i := range chain {
		s := chain[i].Mapped(m)
		if i == 0 {
			f.add(s.From)
		}
		f.run(&s)
		length += s.length()
	}
	return f.points, length, !f.full
}

// coarsest is the greatest angle that one chord of an arc may span, however wide the tolerance: a circle
// never gets fewer than 16 chords, so that it keeps its look and its direction.
const coarsest = math.Pi / 8

// greatestRadius is the greater half axis of the ellipse that the segment is an arc of.
func (s *Segment) greatestRadius() float64 {
	a, b := s.u.Norm2(), s.v.Norm2()
	across := s.u.Dot(s.v)
	return math.Sqrt((a + b + math.Hypot(a-b, 2*across)) / 2)
}

// arcChords is the number of equal steps in which an arc stays within chord of its chords. On a circle of
// radius r a step d leaves r(1 - cos d/2). An ellipse is its greater circle shrunk, which brings no point
// further from its chord.
func (s *Segment) arcChords(chord float64) float64 {
	step := coarsest
	if r := s.greatestRadius(); chord < r {
		// acos(1-x) = 2 asin(sqrt(x/2)), which keeps its digits for small x.
		step = min(step, 4*math.Asin(math.Sqrt(chord/r/2)))
	}
	return math.Max(1, math.Ceil(s.sweep/step-1e-9))
}

// flattener gathers the points of one path.
type flattener struct {
	chord  float64
	room   int // points that may still be added
	points []r3.Vector
	full   bool // room has run out
}

func (f *flattener) add(p r3.Vector) {
	if len(f.points) >= f.room {
		f.full = true
		return
	}
	f.points = append(f.points, p)
}

// run adds the points of the segment after its first.
func (f *flattener) run(s *Segment) {
	switch s.kind {
	case arc:
		f.arc(s)
	case bezier:
		f.bezier(s.poles, 0)
	default:
		f.add(s.To)
	}
}

func (f *flattener) arc(s *Segment) {
	chords := s.arcChords(f.chord)
	if chords > float64(f.room-len(f.points)) {
		f.full = true
		return
	}
	for i := 1.0; i < chords; i++ {
		f.add(s.along(s.sweep * (i / chords)))
	}
	f.add(s.To)
}

// deepest ends the halving of a bezier: 2^-30 of its range is below what doubles resolve of a drawing.
const deepest = 30

// bezier halves the curve until its control points lie within the tolerance of the chord. With weights above
// zero the curve stays in the hull of its control points, so it stays within the tolerance too.
func (f *flattener) bezier(poles []pole, depth int) {
	first, last := poles[0].at, poles[len(poles)-1].at
	if f.full {
		return
	}
	if depth >= deepest || flat(poles, first, last, f.chord) {
		f.add(last)
		return
	}
	left, right := halved(poles)
	f.bezier(left, depth+1)
	f.bezier(right, depth+1)
}

// flat reports whether all control points lie within chord of the segment from a to b.
func flat(poles []pole, a, b r3.Vector, chord float64) bool {
	for _, p := range poles[1 : len(poles)-1] {
		if distanceToSegment(p.at, a, b) > chord {
			return false
		}
	}
	return true
}

func distanceToSegment(p, a, b r3.Vector) float64 {
	run := b.Sub(a)
	t := 0.0
	if l := run.Norm2(); l > 0 {
		t = math.Max(0, math.Min(1, p.Sub(a).Dot(run)/l))
	}
	return p.Sub(a.Add(scaled(run, t))).Norm()
}

// halved splits a bezier in the middle of its range (de Casteljau).
func halved(poles []pole) (left, right []pole) {
	n := len(poles)
	row := append([]pole(nil), poles...)
	left, right = make([]pole, n), make([]pole, n)
	for k := range n {
		left[k], right[n-1-k] = row[0], row[n-1-k]
		for i := range n - 1 - k {
			row[i] = blended(row[i], row[i+1], 0.5)
		}
	}
	return left, right
}

// blended is the point at t between two weighted points: (1-t) of a and t of b.
func blended(a, b pole, t float64) pole {
	wa, wb := float64((1-t)*a.weight), float64(t*b.weight)
	w := wa + wb
	return pole{a.at.Add(scaled(b.at.Sub(a.at), wb/w)), w}
}
