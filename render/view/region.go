package view

import (
	"math"
	"slices"

	"github.com/golang/geo/r2"
)

// Region is what is visible of one panel, bounded by loops (inside an odd number of them), in mm of the view.
type Region struct {
	Panel string
	Tint  int // 0, 1, 2 …; differs between panels that touch in the view
	Loops [][]r2.Point
}

// leastLoop is the least area of a loop worth a tint, in pixels.
const leastLoop = 6.0

// regions traces, panel by panel, the borders of what the buffer shows.
func (b *buffer) regions() []Region {
	label, last, panel := make([]int16, len(b.tri)), none, int16(-1)
	for k, id := range b.tri {
		if id != last { // neighbours mostly show the same triangle, or nothing
			if last, panel = id, -1; id != none {
				p, _ := b.owner(id)
				panel = int16(p)
			}
		}
		label[k] = panel
	}
	tints := b.tints(label)
	loops := b.trace(label)
	var out []Region
	for i := range b.panels {
		if len(loops[i]) > 0 {
			out = append(out, Region{b.panels[i].ID, tints[i], loops[i]})
		}
	}
	return out
}

// tints gives each panel the lowest tint that none of its earlier neighbours has.
func (b *buffer) tints(label []int16) []int {
	n := len(b.panels)
	touch := make([]bool, n*n)
	for _, step := range []int{1, b.w} {
		for k, m := range label[step:] {
			if l := label[k]; l != m && l >= 0 && m >= 0 {
				touch[int(l)*n+int(m)], touch[int(m)*n+int(l)] = true, true
			}
		}
	}
	out := make([]int, n)
	for i := range n {
		for j := 0; j < i; j++ {
			if touch[i*n+j] && out[j] == out[i] {
				out[i], j = out[i]+1, -1 // the next one, from the first neighbour on
			}
		}
	}
	return out
}

// step is one side of a pixel on a border: from a grid corner, in one of four directions, with the panel on its left.
type step struct {
	x, y, d int32 // d: 0 right, 1 up, 2 left, 3 down
}

var ahead = [4][2]int32{{1, 0}, {0, 1}, {-1, 0}, {0, -1}}

// trace follows the borders of all panels' pixels and returns simplified loops by panel.
func (b *buffer) trace(label []int16) [][][]r2.Point {
	at := func(x, y int32) int16 {
		if x < 0 || y < 0 || int(x) >= b.w || int(y) >= b.h {
			return -1
		}
		return label[int(y)*b.w+int(x)]
	}
	out := make([][][]r2.Point, len(b.panels))
	done := make([]bool, len(label)) // lower sides of pixels that a loop has passed rightwards
	for y := int32(0); int(y) < b.h; y++ {
		row := label[int(y)*b.w : int(y+1)*b.w]
		for x, l := range row {
			if l < 0 || y > 0 && label[int(y-1)*b.w+x] == l || done[int(y)*b.w+x] {
				continue
			}
			if loop := b.loop(step{int32(x), y, 0}, l, at, done); loop != nil {
				out[l] = append(out[l], loop)
			}
		}
	}
	return out
}

// loop follows one border with label l on the left until it closes.
func (b *buffer) loop(s step, l int16, at func(x, y int32) int16, done []bool) []r2.Point {
	var points []r2.Point
	start := s
	for {
		if s.d == 0 {
			done[int(s.y)*b.w+int(s.x)] = true
		}
		points = append(points, r2.Point{X: b.origin.X + float64(float64(s.x)*b.pixel), Y: b.origin.Y + float64(float64(s.y)*b.pixel)})
		s.x, s.y = s.x+ahead[s.d][0], s.y+ahead[s.d][1]
		for _, turn := range []int32{1, 0, 3} { // left first: pixels that touch at a corner only stay apart
			d := (s.d + turn) % 4
			if in, out := beside(s.x, s.y, d); at(in[0], in[1]) == l && at(out[0], out[1]) != l {
				s.d = d
				break
			}
		}
		if s == start {
			break
		}
	}
	if area(points) < leastLoop*b.pixel*b.pixel {
		return nil
	}
	return b.smoothLoop(points)
}

// beside gives the pixels on the left and right of the step from x, y in direction d.
func beside(x, y, d int32) (left, right [2]int32) {
	switch d {
	case 0:
		return [2]int32{x, y}, [2]int32{x, y - 1}
	case 1:
		return [2]int32{x - 1, y}, [2]int32{x, y}
	case 2:
		return [2]int32{x - 1, y - 1}, [2]int32{x - 1, y}
	}
	return [2]int32{x, y - 1}, [2]int32{x - 1, y - 1}
}

func area(loop []r2.Point) float64 {
	sum := 0.0
	for i, p := range loop {
		q := loop[(i+1)%len(loop)]
		sum += float64(p.X*q.Y) - float64(q.X*p.Y)
	}
	return math.Abs(sum) / 2
}

// smoothLoop takes the stairs out of a loop of pixel sides.
func (b *buffer) smoothLoop(points []r2.Point) []r2.Point {
	half := len(points) / 2
	back := Simplify(append(slices.Clone(points[half:]), points[0]), 0.75*b.pixel)
	out := append(Simplify(points[:half+1], 0.75*b.pixel), back[1:len(back)-1]...)
	if len(out) < 3 {
		return nil
	}
	return out
}
