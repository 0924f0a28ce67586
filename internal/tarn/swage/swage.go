// Package swage presses beads into the surface of a panel: lines in the panel's own flat coordinates, in mm, along which its
// height rises or falls by a smooth flank, and the polygons with rounded corners that some of them follow. It knows neither panels
// nor meshes.
//
//	all := []swage.Swage{swage.Straight(0, 0, 300, 0, 12, 25, 6), swage.Arc(150, 200, 90, 0, 180, 12, 25, -5)}
//	height := swage.Pressed(all, 150, 20) // of the panel at a place, beyond what it has without beads
//	through := swage.Contours(all, 10)    // places that its mesh should pass, so that the beads' edges are edges of it
package swage

import (
	"math"

	"github.com/golang/geo/r2"
)

// Swage is a bead pressed into a body along a path in the body's own coordinates: full height up to crest mm
// from the path, none beyond foot mm.
type Swage struct {
	Path        []r2.Point
	closed      bool
	Crest, Foot float64
	Height      float64 // along the body's height direction; negative: pressed the other way
}

// at is the swage's height at a place.
func (w Swage) at(p r2.Point) float64 {
	least := math.Inf(1)
	n := len(w.Path) - 1
	if w.closed {
		n++
	}
	for i := range n {
		least = math.Min(least, toSegment(p, w.Path[i], w.Path[(i+1)%len(w.Path)]))
	}
	return w.Height * Ramp((w.Foot-least)/(w.Foot-w.Crest))
}

func toSegment(p, a, b r2.Point) float64 {
	dx, dy := b.X-a.X, b.Y-a.Y
	t := ((p.X-a.X)*dx + (p.Y-a.Y)*dy) / (dx*dx + dy*dy)
	t = math.Max(0, math.Min(1, t))
	return math.Hypot(p.X-a.X-t*dx, p.Y-a.Y-t*dy)
}

// contours are Contours of one swage.
func (w Swage) contours(step float64) []r2.Point {
	var out []r2.Point
	for _, d := range []float64{w.Crest, w.Foot} {
		out = append(out, w.contour(d, step)...)
	}
	return out
}

// contour walks round the path at a distance: along both sides, and round the ends of an open one. Points that come
// nearer to another part of the path are left out.
func (w Swage) contour(d, step float64) []r2.Point {
	var out []r2.Point
	add := func(p r2.Point) {
		alone := Swage{Path: w.Path, closed: w.closed, Crest: d - 2e-3, Foot: d - 1e-3, Height: 1}
		if alone.at(p) == 0 {
			out = append(out, p)
		}
	}
	n := len(w.Path)
	sides := n - 1
	if w.closed {
		sides = n
	}
	for _, side := range []float64{1, -1} {
		for i := range sides {
			a, b := w.Path[i], w.Path[(i+1)%n]
			l := math.Hypot(b.X-a.X, b.Y-a.Y)
			nx, ny := -(b.Y-a.Y)/l*d*side, (b.X-a.X)/l*d*side
			count := max(1, int(math.Round(l/step)))
			for k := range count {
				t := (float64(k) + 0.5) / float64(count)
				add(r2.Point{X: a.X + (b.X-a.X)*t + nx, Y: a.Y + (b.Y-a.Y)*t + ny})
			}
		}
	}
	if w.closed {
		return out
	}
	cap := func(at, from r2.Point) {
		start := math.Atan2(at.Y-from.Y, at.X-from.X)
		count := max(3, int(math.Round(math.Pi*d/step)))
		for k := range count + 1 {
			sin, cos := math.Sincos(start + math.Pi*(float64(k)/float64(count)-0.5))
			add(r2.Point{X: at.X + d*cos, Y: at.Y + d*sin})
		}
	}
	cap(w.Path[0], w.Path[1])
	cap(w.Path[n-1], w.Path[n-2])
	return out
}

// Pressed is the height of several swages at a place.
func Pressed(swages []Swage, x, y float64) float64 {
	sum := 0.0
	for _, w := range swages {
		sum += w.at(r2.Point{X: x, Y: y})
	}
	return sum
}

// Contours are points along several swages' crest edges and feet, about step mm from each other, which the body's mesh is made
// to pass.
func Contours(swages []Swage, step float64) []r2.Point {
	var out []r2.Point
	for _, w := range swages {
		out = append(out, w.contours(step)...)
	}
	return out
}

// Straight is a straight swage from one place to another.
func Straight(x0, y0, x1, y1, crest, foot, height float64) Swage {
	return Swage{Path: []r2.Point{{X: x0, Y: y0}, {X: x1, Y: y1}}, Crest: crest, Foot: foot, Height: height}
}

// Arc is a swage along an arc about (x, y), from one angle to another in degrees.
func Arc(x, y, radius, from, to, crest, foot, height float64) Swage {
	w := Swage{Crest: crest, Foot: foot, Height: height}
	n := int(math.Ceil(math.Abs(to-from) / 6))
	for i := range n + 1 {
		sin, cos := math.Sincos((from + (to-from)*float64(i)/float64(n)) * math.Pi / 180)
		w.Path = append(w.Path, r2.Point{X: x + radius*cos, Y: y + radius*sin})
	}
	return w
}

// Frame is a swage round a rounded rectangle about (x, y), of half its sizes and the radius of its corners.
func Frame(x, y, halfX, halfY, radius, crest, foot, height float64) Swage {
	at, length := Rounded(
		[]Corner{
			{x + halfX, y - halfY, radius},
			{x + halfX, y + halfY, radius},
			{x - halfX, y + halfY, radius},
			{x - halfX, y - halfY, radius},
		},
	)
	w := Swage{closed: true, Crest: crest, Foot: foot, Height: height}
	n := int(math.Ceil(length / 12))
	for i := range n {
		px, py := at(length * float64(i) / float64(n))
		w.Path = append(w.Path, r2.Point{X: px, Y: py})
	}
	return w
}

// Ramp goes smoothly from 0 at x <= 0 to 1 at x >= 1.
func Ramp(x float64) float64 {
	x = math.Max(0, math.Min(1, x))
	return x * x * (3 - 2*x)
}
