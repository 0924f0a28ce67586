package tarn

import "math"

// swage is a bead pressed into a body along a path in the body's own coordinates: full height up to crest mm
// from the path, none beyond foot mm.
type swage struct {
	path        []spot2
	closed      bool
	crest, foot float64
	height      float64 // along the body's height direction; negative: pressed the other way
}

// at is the swage's height at a place.
func (w swage) at(p spot2) float64 {
	least := math.Inf(1)
	n := len(w.path) - 1
	if w.closed {
		n++
	}
	for i := range n {
		least = math.Min(least, toSegment(p, w.path[i], w.path[(i+1)%len(w.path)]))
	}
	return w.height * ramp((w.foot-least)/(w.foot-w.crest))
}

func toSegment(p, a, b spot2) float64 {
	dx, dy := b.x-a.x, b.y-a.y
	t := ((p.x-a.x)*dx + (p.y-a.y)*dy) / (dx*dx + dy*dy)
	t = math.Max(0, math.Min(1, t))
	return math.Hypot(p.x-a.x-t*dx, p.y-a.y-t*dy)
}

// contours are points along the swage's crest edge and foot, which the body's mesh is made to pass.
func (w swage) contours(step float64) []spot2 {
	var out []spot2
	for _, d := range []float64{w.crest, w.foot} {
		out = append(out, w.contour(d, step)...)
	}
	return out
}

// contour walks round the path at a distance: along both sides, and round the ends of an open one. Points that come
// nearer to another part of the path are left out.
func (w swage) contour(d, step float64) []spot2 {
	var out []spot2
	add := func(p spot2) {
		alone := swage{path: w.path, closed: w.closed, crest: d - 2e-3, foot: d - 1e-3, height: 1}
		if alone.at(p) == 0 {
			out = append(out, p)
		}
	}
	n := len(w.path)
	sides := n - 1
	if w.closed {
		sides = n
	}
	for _, side := range []float64{1, -1} {
		for i := range sides {
			a, b := w.path[i], w.path[(i+1)%n]
			l := math.Hypot(b.x-a.x, b.y-a.y)
			nx, ny := -(b.y-a.y)/l*d*side, (b.x-a.x)/l*d*side
			count := max(1, int(math.Round(l/step)))
			for k := range count {
				t := (float64(k) + 0.5) / float64(count)
				add(spot2{a.x + (b.x-a.x)*t + nx, a.y + (b.y-a.y)*t + ny})
			}
		}
	}
	if w.closed {
		return out
	}
	cap := func(at, from spot2) {
		start := math.Atan2(at.y-from.y, at.x-from.x)
		count := max(3, int(math.Round(math.Pi*d/step)))
		for k := range count + 1 {
			sin, cos := math.Sincos(start + math.Pi*(float64(k)/float64(count)-0.5))
			add(spot2{at.x + d*cos, at.y + d*sin})
		}
	}
	cap(w.path[0], w.path[1])
	cap(w.path[n-1], w.path[n-2])
	return out
}

// pressed is the height of several swages at a place.
func pressed(swages []swage, x, y float64) float64 {
	sum := 0.0
	for _, w := range swages {
		sum += w.at(spot2{x, y})
	}
	return sum
}

func contours(swages []swage, step float64) []spot2 {
	var out []spot2
	for _, w := range swages {
		out = append(out, w.contours(step)...)
	}
	return out
}

// bead is a straight swage.
func bead(x0, y0, x1, y1, crest, foot, height float64) swage {
	return swage{path: []spot2{{x0, y0}, {x1, y1}}, crest: crest, foot: foot, height: height}
}

// arcBead is a swage along an arc, from one angle to another in degrees.
func arcBead(x, y, radius, from, to, crest, foot, height float64) swage {
	w := swage{crest: crest, foot: foot, height: height}
	n := int(math.Ceil(math.Abs(to-from) / 6))
	for i := range n + 1 {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/float64(n)) * math.Pi / 180)
		w.path = append(w.path, spot2{x + radius*cos, y + radius*sin})
	}
	return w
}

// frameBead is a swage round a rounded rectangle.
func frameBead(x, y, halfX, halfY, radius, crest, foot, height float64) swage {
	at, length := rounded(
		[]corner{
			{x + halfX, y - halfY, radius},
			{x + halfX, y + halfY, radius},
			{x - halfX, y + halfY, radius},
			{x - halfX, y - halfY, radius},
		},
	)
	w := swage{closed: true, crest: crest, foot: foot, height: height}
	n := int(math.Ceil(length / 12))
	for i := range n {
		px, py := at(length * float64(i) / float64(n))
		w.path = append(w.path, spot2{px, py})
	}
	return w
}
