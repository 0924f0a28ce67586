package flange

import (
	"errors"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/contact"
	"seamwright/geometry/drawing"
	"seamwright/geometry/mesh"
	"seamwright/geometry/outline"
	"seamwright/geometry/space"
	"seamwright/geometry/stackup"
)

// ErrNoStrip is returned for an outline that is no strip: too small, or as broad as it is long.
var ErrNoStrip = errors.New("the outline is not a strip that a weld line can run along")

// FromOutline finds the weld line of a flat strip drawn as closed loops: its border first, then its holes.
// Points are in millimetres; the result has no sheets.
func FromOutline(loops [][]r3.Vector, opt Options) ([]Flange, error) {
	opt = opt.withDefaults()
	m, err := outline.Fill(loops)
	if err != nil {
		return nil, fmt.Errorf("flange from outline: %w", err)
	}
	h := new(contact.Workspace).Host(stackup.Alone(Sheet{Mesh: m}, opt.limits()), 0)
	lap, err := contact.Drawn(h)
	if err != nil {
		return nil, fmt.Errorf("flange from outline: %w", err)
	}
	on := onHost{Host: h, opt: opt}
	out := on.strips(lap)
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
