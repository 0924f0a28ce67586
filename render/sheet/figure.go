package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r2"
	"github.com/golang/geo/r3"

	"seamwright/render/paper"
	"seamwright/render/sight"
	"seamwright/render/view"
)

// figure is one view on a sheet.
type figure struct {
	letter  string
	dir     view.Direction
	whole   r2.Rect     // what the view shows at best, mm of the view
	cut     bool        // whole leaves some of the panels out
	tight   r2.Rect     // what it must show
	limit   paper.Point // the largest view on a sheet, mm
	window  r2.Rect     // what it shows, once settled
	part    bool        // the window leaves some of the panels out
	scale   scale
	own     scale     // its scale, where it is not that of the other views
	base    scale     // own before the sheet's room was known: of a detail, or a view of where to measure; 0 for a view
	parent  *figure   // the view that a detail enlarges
	gauge   bool      // it shows where to measure, and no welds
	members []int     // welds of a detail
	cell    paper.Box // where it and its labels may be
	shift   paper.Point
	picture *view.Picture
}

// Room in mm on paper about a view, for its labels, and below it for its caption and scale bar.
const (
	labelRoom   = 15.0
	captionRoom = 12.0
	axesRoom    = 34.0 // beside the caption
)

// partBelow is the share of the panels' width or height from which on a view shows only the part with welds.
const partBelow = 0.6

// newFigure decides what a view shows: everything, or the neighbourhood of the station's welds where that is
// much less. own are the places that only this view has to show; they do at a scale at which the rest would
// not fit onto a sheet.
func (j *job) newFigure(d view.Direction, letter string, all, own []r3.Vector) *figure {
	extent := d.Extent(j.panels)
	f := &figure{letter: letter, dir: d, whole: extent}
	if len(all) == 0 {
		f.tight = extent
		return f
	}
	near := around(d, all, extent)
	if near.X.Length() < partBelow*extent.X.Length() || near.Y.Length() < partBelow*extent.Y.Length() {
		f.whole, f.cut = near, true
	}
	f.tight = f.whole
	if len(own) > 0 {
		f.tight = around(d, own, f.whole)
	}
	return f
}

// around is the part of a view that shows some places and their neighbourhood.
func around(d view.Direction, places []r3.Vector, within r2.Rect) r2.Rect {
	box := r2.EmptyRect()
	for _, p := range places {
		at, _ := d.Project(p)
		box = box.AddPoint(at)
	}
	room := math.Max(80, 0.15*math.Max(box.X.Length(), box.Y.Length()))
	return box.ExpandedByMargin(room).Intersection(within)
}

// windowAt is what the view shows at a scale, and whether that is only a part of the panels.
func (f *figure) windowAt(s scale) (window r2.Rect, part bool) {
	if f.parent != nil || f.gauge {
		return f.whole, false
	}
	k := float64(s)
	if f.whole.X.Length()/k+2*labelRoom <= f.limit.X && f.whole.Y.Length()/k+2*labelRoom+captionRoom <= f.limit.Y {
		return f.whole, f.cut
	}
	return f.tight, f.cut || f.tight != f.whole
}

// marks are the places of clamps, dowels and hold points.
func (j *job) marks() []r3.Vector {
	var out []r3.Vector
	for _, c := range j.station.Clamps {
		out = append(out, c.At.R3())
	}
	for _, c := range j.station.Dowels {
		out = append(out, c.At.R3())
	}
	for _, h := range j.station.HoldPoints {
		out = append(out, h.At.R3(), h.To.R3())
	}
	return out
}

// size is what the view takes on paper at a scale, room for labels and caption included.
func (f *figure) size(s scale) (w, h float64) {
	if f.own > 0 {
		s = f.own
	}
	caption := paper.Width(f.captionAt(s), titleText) + axesRoom
	if f.parent != nil {
		caption -= axesRoom - 5 // a detail has its view's axes
	}
	window, _ := f.windowAt(s)
	return math.Max(caption, window.X.Length()/float64(s)+2*labelRoom), window.Y.Length()/float64(s) + 2*labelRoom + captionRoom
}

// settle puts the view into a cell.
func (f *figure) settle(cell paper.Box, s scale) {
	if f.own > 0 {
		s = f.own
	}
	f.cell, f.scale = cell, s
	f.window, f.part = f.windowAt(s)
	c := f.window.Center()
	f.shift = paper.Point{X: (cell.X0+cell.X1)/2 - c.X/float64(s), Y: (cell.Y0+cell.Y1-captionRoom)/2 + c.Y/float64(s)}
}

// flat gives the place on paper of a point in the view.
func (f *figure) flat(p r2.Point) paper.Point {
	return paper.Point{X: f.shift.X + p.X/float64(f.scale), Y: f.shift.Y - p.Y/float64(f.scale)}
}

// on gives the place on paper of a point of the shell.
func (f *figure) on(p r3.Vector) paper.Point {
	at, _ := f.dir.Project(p)
	return f.flat(at)
}

// shows reports whether a point of the shell lies within the window.
func (f *figure) shows(p r3.Vector) bool {
	at, _ := f.dir.Project(p)
	return f.window.ContainsPoint(at)
}

// caption names the view.
func (f *figure) caption() string { return f.captionAt(f.scale) }

func (f *figure) captionAt(s scale) string {
	part := ""
	if f.parent != nil {
		return fmt.Sprintf("Detail %s of view %s, %s", f.letter, f.parent.letter, s)
	}
	if f.gauge {
		part = ", where to measure"
	}
	if _, cut := f.windowAt(s); cut {
		part = ", part"
	}
	return fmt.Sprintf("View %s, %s (%s)%s, %s", f.letter, f.dir.Words, strings.TrimPrefix(f.dir.Name, "from "), part, s)
}

// drawPictures finds the visible lines of every view at print resolution, and moves welds that a view does
// not show after all to one that does.
func (j *job) drawPictures(set *arrangement) error {
	for _, f := range append(slices.Clone(j.figures), j.details...) {
		f.picture = nil
	}
	for _, f := range slices.Concat(set.pages...) {
		p, err := j.pictures.Draw(j.ctx, j.panels, f.dir, view.Options{Pixel: pixel * float64(f.scale), Window: &f.window,
			Stamps: j.gallery.stamps})
		if err != nil {
			return err
		}
		f.picture = p
	}
	targets := j.targets()
	for w := range j.welds {
		t := targets[w]
		best, most := -1, math.Cos(sight.AxisLimit*math.Pi/180)-1e-9
		for i, f := range j.figures {
			if c := math.Abs(t.Axis.Dot(f.dir.Look)); c > most && !f.gauge && f.picture.Sees(t) {
				best, most = i, c
			}
		}
		if j.seen[w] = best >= 0; best >= 0 {
			j.home[w] = best
		}
	}
	j.assign(func(d *figure) bool { return d.picture != nil })
	return nil
}

// assign tells each weld the figure that numbers it: its view, or a detail of that view that is drawn.
func (j *job) assign(drawn func(d *figure) bool) {
	j.shown = make([]*figure, len(j.welds))
	for w := range j.welds {
		j.shown[w] = j.figures[j.home[w]]
	}
	for _, d := range j.details {
		for _, w := range d.members {
			if drawn(d) && j.shown[w] == d.parent {
				j.shown[w] = d
			}
		}
	}
}

// pixel is the print resolution in mm at which hidden lines are found.
const pixel = 0.2
