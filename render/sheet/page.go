package sheet

import (
	"strings"

	"seamwright/render/flow"
	"seamwright/render/paper"
)

// page is one sheet being drawn.
type page struct {
	job      *job
	set      *arrangement
	zones    zones
	paper    *paper.Page
	figures  []*figure
	captions []string
	labels   Labels
	office   bool       // the engineer's page
	named    []string   // panels that have a balloon here
	listed   bool       // the legend lists them
	lost     [][]string // views and what found no room in them
	pen      flow.Pen
}

// newPage starts a sheet: frame, views and their labels.
func (j *job) newPage(set *arrangement, z zones, figures []*figure) *page {
	p := &page{job: j, set: set, zones: z, figures: figures, paper: paper.New(set.size, "")}
	drawFrame(p.paper, set.size)
	used := symbols{}
	for _, f := range figures {
		p.captions = append(p.captions, f.caption())
		p.drawFigure(f, used)
	}
	p.pen = flow.NewPen(p.paper)
	used[symPanels] = len(z.tables) == 0 && len(p.named) > 0 // no table can name them on this sheet
	if len(figures) > 0 {
		p.drawLegend(used)
		p.listed = used[symPanels]
	}
	return p
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
		scale = p.figures[0].scale.String() // others stand in their captions
	}
	p.paper.CheckBar(paper.Point{X: p.zones.title.X0 + 4, Y: p.zones.title.Y1 - titleHeight - 3}, false)
	p.drawAside()
	p.drawTitle(number, of, scale)
}
