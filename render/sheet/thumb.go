package sheet

import (
	"fmt"
	"math"
	"slices"
	"strings"
	"sync"

	"github.com/golang/geo/r2"

	"seamwright/layout"
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
	thumbsAcross = 5
	thumbWide    = 30.0
	thumbHigh    = 23.0
	thumbPixel   = 0.15
	thumbWords   = 4*linePitch + 1.5
	thumbAir     = 3.0
)

// portraits draws what arrives and what leaves, all seen from one side, so that the eye can compare them.
func (j *job) portraits() error {
	for _, id := range j.station.Arrives {
		if err := j.portrait(id, false); err != nil {
			return err
		}
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
	for _, p := range j.panels {
		if slices.Contains(ids, p.ID) {
			panels = append(panels, p)
			t.mass += j.index.Panel(p.ID).Mass
		}
	}
	if leaves && len(panels) == 0 { // its name is of this station only
		panels = j.panels
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

// gallery is the pictures of what moves between stations: what one makes arrives at another. It may be used from many
// goroutines.
type gallery struct {
	mu    sync.Mutex
	drawn map[string]func() (portrait, error) // by the panels
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
	p.picture, err = j.pictures.Draw(j.ctx, panels, d, view.Options{Pixel: thumbPixel * p.scale, Window: &p.extent, Blind: true})
	return p, err
}

// partName is the name of a panel or sub-assembly.
func (j *job) partName(id string) string {
	if i := slices.IndexFunc(j.plan.Subassemblies, func(s layout.Subassembly) bool { return s.ID == id }); i >= 0 {
		return j.plan.Subassemblies[i].Name
	}
	return j.index.Panel(id).Name
}

// thumbsBlock shows what arrives and what leaves.
func (j *job) thumbsBlock() *block {
	b := &block{title: "What arrives and what leaves", note: "Seen from the front, left and above; each at a scale of its own.",
		share: []float64{1}, whole: true, high: thumbHigh + thumbWords + thumbAir}
	for i := 0; i < len(j.thumbs); i += thumbsAcross {
		b.rows = append(b.rows, []string{""})
	}
	b.paint = func(p *page, row int, box paper.Box) {
		wide := (box.Width() - (thumbsAcross-1)*thumbAir) / thumbsAcross
		for i := row * thumbsAcross; i < min(len(j.thumbs), (row+1)*thumbsAcross); i++ {
			x := box.X0 + float64(i%thumbsAcross)*(wide+thumbAir)
			p.drawThumb(i, paper.Box{X0: x, Y0: box.Y0 + 0.5, X1: x + wide, Y1: box.Y1 - thumbAir + 0.5})
		}
	}
	return b
}

// drawThumb draws one picture with its words below. What leaves has the stronger frame.
func (p *page) drawThumb(i int, box paper.Box) {
	t := p.job.thumbs[i]
	frame := p.thinRules
	if t.leaves {
		frame = p.strongRules
	}
	frame.Rect(box)
	c := t.extent.Center()
	middle := paper.Point{X: box.Center().X, Y: box.Y0 + 0.8 + thumbHigh/2}
	flat := func(points []r2.Point) []paper.Point {
		out := make([]paper.Point, len(points))
		for k, q := range points {
			out[k] = paper.Point{X: middle.X + (q.X-c.X)/t.scale, Y: middle.Y - (q.Y-c.Y)/t.scale}
		}
		return out
	}
	drawTints(p.paper, fmt.Sprintf("picture %d", i+1), t.picture, flat)
	widths := map[view.LineKind]float64{view.Outline: paper.W25, view.Edge: paper.W18, view.Crease: paper.W13}
	drawLines(p.paper, fmt.Sprintf("picture %d", i+1), t.picture, widths, flat)
	way := "arrives"
	if t.leaves {
		way = "leaves"
	}
	if t.mass > 0 {
		way += ", " + number(t.mass, 1) + " kg"
	}
	words := []string{way, t.id}
	if t.name != t.id {
		name := paper.Wrap(t.name, paper.TextHeight, box.Width()-2)
		if len(name) > 2 {
			name = []string{name[0], strings.Join(name[1:], " ")} // shortened below
		}
		words = append(words, name...)
	}
	for k, text := range words {
		p.words.Text(paper.Point{X: box.X0 + 1, Y: box.Y0 + thumbHigh + float64(k+1)*linePitch}, paper.TextHeight, paper.Start,
			paper.Fit(text, paper.TextHeight, box.Width()-2))
	}
}
