package view

import (
	"math"
	"strings"

	"github.com/golang/geo/r1"
	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Direction is a way to look at the shell.
type Direction struct {
	Name      string    // from where, in the shell's axes: "from +X", "from -X +Y +Z"
	Words     string    // from where, for people at the jig: "from the front", "from the rear, left and above"
	Look      r3.Vector // from the viewer into the scene; unit
	Right, Up r3.Vector // unit; Right = Look x Up
	Principal bool      // along an axis
}

// From makes the direction of a viewer who stands far out along from, which need not be a unit vector. Z is
// up in the picture; for a view along Z, Y is. Words take the shell to stand as one drives it: +X to the
// front, +Y to the left, +Z up.
func From(from r3.Vector) Direction {
	look := from.Normalize().Mul(-1)
	up := r3.Vector{Z: 1}
	if math.Abs(look.Z) > 0.99 {
		up = r3.Vector{Y: 1}
	}
	right := look.Cross(up).Normalize()
	d := Direction{Name: "from" + axes(from), Words: "from " + sides(from), Look: look, Right: right, Up: right.Cross(look)}
	d.Principal = strings.Count(d.Name, " ") == 1
	return d
}

// axes writes a direction in signs and axis letters.
func axes(v r3.Vector) string {
	var b strings.Builder
	for i, c := range [...]float64{v.X, v.Y, v.Z} {
		if c == 0 {
			continue
		}
		sign := "+"
		if c < 0 {
			sign = "-"
		}
		b.WriteString(" " + sign + string("XYZ"[i]))
	}
	return b.String()
}

// sides names the sides of the shell that a direction comes from: "the front", "the front, left and above".
func sides(v r3.Vector) string {
	var names []string
	for i, c := range [...]float64{v.X, v.Y, v.Z} {
		switch {
		case c > 0:
			names = append(names, [...]string{"the front", "the left", "above"}[i])
		case c < 0:
			names = append(names, [...]string{"the rear", "the right", "below"}[i])
		}
	}
	if len(names) > 1 {
		for i := range names[1:] {
			names[i+1] = strings.TrimPrefix(names[i+1], "the ")
		}
		return strings.Join(names[:len(names)-1], ", ") + " and " + names[len(names)-1]
	}
	return strings.Join(names, "")
}

// Candidates are the directions to choose from, in a fixed order: six along the axes, twelve halfway
// between two axes and eight between three.
func Candidates() []Direction {
	var out []Direction
	for count := 1; count <= 3; count++ {
		for x := 1; x >= -1; x-- {
			for y := 1; y >= -1; y-- {
				for z := 1; z >= -1; z-- {
					if x*x+y*y+z*z == count {
						out = append(out, From(r3.Vector{X: float64(x), Y: float64(y), Z: float64(z)}))
					}
				}
			}
		}
	}
	return out
}

// Project gives a point's place in the view and its depth, all in mm.
func (d Direction) Project(p r3.Vector) (at r2.Point, depth float64) {
	return r2.Point{X: p.Dot(d.Right), Y: p.Dot(d.Up)}, p.Dot(d.Look)
}

// Extent is the rectangle that the panels take in the view, in mm; empty when there are no panels.
func (d Direction) Extent(panels []Panel) r2.Rect {
	box := r2.EmptyRect()
	for i := range panels {
		if box.Contains(d.shade(panels[i].shape.Tree().Box()).rect) {
			continue
		}
		mesh := panels[i].shape.Mesh
		for _, c := range panels[i].clusters {
			if box.Contains(d.shade(c.box).rect) {
				continue
			}
			for _, t := range c.triangles {
				for _, v := range mesh.Triangles[t] {
					at, _ := d.Project(mesh.Vertices[v])
					box = box.AddPoint(at)
				}
			}
		}
	}
	return box
}

// shade is what a box may take in a view.
type shade struct {
	rect r2.Rect // mm
	near float64 // no depth within the box is less
}

// rounding is by how much, in mm, a shade is larger than its box, so that no point projected by itself lies beyond it.
const rounding = 1e-6

func (d Direction) shade(b space.Box) shade {
	if b.IsEmpty() {
		return shade{r2.EmptyRect(), math.Inf(1)}
	}
	middle, depth := d.Project(b.Center())
	half := b.Size().Mul(0.5)
	reach := func(axis r3.Vector) float64 { return half.Dot(axis.Abs()) + rounding }
	x, y := reach(d.Right), reach(d.Up)
	return shade{
		r2.Rect{X: r1.Interval{Lo: middle.X - x, Hi: middle.X + x}, Y: r1.Interval{Lo: middle.Y - y, Hi: middle.Y + y}},
		depth - reach(d.Look),
	}
}
