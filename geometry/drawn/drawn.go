// Package drawn finds flanges in what is drawn: closed paths are strips with what lies within them as holes, open ones are weld lines.
//
//	paths
//	   |  outline.Outlines  loose lines chained, shared edges parted, with notes
//	   |  outline.Nest      what lies within what
//	   v
//	a closed path: a strip with holes; too broad: each within it for itself     flange.FromOutline
//	an open path:  a weld line of a stated width                                flange.FromLine
package drawn

import (
	"context"
	"fmt"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/outline"
	"seamwright/geometry/space"
)

// Flange is a flange that a drawing shows, and where.
type Flange struct {
	flange.Flange
	Layer string
}

// Drawing is how Flanges takes what is drawn.
type Drawing struct {
	Width float64     // of the strip about an open line, mm; 0: an open line is a fault
	Place space.Place // of the drawing
	Host  *mesh.Mesh  // that open lines lie on, in its place; nil: they stay where they are (see flange.FromLine)
}

// Flanges finds the weld lines of what is drawn: a closed path, with the closed paths within it as its holes, is a
// strip; one within the other with a strip between them is a ring. What is within a hole, or within an outline that is
// too broad for a strip, is looked at for itself. An open path is itself a weld line. The notes say what was joined and
// parted (see outline.Outlines), the faults what is drawn but gives no weld line; each names its layer. The error is the context's.
func Flanges(ctx context.Context, paths []drawing.Path, how Drawing, opt flange.Options) (found []Flange, notes, faults []string,
	err error) {
	paths, notes = outline.Outlines(paths)
	d := reading{opt: opt, how: how, notes: notes}
	nested := outline.Nest(paths)
	for i := range paths {
		if err := ctx.Err(); err != nil {
			return nil, nil, nil, err
		}
		switch {
		case !paths[i].Closed:
			d.line(&paths[i])
		case len(nested) > 0 && nested[0].Index == i:
			d.strip(ctx, nested[0])
			nested = nested[1:]
		}
	}
	for i := range d.found {
		d.found[i].ID = fmt.Sprintf("f%d", i+1)
	}
	return d.found, d.notes, d.faults, ctx.Err()
}

// reading gathers what a drawing shows.
type reading struct {
	opt           flange.Options
	how           Drawing
	found         []Flange
	notes, faults []string
}

func (d *reading) fault(p *drawing.Path, why string) {
	d.faults = append(d.faults, fmt.Sprintf("layer %s: %s of %.1f mm: %s", p.Layer, p.Kind, p.Length, why))
}

func (d *reading) placed(points []r3.Vector) []r3.Vector {
	out := make([]r3.Vector, len(points))
	for i, v := range points {
		out[i] = d.how.Place.Apply(v)
	}
	return out
}

// line takes an open path as a weld line.
func (d *reading) line(p *drawing.Path) {
	if d.how.Width == 0 {
		from, to := pointText(p.Points[0]), pointText(p.Points[len(p.Points)-1])
		d.fault(p, fmt.Sprintf("an open line from %s to %s needs a width (--width)", from, to))
		return
	}
	f, err := flange.FromLine(d.placed(p.Points), false, d.how.Width, d.how.Host, d.opt)
	if err != nil {
		d.fault(p, err.Error())
		return
	}
	d.found = append(d.found, Flange{f, p.Layer})
}

// strip takes a closed path with its holes as a strip, then what lies within the holes; or what lies within the path, one
// by one, where it is no strip.
func (d *reading) strip(ctx context.Context, n *outline.Nested) {
	if n.Kind == "CIRCLE" && len(n.Within) == 0 {
		d.fault(&n.Path, fmt.Sprintf("a circle about %s by itself is a hole and no strip", pointText(middle(n.Points))))
		return
	}
	loops := [][]r3.Vector{d.placed(outline.Thinned(n.Points))}
	for _, hole := range n.Within {
		loops = append(loops, d.placed(outline.Thinned(hole.Points)))
	}
	flanges, err := flange.FromOutline(ctx, loops, d.opt)
	within := n.Within
	switch broad := slices.ContainsFunc(flanges, func(f flange.Flange) bool { return f.Patch }); {
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
			d.found = append(d.found, Flange{f, n.Layer})
		}
	}
	for _, inner := range within {
		if ctx.Err() != nil {
			return
		}
		d.strip(ctx, inner)
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
