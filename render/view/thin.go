package view

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// Two sheets of a flange lie a millimetre apart, which is a tenth of that on paper: their edges would be
// printed over each other, line upon line. thin leaves out what lies on a stronger line.

// Distances in pixels (a pixel is 0.2 mm on paper, or what the caller chose).
const (
	inkCell     = 0.75 // side of the cells in which ink is remembered; a line hides others within 1 to 2 cells
	leastHidden = 6.0  // a shorter stretch on another line is a crossing: it stays
	leastShown  = 3.0  // a shorter stretch that remains is dropped
)

// leastLine is the shortest line of each kind that is drawn, in pixels: shorter ones are crumbs of the mesh
// where sheets lie close or are seen edge-on.
var leastLine = [...]float64{Outline: 5, Edge: 5, Crease: 15}

// thin drops stretches of lines that lie on others: on stronger ones, or on longer ones of the same kind.
func thin(lines []Line, pixel float64) []Line {
	type measured struct {
		Line
		length float64
	}
	long := make([]measured, len(lines))
	for i, l := range lines {
		long[i] = measured{l, length(l.Points)}
	}
	slices.SortStableFunc(long, func(a, b measured) int { return cmp.Or(int(a.Kind)-int(b.Kind), cmp.Compare(b.length, a.length)) })
	ink := newInk(lines, inkCell*pixel)
	var out []Line
	for _, l := range long {
		if l.length >= leastLine[l.Kind]*pixel {
			out = append(out, thinOne(l.Line, ink, pixel)...)
		}
	}
	return out
}

func length(points []r2.Point) float64 {
	sum := 0.0
	for i := 1; i < len(points); i++ {
		sum += points[i].Sub(points[i-1]).Norm()
	}
	return sum
}

// thinOne cuts one line where it lies on ink, and then inks it.
func thinOne(l Line, ink *ink, pixel float64) []Line {
	cell := ink.cell
	places, corner := walk(l.Points, cell)
	covered := make([]bool, len(places))
	for i, p := range places {
		covered[i] = ink.near(p)
	}
	evenOut(covered, true, int(leastHidden*pixel/cell))
	evenOut(covered, false, int(leastShown*pixel/cell))
	for _, p := range places {
		ink.put(p)
	}
	var out []Line
	var run []r2.Point
	kept := 0
	flush := func() {
		if len(run) > 1 && (kept > int(leastShown*pixel/cell) || kept == len(places)) {
			out = append(out, Line{l.Kind, run})
		}
		run, kept = nil, 0
	}
	for i, p := range places {
		if covered[i] {
			flush()
			continue
		}
		if kept++; corner[i] || len(run) == 0 || i+1 == len(places) || covered[i+1] {
			run = append(run, p)
		}
	}
	flush()
	return out
}

// evenOut changes stretches of value shorter than least to the other value, unless that is the whole line.
func evenOut(flags []bool, value bool, least int) {
	for i := 0; i < len(flags); {
		j := i
		for j < len(flags) && flags[j] == flags[i] {
			j++
		}
		if flags[i] == value && j-i < least && j-i < len(flags) {
			for k := i; k < j; k++ {
				flags[k] = !value
			}
		}
		i = j
	}
}

// walk gives places along a line no further apart than step, its corners among them.
func walk(points []r2.Point, step float64) (places []r2.Point, corner []bool) {
	for i := 1; i < len(points); i++ {
		a, b := points[i-1], points[i]
		n := max(1, int(math.Ceil(b.Sub(a).Norm()/step)))
		for k := range n {
			places = append(places, a.Add(b.Sub(a).Mul(float64(k)/float64(n))))
			corner = append(corner, k == 0)
		}
	}
	return append(places, points[len(points)-1]), append(corner, true)
}

// ink remembers the cells that lines were drawn through, with a border of empty ones about them.
type ink struct {
	cell   float64
	x, y   int // of the first cell
	wide   int
	filled []bool
}

func newInk(lines []Line, cell float64) *ink {
	box := r2.EmptyRect()
	for _, l := range lines {
		for _, p := range l.Points {
			box = box.AddPoint(p)
		}
	}
	k := &ink{cell: cell}
	if box.IsEmpty() {
		return k
	}
	k.x, k.y = int(math.Floor(box.X.Lo/cell))-2, int(math.Floor(box.Y.Lo/cell))-2
	k.wide = int(math.Floor(box.X.Hi/cell)) + 3 - k.x
	k.filled = make([]bool, k.wide*(int(math.Floor(box.Y.Hi/cell))+3-k.y))
	return k
}

func (k *ink) at(p r2.Point) int {
	return (int(math.Floor(p.Y/k.cell))-k.y)*k.wide + int(math.Floor(p.X/k.cell)) - k.x
}

func (k *ink) put(p r2.Point) { k.filled[k.at(p)] = true }

// near reports whether there is ink in a place's cell or one beside it.
func (k *ink) near(p r2.Point) bool {
	for row := k.at(p) - k.wide; row <= k.at(p)+k.wide; row += k.wide {
		if k.filled[row-1] || k.filled[row] || k.filled[row+1] {
			return true
		}
	}
	return false
}
