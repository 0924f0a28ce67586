package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/golang/geo/r2"

	"seamwright/layout/words"
	"seamwright/render/annotate"
	"seamwright/render/flow"
	"seamwright/render/paper"
	"seamwright/render/view"
)

// thumb is a small picture of a part or sub-assembly that arrives at the station or leaves it.
type thumb struct {
	id, name string
	leaves   bool
	mass     float64 // kg; 0 where it is not known
	portrait
}

// Measures of a small picture in mm.
const (
	thumbsAcross = 3
	thumbWide    = 28.0
	thumbHigh    = 23.0
	thumbPixel   = 0.15
	thumbWords   = 3*1.64*paper.AtJig + 2
	thumbAir     = 3.0
)

// portraits draws what arrives and what leaves, all seen from one side, so that the eye can compare them.
func (j *job) portraits() error {
	for _, id := range j.station.Arrives {
		if err := j.portrait(id, false); err != nil {
			return err
		}
	}
	var err error
	if j.whole, err = j.gallery.of(j, j.set.Panels); err != nil {
		return fmt.Errorf("picture of what is made: %w", err)
	}
	if j.station.Makes == "" {
		return nil
	}
	return j.portrait(j.station.Makes, true)
}

// portrait adds the picture of one part; a part none of whose panels is present is left out.
func (j *job) portrait(id string, leaves bool) error {
	ids := j.plan.PanelsOf(id)
	var panels []view.Panel
	t := &thumb{id: id, name: j.partName(id), leaves: leaves}
	for _, p := range j.set.Panels {
		if slices.Contains(ids, p.ID) {
			panels = append(panels, p)
			t.mass += j.index.Panel(p.ID).Mass
		}
	}
	if leaves && len(panels) == 0 { // its name is of this station only
		panels = j.set.Panels
		t.mass = 0
	}
	if len(panels) == 0 {
		return nil
	}
	var err error
	if t.portrait, err = j.gallery.of(j, panels); err != nil {
		return fmt.Errorf("picture of %s: %w", id, err)
	}
	j.thumbs = append(j.thumbs, t)
	return nil
}

// gallery is the pictures of what moves between stations: what one makes arrives at another; and what is known of panels by themselves. It
// may be used from many goroutines.
type gallery struct {
	mu    sync.Mutex
	drawn map[string]func() (portrait, error) // by the panels

	stamps *view.Stamps // of panels that are drawn at several stations; nil: none
}

// portrait is a small picture of some panels, to be looked at only.
type portrait struct {
	scale   float64 // mm of the part for one on paper
	extent  r2.Rect
	picture *view.Picture
}

func (g *gallery) of(j *job, panels []view.Panel) (portrait, error) {
	var ids []string
	for _, p := range panels {
		ids = append(ids, p.ID)
	}
	key := strings.Join(ids, "\x00")
	g.mu.Lock()
	draw, known := g.drawn[key]
	if !known {
		if g.drawn == nil {
			g.drawn = map[string]func() (portrait, error){}
		}
		draw = sync.OnceValues(func() (portrait, error) { return j.portraitOf(panels) })
		g.drawn[key] = draw
	}
	g.mu.Unlock()
	return draw()
}

func (j *job) portraitOf(panels []view.Panel) (p portrait, err error) {
	d := view.From(portraitFrom)
	p.extent = d.Extent(panels)
	p.scale = math.Max(1e-3, math.Max(p.extent.X.Length()/thumbWide, p.extent.Y.Length()/thumbHigh))
	p.picture, err = j.pictures.Draw(j.ctx, panels, d, view.Options{Pixel: shared(thumbPixel * p.scale), Window: &p.extent, Blind: true,
		Stamps: j.gallery.stamps})
	return p, err
}

// shared is the next smaller of few sizes of pixels, so that pictures of nearly one scale have one grid.
func shared(size float64) float64 {
	const steps = 4 // from one to its double
	return math.Exp2(math.Floor(steps*math.Log2(size)) / steps)
}

// partName is the name of a panel or sub-assembly.
func (j *job) partName(id string) string {
	if s, ok := j.index.Subassembly(id); ok {
		return s.Name
	}
	return j.index.Panel(id).Name
}

