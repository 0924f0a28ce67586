package strip

import (
	"fmt"
	"math"

	"seamwright/render/paper"
)

// Measures of pieces on paper, mm. Our own choice.
const (
	tab         = 12.0 // that the next piece is pasted on
	steepest    = 50.0 // degrees that the strip may run up or down on the page, so that words on it stay readable
	clearOfCut  = 2.0  // between a cut and the rim of a weld or hole
	farthestCut = 45.0 // a cut may move back so far to be clear
	cutStep     = 1.0
	above       = 5.0 // room for a piece's caption
	around      = 3.0 // between pieces
)

// piece is a stretch of the strip that fits onto a page.
type piece struct {
	f        *Flat
	number   int
	of       int
	from, to float64 // mm along the plan's weld line
	end      float64 // to, or the end of the tab
	turn     float64 // radians by which the flat strip is turned to the right
	box      paper.Box
	move     paper.Point // from the turned strip to the page
	crowded  int         // numbers and letters that found no free room
}

// cut divides the strip into as few pieces as the pages ask for, all about equally long.
func (f *Flat) cut() ([]*piece, error) {
	pieces, err := f.cutAt(math.Inf(1))
	if err != nil || len(pieces) == 1 {
		return pieces, err
	}
	even := f.total() / float64(len(pieces))
	for _, slack := range []float64{1.01, 1.03, 1.06, 1.1, 1.2} {
		if p, err := f.cutAt(even * slack); err == nil && len(p) == len(pieces) {
			return p, nil
		}
	}
	return pieces, nil
}

// cutAt cuts pieces no longer than most.
func (f *Flat) cutAt(most float64) ([]*piece, error) {
	var out []*piece
	total := f.total()
	for from := 0.0; from < total; {
		to := f.reach(from, most)
		if to < total {
			to = f.clear(from, to)
		}
		if to-from < 2*tab && to < total {
			w := f.Flange.Width.Greatest
			return nil, fmt.Errorf("it is %.0f mm wide at most and too wide for A4 paper: mark it by the coordinates in the list of welds", w)
		}
		out = append(out, f.piece(from, to))
		from = to
	}
	for i, p := range out {
		p.number, p.of = i+1, len(out)
	}
	return out, nil
}

// reach is how far a piece that starts at from can go.
func (f *Flat) reach(from, most float64) float64 {
	total := f.total()
	fits := func(to float64) bool {
		p := f.piece(from, to)
		return p.box.Width() <= roomWide-2*around && p.box.Height() <= roomHigh-above-around && f.level(p)
	}
	if total-from <= most && fits(total) {
		return total
	}
	best := from
	for to := from + cutStep; to < total && to-from <= most; to += cutStep {
		if !fits(to) {
			break
		}
		best = to
	}
	return best
}

// clear moves a cut back to where it is clear of welds and holes; where nothing is, it stays.
func (f *Flat) clear(from, to float64) float64 {
	for s := to; s > from+2*tab && s > to-farthestCut; s -= cutStep {
		if f.free(s) {
			return s
		}
	}
	return to
}

func (f *Flat) free(s float64) bool {
	for _, w := range f.welds {
		if math.Abs(w.s-s) < w.diameter/2+clearOfCut {
			return false
		}
	}
	for _, h := range f.holes {
		if math.Abs(h.s-s) < h.radius+clearOfCut {
			return false
		}
	}
	return true
}

// piece turns a stretch of the strip so that its ends lie level.
func (f *Flat) piece(from, to float64) *piece {
	p := &piece{f: f, from: from, to: to, end: math.Min(f.total(), to+tab)}
	a, _ := f.at(spot{s: from})
	b, _ := f.at(spot{s: p.end})
	p.turn = math.Atan2(-(b.Y - a.Y), b.X-a.X)
	p.box = boxOf(append(p.line(p.from, p.end, sideLeft), p.line(p.from, p.end, sideRight)...))
	return p
}

// level reports whether the strip runs nowhere too steeply on the page.
func (f *Flat) level(p *piece) bool {
	for _, s := range p.stations(p.from, p.end) {
		_, h := f.at(spot{s: s})
		if math.Abs(math.Remainder(h-p.turn, 2*math.Pi)) > steepest*math.Pi/180 {
			return false
		}
	}
	return true
}

// stations are the places between from and to where the strip is drawn: the points of the line and both ends.
func (p *piece) stations(from, to float64) []float64 {
	out := []float64{from}
	for _, s := range p.f.way.sum {
		if s > from+1e-9 && s < to-1e-9 {
			out = append(out, s)
		}
	}
	return append(out, to)
}

// place is where a spot lies on the page.
func (p *piece) place(at spot) paper.Point {
	q, _ := p.f.at(at)
	return p.onPage(q)
}

func (p *piece) onPage(q paper.Point) paper.Point {
	sin, cos := math.Sincos(p.turn)
	return paper.Point{X: float64(q.X*cos) - float64(q.Y*sin), Y: float64(q.X*sin) + float64(q.Y*cos)}.Add(p.move)
}

// lean is the heading of the strip on the page, in radians to the left.
func (p *piece) lean(s float64) float64 {
	_, h := p.f.at(spot{s: s})
	return math.Remainder(h-p.turn, 2*math.Pi)
}

// A line of the strip to draw.
const (
	sideLeft = iota
	sideRight
	centre
)

// line is one of the strip's lines between two places, on the page.
func (p *piece) line(from, to float64, which int) []paper.Point {
	var out []paper.Point
	for _, s := range p.stations(from, to) {
		k, t := p.f.locate(s)
		points := p.f.Centre
		switch which {
		case sideLeft:
			points = p.f.Left
		case sideRight:
			points = p.f.Right
		}
		out = append(out, p.onPage(points[k].Add(points[k+1].Sub(points[k]).Mul(t))))
	}
	return out
}

// welds counts the welds that the piece owns.
func (p *piece) welds() int {
	n := 0
	for _, w := range p.f.welds {
		if p.owns(w.s) {
			n++
		}
	}
	return n
}

// owns reports whether a place lies on the piece proper rather than on its tab.
func (p *piece) owns(s float64) bool {
	return s >= p.from && (s < p.to || p.number == p.of)
}

func boxOf(points []paper.Point) paper.Box {
	b := paper.Box{X0: math.Inf(1), Y0: math.Inf(1), X1: math.Inf(-1), Y1: math.Inf(-1)}
	for _, p := range points {
		b.X0, b.X1 = math.Min(b.X0, p.X), math.Max(b.X1, p.X)
		b.Y0, b.Y1 = math.Min(b.Y0, p.Y), math.Max(b.Y1, p.Y)
	}
	return b
}
