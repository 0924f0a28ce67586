package sheet

import (
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/annotate"
	"seamwright/render/figure"
	"seamwright/render/flow"
	"seamwright/render/paper"
	"seamwright/render/sign"
)

// page is one sheet being drawn.
type page struct {
	job      *job
	set      *arrangement
	zones    zones
	paper    *paper.Page
	figures  []*figure.Figure
	captions []string
	drawn    annotate.Drawn // in its figures
	office   bool           // the engineer's page
	listed   bool           // the legend lists them
	pen      flow.Pen
}

// newPage starts a sheet: frame, views and their labels.
func (j *job) newPage(set *arrangement, z zones, figures []*figure.Figure) *page {
	p := &page{job: j, set: set, zones: z, figures: figures, paper: paper.New(set.size, "")}
	drawFrame(p.paper, set.size)
	used := sign.Used{}
	for _, f := range figures {
		p.captions = append(p.captions, f.Caption())
		p.drawn.Add(annotate.Draw(p.paper, j.set, f, used))
	}
	p.pen = flow.NewPen(p.paper)
	used[sign.Panels] = len(z.tables) == 0 && len(p.drawn.Named) > 0 // no table can name them on this sheet
	if len(figures) > 0 {
		var unplaced int
		p.listed, unplaced = p.legend().Draw(p.pen, z.legend, used)
		p.drawn.Labels.Unplaced += unplaced
	}
	return p
}

// legend is what the legend says of this sheet.
func (p *page) legend() sign.Legend {
	set, panels := p.job.set, []string(nil)
	for _, id := range p.job.station.Present {
		if slices.Contains(p.drawn.Named, id) {
			panels = append(panels, set.Numbered(id))
		}
	}
	width := func(r layout.Seam) bool { return words.SeamWidth(set.Index, r) != "" }
	return sign.Legend{Guns: set.Guns(), Panels: strings.Join(panels, ", "), SeamWidth: slices.ContainsFunc(set.Here.Seams, width)}
}

// fill flows tables into the sheet's columns and returns what is left over, begun ones included.
func (p *page) fill(tables []*flow.Table) []*flow.Table {
	return p.set.fill(p.pen, tables, p.zones.tables, len(p.figures) > 0)
}

// finish adds what needs the number of sheets.
func (p *page) finish(number, of int) {
	j := p.job
	p.paper.Title = title(j.plan.Shell, j.station)
	p.paper.Desc = strings.Join(p.captions, "; ")
	scale := "–"
	if len(p.figures) > 0 {
		scale = p.figures[0].Scale.String() // others stand in their captions
	}
	p.paper.CheckBar(paper.Point{X: p.zones.title.X0 + 4, Y: p.zones.title.Y1 - titleHeight - 3}, false)
	p.drawAside()
	p.drawTitle(number, of, scale)
}
