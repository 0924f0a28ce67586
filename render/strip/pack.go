package strip

import "seamwright/render/paper"

// Lying A4 page and its zones, mm. Every office printer reaches within 10 mm of the paper's rim (common
// practice, no source).
const (
	pageWide  = 297.0
	pageHigh  = 210.0
	rim       = 10.0
	barStrip  = 9.0  // for the upright check bar on the right
	barFoot   = 9.0  // for the level one below
	titleHigh = 11.5 // title row of every page, and room below it
	leadHigh  = 57.0 // further rows, symbols and instructions of the first page
	roomWide  = pageWide - 2*rim - barStrip
	roomHigh  = pageHigh - 2*rim - barFoot - titleHigh
)

// pack sets the pieces out on pages, in their order, in rows; the first page has less room, and none where
// the first piece is so high that it needs a whole one.
func pack(pieces []*piece) [][]*piece {
	var pages [][]*piece
	var page []*piece
	y, x, high := rim+titleHigh+leadHigh, rim, 0.0
	for _, p := range pieces {
		w, h := p.box.Width()+around, p.box.Height()+above+around
		if x+w > rim+roomWide && x > rim {
			x, y, high = rim, y+high, 0
		}
		if y+h > pageHigh-rim-barFoot {
			pages, page = append(pages, page), nil
			x, y, high = rim, rim+titleHigh, 0
		}
		p.move = paper.Point{X: x + around/2 - p.box.X0, Y: y + above - p.box.Y0}
		page = append(page, p)
		x, high = x+w, max(high, h)
	}
	return append(pages, page)
}
