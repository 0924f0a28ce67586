package flange

import (
	"context"
	"errors"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/drawing"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
	"seamwright/geometry/outline"
	"seamwright/geometry/space"
)

// ErrNoStrip is returned for an outline that is no strip: too small, or as broad as it is long.
var ErrNoStrip = errors.New("the outline is not a strip that a weld line can run along")

// FromOutline finds the weld line of a flat strip drawn as closed loops: its border first, then its holes.
// Points are in millimetres; the result has no sheets.
func FromOutline(loops [][]r3.Vector, opt Options) ([]Flange, error) {
	opt = opt.withDefaults()
	f := &finder{opt: opt, cosLimit: cosDegrees(opt.AngleLimit), cosClamp: cosDegrees(opt.ClampAngle), neighbours: [][]int{nil},
		room: &room{}}
	m, err := outline.Fill(loops)
	if err != nil {
		return nil, fmt.Errorf("flange from outline: %w", err)
	}
	f.panels = []*panel{newPanel(Sheet{Mesh: m}, f.opt)}
	p := &patch{points: m.Vertices, tris: slices.Clone(m.Triangles)}
	for range m.Vertices {
		p.normals = append(p.normals, f.panels[0].normals[0])
	}
	if err := p.cutFine(context.Background(), func(a, b r3.Vector) bool { return true }); err != nil {
		return nil, fmt.Errorf("flange from outline: %w", err)
	}
	r := (&region{mesh: &mesh.Mesh{Vertices: p.points, Triangles: p.tris}, normals: p.normals, borders: make([]border, len(p.points))})
	r.filled = make([]bool, len(p.tris))
	r.topo = r.mesh.Topology()
	out := f.strips(r)
	if len(out) == 0 {
		return nil, ErrNoStrip
	}
	for i := range out {
		out[i].Sheets = nil
		out[i].ID = fmt.Sprintf("f%d", i+1)
	}
	return out, nil
}

// Drawn is a flange that a drawing shows, and where.
type Drawn struct {
	Flange
	Layer string
}

// Drawing is how FromDrawing takes what is drawn.
type Drawing struct {
	Width float64     // of the strip about an open line, mm; 0: an open line is a fault
	Place space.Place // of the drawing
	Host  *mesh.Mesh  // that open lines lie on, in its place; nil: they stay where they are (see FromLine)
}

// FromDrawing finds the weld lines of what is drawn: a closed path, with the closed paths within it as its holes, is a
// strip; one within the other with a strip between them is a ring. What is within a hole, or within an outline that is
// too broad for a strip, is looked at for itself. An open path is itself a weld line. The notes say what was joined and
// parted (see outline.Outlines), the faults what is drawn but gives no weld line; each names its layer.
func FromDrawing(paths []drawing.Path, how Drawing, opt Options) (found []Drawn, notes, faults []string) {
	paths, notes = outline.Outlines(paths)
	d := drawn{opt: opt, how: how, notes: notes}
	nested := outline.Nest(paths)
	for i := range paths {
		switch {
		case !paths[i].Closed:
			d.line(&paths[i])
		case len(nested) > 0 && nested[0].Index == i:
			d.strip(nested[0])
			nested = nested[1:]
		}
	}
	for i := range d.found {
		d.found[i].ID = fmt.Sprintf("f%d", i+1)
	}
	return d.found, d.notes, d.faults
}

// drawn gathers what a drawing shows.
type drawn struct {
	opt           Options
	how           Drawing
	found         []Drawn
	notes, faults []string
}

func (d *drawn) fault(p *drawing.Path, why string) {
	d.faults = append(d.faults, fmt.Sprintf("layer %s: %s of %.1f mm: %s", p.Layer, p.Kind, p.Length, why))
}

func (d *drawn) placed(points []r3.Vector) []r3.Vector {
	out := make([]r3.Vector, len(points))
	for i, v := range points {
		out[i] = d.how.Place.Apply(v)
	}
	return out
}

// line takes an open path as a weld line.
func (d *drawn) line(p *drawing.Path) {
	if d.how.Width == 0 {
		from, to := pointText(p.Points[0]), pointText(p.Points[len(p.Points)-1])
		d.fault(p, fmt.Sprintf("an open line from %s to %s needs a width (--width)", from, to))
		return
	}
	f, err := FromLine(d.placed(p.Points), false, d.how.Width, d.how.Host, d.opt)
	if err != nil {
		d.fault(p, err.Error())
		return
	}
	d.found = append(d.found, Drawn{f, p.Layer})
}

