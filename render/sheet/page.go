package sheet

import (
	"slices"
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
		p.fresh = true
		for len(blocks) > 0 {
			h := blocks[0].draw(p, box)
			if h > 0 && blocks[0].rowsLeft() > 0 {
				break // the column is full
			}
			next := 0
			if h == 0 { // a later one that fits as a whole takes the rest of the column
				if next = firstThatFits(blocks, box); next < 0 {
					break
				}
				h = blocks[next].draw(p, box)
			}
			p.fresh = false
			box.Y0 += h + blockAir
			blocks = slices.Delete(slices.Clone(blocks), next, next+1)
		}
	}
	return blocks
}

// firstThatFits finds a block after the first that fits into a box uncut.
func firstThatFits(blocks []*block, box paper.Box) int {
	return slices.IndexFunc(blocks, func(b *block) bool {
		return b != blocks[0] && b.wholeHigh(box.Width()) <= box.Height()
	})
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
	j.drawTitle(p.paper, p.zones, number, of, scale)
}
