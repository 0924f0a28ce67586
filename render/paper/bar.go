package paper

import "math"

// CheckBar draws a bar of exactly 100 mm from edge to edge, level from at to the right, or upright from at
// upwards: filled boxes, because a line's width would lengthen it. Printers and copiers stretch a sheet
// along and across by different amounts, so that full-size drawings carry one of each.
func (p *Page) CheckBar(at Point, upright bool) {
	bar := p.Layer("check-bar", Style{Fill: Black})
	box := func(from, to, high float64) { // along the bar, and to its upper or left side
		b := Box{at.X + from, at.Y - high, at.X + to, at.Y}
		if upright {
			b = Box{at.X - high, at.Y - to, at.X, at.Y - from}
		}
		bar.Rect(b)
	}
	box(0, 100, 0.5)
	for i := 0; i <= 10; i++ {
		high := 1.4
		if i%5 == 0 {
			high = 2.6
		}
		from := math.Max(0, math.Min(float64(10*i)-0.125, 99.75))
		box(from, from+0.25, high)
	}
	words := p.Layer("check-bar-text", Style{Fill: Black})
	const text = "check: 100 mm"
	const lift = tail * TextHeight // so that no letter reaches beyond the bar
	if upright {
		words.TextTurned(Point{at.X - lift, at.Y - 103}, -90, TextHeight, Start, text)
		return
	}
	words.Text(Point{at.X + 103, at.Y - lift}, TextHeight, Start, text)
}
