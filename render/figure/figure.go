package figure

import (
	"context"
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

// Figure is one view on a sheet, or a detail of one.
type Figure struct {
	Letter string
	Dir    view.Direction
	Parent *Figure // the view that a detail enlarges; nil: it is a view
	Gauge  bool    // it shows where to measure, and no welds

	Limit paper.Point // the largest view on a sheet, mm
	Own   Scale       // its scale, where it is not that of the other views

	Window  r2.Rect   // what it shows, once settled, mm of the view
	Scale   Scale     // once settled
	Cell    paper.Box // where it and its labels may be, once settled
	Picture *view.Picture

	whole   r2.Rect // what the view shows at best
	cut     bool    // whole leaves some of the panels out
	tight   r2.Rect // what it must show
	part    bool    // the window leaves some of the panels out
	base    Scale   // own before the sheet's room was known: of a detail, or a view of where to measure; 0 for a view
	members []int   // welds of a detail
	shift   paper.Point
}

// Room in mm on paper about a view, for its labels, and below it for its caption and scale bar.
const (
	LabelRoom   = 15.0
	captionRoom = 12.0
	AxesRoom    = 34.0 // beside the caption
)

// partBelow is the share of the panels' width or height from which on a view shows only the part with welds.
const partBelow = 0.6

// newFigure decides what a view shows: everything, or the neighbourhood of the station's welds where that is
// much less. own are the places that only this view has to show; they do at a scale at which the rest would
// not fit onto a sheet.
func (set *Set) newFigure(d view.Direction, letter string, all, own []r3.Vector) *Figure {
	extent := d.Extent(set.Panels)
	f := &Figure{Letter: letter, Dir: d, whole: extent}
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
func (f *Figure) windowAt(s Scale) (window r2.Rect, part bool) {
	if f.Parent != nil || f.Gauge {
		return f.whole, false
	}
	k := float64(s)
	if f.whole.X.Length()/k+2*LabelRoom <= f.Limit.X && f.whole.Y.Length()/k+2*LabelRoom+captionRoom <= f.Limit.Y {
		return f.whole, f.cut
	}
	return f.tight, f.cut || f.tight != f.whole
}

// Size is what the view takes on paper at a scale, room for labels and caption included.
func (f *Figure) Size(s Scale) (w, h float64) {
	if f.Own > 0 {
		s = f.Own
	}
	caption := paper.Width(f.captionAt(s), paper.AtJig) + AxesRoom
	if f.Parent != nil {
		caption -= AxesRoom - 5 // a detail has its view's axes
	}
	window, _ := f.windowAt(s)
	return math.Max(caption, window.X.Length()/float64(s)+2*LabelRoom), window.Y.Length()/float64(s) + 2*LabelRoom + captionRoom
}

// Settle puts the view into a cell.
func (f *Figure) Settle(cell paper.Box, s Scale) {
	if f.Own > 0 {
		s = f.Own
	}
	f.Cell, f.Scale = cell, s
	f.Window, f.part = f.windowAt(s)
	c := f.Window.Center()
	f.shift = paper.Point{X: (cell.X0+cell.X1)/2 - c.X/float64(s), Y: (cell.Y0+cell.Y1-captionRoom)/2 + c.Y/float64(s)}
}

// Reset forgets a scale that the room of a sheet gave the view.
func (f *Figure) Reset() { f.Own = f.base }

// Bordered reports whether the window needs a border, as it leaves some of the panels out.
func (f *Figure) Bordered() bool { return f.part || f.Parent != nil }

// Flat gives the place on paper of a point in the view.
func (f *Figure) Flat(p r2.Point) paper.Point {
	return paper.Point{X: f.shift.X + p.X/float64(f.Scale), Y: f.shift.Y - p.Y/float64(f.Scale)}
}

func (f *Figure) FlatAll(points []r2.Point) []paper.Point {
	out := make([]paper.Point, len(points))
	for i, p := range points {
		out[i] = f.Flat(p)
	}
	return out
}

// On gives the place on paper of a point of the shell.
func (f *Figure) On(p r3.Vector) paper.Point {
	at, _ := f.Dir.Project(p)
	return f.Flat(at)
}

// Shows reports whether a point of the shell lies within the window.
func (f *Figure) Shows(p r3.Vector) bool {
	at, _ := f.Dir.Project(p)
	return f.Window.ContainsPoint(at)
}

// Caption names the view.
func (f *Figure) Caption() string { return f.captionAt(f.Scale) }

func (f *Figure) captionAt(s Scale) string {
	part := ""
	if f.Parent != nil {
		return fmt.Sprintf("Detail %s of view %s, %s", f.Letter, f.Parent.Letter, s)
	}
	if f.Gauge {
		part = ", where to measure"
	}
	if _, cut := f.windowAt(s); cut {
		part = ", part"
	}
	return fmt.Sprintf("View %s, %s (%s)%s, %s", f.Letter, f.Dir.Words, strings.TrimPrefix(f.Dir.Name, "from "), part, s)
}

// Foot is where the caption ends: below the picture and the room for its labels, within the cell.
func (f *Figure) Foot() float64 {
	return math.Min(f.Cell.Y1, f.Flat(f.Window.Lo()).Y+LabelRoom+captionRoom+2)
}

// pixel is the print resolution in mm at which hidden lines are found.
const pixel = 0.2

// Draw finds the visible lines of settled figures at print resolution, of none other, and moves welds that a view does
// not show after all to one that does. Stamps may be nil.
func (set *Set) Draw(ctx context.Context, figures []*Figure, stamps *view.Stamps) error {
	for _, f := range set.All() {
		f.Picture = nil
	}
	for _, f := range figures {
		p, err := set.pictures.Draw(ctx, set.Panels, f.Dir, view.Options{Pixel: pixel * float64(f.Scale), Window: &f.Window, Stamps: stamps})
		if err != nil {
			return err
		}
		f.Picture = p
	}
	targets := set.Targets()
	for w := range set.Here.Welds {
		t := targets[w]
		best, most := -1, math.Cos(sight.AxisLimit*math.Pi/180)-1e-9
		for i, f := range set.Figures {
			if c := math.Abs(t.Axis.Dot(f.Dir.Look)); c > most && !f.Gauge && f.Picture.Sees(t) {
				best, most = i, c
			}
		}
		if set.seen[w] = best >= 0; best >= 0 {
			set.home[w] = best
		}
	}
	set.Assign(figures)
	return nil
}

// Assign tells each weld the figure that numbers it: its view, or a detail of that view among those that are drawn.
func (set *Set) Assign(drawn []*Figure) {
	set.shown = make([]*Figure, len(set.Here.Welds))
	for w := range set.Here.Welds {
		set.shown[w] = set.Figures[set.home[w]]
	}
	for _, d := range set.Details {
		if !slices.Contains(drawn, d) {
			continue
		}
		for _, w := range d.members {
			if set.shown[w] == d.Parent {
				set.shown[w] = d
			}
		}
	}
}

// letters names views: A to Z, then AA, AB …
func letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letters(i/26-1) + string(rune('A'+i%26))
}
