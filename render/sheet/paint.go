package sheet

import (
	"seamwright/render/label"
	"seamwright/render/paper"
)

// paintLabels draws what was placed, and counts what was not.
func (p *page) paintLabels(f *figure, labels []*label.Label) {
	backs := p.paper.Layer("view "+f.letter+" label backs", paper.Style{Fill: paper.White})
	leaders := p.paper.Layer("view "+f.letter+" leaders", paper.Style{Stroke: paper.Black, Width: paper.W18, Fill: paper.Black})
	p.paper.Layer("view "+f.letter+" label lines", paper.Style{Stroke: paper.Black, Width: paper.W25, Fill: paper.White})
	p.paper.Layer("view "+f.letter+" label words", paper.Style{Fill: paper.Black})
	p.paper.Layer("view "+f.letter+" balloon ends", paper.Style{Fill: paper.Black})
	for _, l := range labels {
		switch {
		case l.Done:
			p.labels.Placed++
			backs.Rect(l.Place.Box)
			if l.Place.HasLeader() {
				leaders.Line(l.Place.From, l.Place.To)
				if d := l.Place.To.Sub(l.Place.From); l.Ends && d.Norm() > 2 {
					arrow(leaders, l.Place.To, d.Mul(1/d.Norm()), 1.6)
				}
			}
			l.Paint(l.Place)
		case l.Must:
			p.labels.Unplaced++
			p.lost = append(p.lost, []string{f.letter, l.Says})
		default:
			p.labels.Dropped++
		}
	}
}

func (p *page) labelWords(f *figure) *paper.Layer {
	return p.layer("view " + f.letter + " label words")
}
func (p *page) labelDots(f *figure) *paper.Layer {
	return p.layer("view " + f.letter + " balloon ends")
}
func (p *page) labelLines(f *figure) *paper.Layer {
	return p.layer("view " + f.letter + " label lines")
}

// layer finds the page's latest layer of a name.
func (p *page) layer(name string) *paper.Layer { return p.layerOf(name, paper.Style{}) }

// layerOf finds the page's latest layer of a name, or adds it in a style.
func (p *page) layerOf(name string, style paper.Style) *paper.Layer {
	for i := len(p.paper.Layers) - 1; i >= 0; i-- {
		if p.paper.Layers[i].Name == name {
			return p.paper.Layers[i]
		}
	}
	return p.paper.Layer(name, style)
}
