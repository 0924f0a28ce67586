package sheet

import (
	"strings"

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
	fresh    bool // the current table column is empty

	words, rules, thinRules, strongRules *paper.Layer
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
	p.words = p.paper.Layer("words", paper.Style{Fill: paper.Black})
	p.rules = p.paper.Layer("rules", paper.Style{Stroke: paper.Black, Width: paper.W25})
	p.thinRules = p.paper.Layer("thin-rules", paper.Style{Stroke: paper.Black, Width: paper.W13})
	p.strongRules = p.paper.Layer("strong-rules", paper.Style{Stroke: paper.Black, Width: paper.W50})
	if len(figures) > 0 {
		p.drawLegend(used)
	}
	return p
}

// fill flows blocks into the sheet's table columns and returns what is left over, begun ones included.
func (p *page) fill(blocks []*block) []*block {
	for _, box := range p.zones.tables {
		y := box.Y0
		p.fresh = true
		for len(blocks) > 0 {
			b := blocks[0]
			h := b.draw(p, paper.Box{X0: box.X0, Y0: y, X1: box.X1, Y1: box.Y1})
			if h == 0 {
				break
			}
			p.fresh = false
			if y += h + blockAir; b.rowsLeft() > 0 {
				break
			}
			blocks = blocks[1:]
		}
	}
	return blocks
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
	drawCheckBar(p.paper, paper.Point{X: p.zones.title.X0 + 4, Y: p.zones.title.Y0 + barBand - 3})
	j.drawTitle(p.paper, p.zones, number, of, scale)
}