// thumbsTable shows what arrives and what leaves.
func (j *job) thumbsTable() *flow.Table {
	t := &flow.Table{Title: "What arrives and what leaves", Columns: flow.Columns([]string{""}, []float64{1}), Letters: paper.AtJig}
	t.Note = "Seen from the front, left and above; at the right where it goes, black."
	t.Whole, t.High = true, thumbHigh+thumbWords+thumbAir
	for i := 0; i < len(j.thumbs); i += thumbsAcross {
		t.Rows = append(t.Rows, []string{""})
	}
	t.Paint = func(pen flow.Pen, row int, box paper.Box) {
		wide := (box.Width() - (thumbsAcross-1)*thumbAir) / thumbsAcross
		for i := row * thumbsAcross; i < min(len(j.thumbs), (row+1)*thumbsAcross); i++ {
			x := box.X0 + float64(i%thumbsAcross)*(wide+thumbAir)
			j.drawThumb(pen, i, paper.Box{X0: x, Y0: box.Y0 + 0.5, X1: x + wide, Y1: box.Y1 - thumbAir + 0.5})
		}
	}
	return t
}

// onto sets points of a portrait onto paper, so that another portrait's extent, seen from the same side, fills a box about c.
func (p portrait) onto(c paper.Point) func([]r2.Point) []paper.Point {
	middle := p.extent.Center()
	return func(points []r2.Point) []paper.Point {
		out := make([]paper.Point, len(points))
		for k, q := range points {
			out[k] = paper.Point{X: c.X + (q.X-middle.X)/p.scale, Y: c.Y - (q.Y-middle.Y)/p.scale}
		}
		return out
	}
}

// drawThumb draws one picture, at its right where the part goes, and its words below. What leaves has the stronger frame.
func (j *job) drawThumb(pen flow.Pen, i int, box paper.Box) {
	t := j.thumbs[i]
	frame := pen.Thin
	if t.leaves {
		frame = pen.Strong
	}
	frame.Rect(box)
	name := fmt.Sprintf("picture %d", i+1)
	left := paper.Point{X: box.X0 + 1 + thumbWide/2, Y: box.Y0 + 0.8 + thumbHigh/2}
	annotate.DrawTints(pen.Page, name, t.picture, t.onto(left))
	widths := map[view.LineKind]float64{view.Outline: paper.W25, view.Edge: paper.W18, view.Crease: paper.W13}
	annotate.DrawLines(pen.Page, name, t.picture, widths, t.onto(left))
	if !t.leaves {
		j.drawPlace(pen.Page, fmt.Sprintf("place %d", i+1), t, paper.Point{X: box.X1 - 1 - thumbWide/2, Y: left.Y})
	}
	way := "arrives"
	if t.leaves {
		way = "leaves"
	}
	if t.mass > 0 {
		way += ", " + words.Mass(t.mass)
	}
	lines := []string{way, t.id}
	if t.name != t.id {
		lines = append(lines, t.name)
	}
	for k, text := range lines {
		pen.Words.Text(paper.Point{X: box.X0 + 1, Y: box.Y0 + thumbHigh + float64(k+1)*flow.Pitch(paper.AtJig)}, paper.AtJig, paper.Start,
			paper.Fit(text, paper.AtJig, box.Width()-2))
	}
}

// drawPlace draws what is made here in thin lines, with the part in black where it goes, be it in sight there or not.
func (j *job) drawPlace(p *paper.Page, name string, t *thumb, c paper.Point) {
	onto := j.whole.onto(c)
	black := p.Layer(name+" part", paper.Style{Fill: paper.Black})
	for _, r := range t.picture.Regions {
		var loops [][]paper.Point
		for _, loop := range r.Loops {
			loops = append(loops, onto(loop))
		}
		black.Region(loops)
	}
	lines := p.Layer(name+" lines", paper.Style{Stroke: paper.Black, Width: paper.W13})
	for _, l := range j.whole.picture.Lines {
		if l.Kind != view.Crease {
			lines.Polyline(onto(l.Points))
		}
	}
}