// strip takes a closed path with its holes as a strip, then what lies within the holes; or what lies within the path, one
// by one, where it is no strip.
func (d *drawn) strip(n *outline.Nested) {
	if n.Kind == "CIRCLE" && len(n.Within) == 0 {
		d.fault(&n.Path, fmt.Sprintf("a circle about %s by itself is a hole and no strip", pointText(middle(n.Points))))
		return
	}
	loops := [][]r3.Vector{d.placed(n.Points)}
	for _, hole := range n.Within {
		loops = append(loops, d.placed(hole.Points))
	}
	flanges, err := FromOutline(loops, d.opt)
	within := n.Within
	switch broad := slices.ContainsFunc(flanges, func(f Flange) bool { return f.Patch }); {
	case err != nil:
		d.fault(&n.Path, err.Error())
	case broad && len(n.Within) > 0:
		d.notes = append(d.notes, fmt.Sprintf("layer %s: %s of %.1f mm is too broad for a strip: each line within it is taken for itself",
			n.Layer, n.Kind, n.Length))
	default:
		within = nil
		for _, hole := range n.Within {
			within = append(within, hole.Within...)
		}
		for _, f := range flanges {
			d.found = append(d.found, Drawn{f, n.Layer})
		}
	}
	for _, inner := range within {
		d.strip(inner)
	}
}

func middle(points []r3.Vector) r3.Vector {
	var sum r3.Vector
	for _, p := range points {
		sum = sum.Add(p)
	}
	return sum.Mul(1 / float64(len(points)))
}

func pointText(v r3.Vector) string { return fmt.Sprintf("(%.3f, %.3f, %.3f)", v.X, v.Y, v.Z) }

// FromLine makes a flange of a drawn weld line of a stated width. The axis is the normal of the line's mean
// plane when host is nil, and the host's own normal where the line passes otherwise; the line then also
// moves onto the host.
func FromLine(points []r3.Vector, closed bool, width float64, host *mesh.Mesh, opt Options) (Flange, error) {
	opt = opt.withDefaults()
	line := curve.New(points, closed)
	if len(points) < 2 || line.Length() < opt.LeastLength {
		return Flange{}, fmt.Errorf("weld line of %d points is %.1f mm long: at least %g mm are needed", len(points), line.Length(),
			opt.LeastLength)
	}
	if width < opt.LeastWidth {
		return Flange{}, fmt.Errorf("weld line: a width of %g mm is below %g mm", width, opt.LeastWidth)
	}
	normal := meanNormal(points)
	var tree *near.Tree
	if host != nil {
		tree = near.New(host)
	}
	fl := Flange{ID: "f1", Closed: closed, Length: line.Length(), Area: width * line.Length()}
	n := max(2, int(math.Ceil(line.Length()/opt.Step)))
	for i := range n + 1 {
		if closed && i == n {
			break
		}
		s := line.Length() * float64(i) / float64(n)
		st := LinePoint{S: s, Point: line.At(s), Left: width / 2, Right: width / 2, LeftSheet: -1, RightSheet: -1, LeftEdge: FreeEdge,
			RightEdge: FreeEdge}
		axis := normal
		if tree != nil {
			if hit, ok := tree.Closest(st.Point, math.Inf(1)); ok {
				st.Point = hit.Point
				if axis = host.Normal(int(hit.Tri)); axis.Dot(normal) < 0 {
					axis = axis.Mul(-1)
				}
			}
		}
		along := line.At(s + opt.Step/2).Sub(line.At(s - opt.Step/2))
		st.Along = along.Sub(axis.Mul(along.Dot(axis))).Normalize()
		st.Axis, st.Across = axis, axis.Cross(st.Along)
		fl.Line = append(fl.Line, st)
	}
	fl.measure(opt.GapLimit, nil)
	fl.Outline = [][]r3.Vector{band(fl.Line, closed)}
	return fl, nil
}

// band is the outline of a line's width: down its left side and back up its right.
func band(line []LinePoint, closed bool) []r3.Vector {
	var out []r3.Vector
	for _, s := range line {
		out = append(out, s.Point.Add(s.Across.Mul(s.Left)))
	}
	if closed {
		return out
	}
	for i := len(line) - 1; i >= 0; i-- {
		out = append(out, line[i].Point.Sub(line[i].Across.Mul(line[i].Right)))
	}
	return out
}

// meanNormal is the normal of the plane that encloses the most of the line's sweep about its first point;
// for a straight line any normal will do, and one nearest to z is taken.
func meanNormal(points []r3.Vector) r3.Vector {
	sum := r3.Vector{}
	for i := 1; i+1 < len(points); i++ {
		n := points[i].Sub(points[0]).Cross(points[i+1].Sub(points[0]))
		if n.Dot(sum) < 0 {
			n = n.Mul(-1)
		}
		sum = sum.Add(n)
	}
	length := points[len(points)-1].Sub(points[0]).Norm()
	if sum.Norm() > 1e-9*(1+length*length) {
		return upward(sum.Normalize())
	}
	along := points[len(points)-1].Sub(points[0]).Normalize()
	z := r3.Vector{Z: 1}
	if math.Abs(along.Z) > 0.9 {
		z = r3.Vector{X: 1}
	}
	return z.Sub(along.Mul(z.Dot(along))).Normalize()
}

func upward(n r3.Vector) r3.Vector {
	if n.Z < 0 || n.Z == 0 && (n.Y < 0 || n.Y == 0 && n.X < 0) {
		return n.Mul(-1)
	}
	return n
}
