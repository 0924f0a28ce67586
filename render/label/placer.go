// Package label finds places on paper for what names marks: tags, numbers, call-outs with leaders, balloons. No label, leader or mark lies
// over another, a number stands nearer to its own mark than to any other or has a leader, and drawn lines are kept clear of where
// that can be.
//
//	q := label.New(paper.Box{X1: 200, Y1: 150})
//	q.Weld(paper.Point{X: 40, Y: 60}, 0.9)
//	number := &label.Label{W: 4, H: 3, Number: true, Reach: label.Farthest, Targets: []label.Mark{{At: paper.Point{X: 40, Y: 60}, R: 0.9}}}
//	q.PlaceAll([]*label.Label{number}) // number.Place says where, if number.Done
//
// All measures are mm on the sheet. The same labels in the same order get the same places.
package label

import (
	"math"
	"slices"

	"seamwright/render/paper"
)

// Mark is a drawn symbol that labels keep clear of, or point at.
type Mark struct {
	At   paper.Point
	R    float64
	Weld bool // a weld's, which a number could be taken for
}

// Label is a text that looks for a place.
type Label struct {
	W, H    float64
	Targets []Mark  // what it may point at
	Reach   float64 // mm from the target that it may be away
	Ends    bool    // the leader leaves from the ends of the reference line, at Line below its top
	Round   bool    // it is a ring as wide as the label, which the leader leaves from
	Number  bool    // of a weld: without a leader it must be nearer to its own mark than to any other
	Line    float64
	Must    bool   // a sheet without it is no good
	Keen    bool   // others make room for it, and it may stand anywhere
	Says    string // in words, where there is no room for it

	Paint func(at Placed) // draws it where it came to lie

	Done  bool // it has a place
	Place Placed
}

// Placed is where a label came to lie.
type Placed struct {
	Box    paper.Box
	Target Mark
	From   paper.Point // leader from the label …
	To     paper.Point // … to the rim of the target; equal when the label stands beside its target
	cost   float64
	reach  paper.Box // of label and leader, with some air
}

// HasLeader reports whether a line joins the label and its target.
func (p Placed) HasLeader() bool { return p.From != p.To }

// Placer finds places for the labels of one view: no two labels, leaders or marks over each other.
type Placer struct {
	cell     paper.Box
	marks    []Mark
	widest   float64   // radius of the largest mark
	squares  [][]int32 // marks by square of the cell; those beyond it lie in the squares at its border
	wide     int       // squares side by side
	reserved []paper.Box
	placed   []*Label
	ink      []int32 // drawn lines on a raster: summed, see inkUnder
	iw, ih   int
	summed   bool
	failed   int // labels that found no place anywhere

	tried, open bool   // the box of the place at hand was looked at, and is free
	inTheWay    *Label // the last one that a leader ran over: most likely in the way of the next one tried too
}

const (
	markCell   = 6.0 // mm
	inkRaster  = 0.5 // mm
	markAir    = 0.3 // mm between label and mark
	beside     = 1.6 // mm: a label nearer than this to its target needs no leader
	inkWeight  = 0.35
	leadWeight = 1.0
)

// Air is the room in mm that labels keep between each other.
const Air = 0.6

// Farthest is how far in mm from its target a label is looked for, at most.
const Farthest = 70.0

// New is for the labels of a view that may fill a cell.
func New(cell paper.Box) *Placer {
	q := &Placer{cell: cell, wide: int(cell.Width()/markCell) + 1}
	q.squares = make([][]int32, q.wide*(int(cell.Height()/markCell)+1))
	q.iw, q.ih = int(cell.Width()/inkRaster)+2, int(cell.Height()/inkRaster)+2
	q.ink = make([]int32, q.iw*q.ih)
	return q
}

// Mark notes a symbol that nothing may cover.
func (q *Placer) Mark(at paper.Point, r float64) { q.add(Mark{At: at, R: r}) }

// Weld notes a weld's mark.
func (q *Placer) Weld(at paper.Point, r float64) { q.add(Mark{at, r, true}) }

func (q *Placer) add(m Mark) {
	k := q.row(m.At.Y)*q.wide + q.column(m.At.X)
	q.squares[k] = append(q.squares[k], int32(len(q.marks)))
	q.marks = append(q.marks, m)
	q.widest = max(q.widest, m.R)
}

// column and row are those of the square that a place lies in.
func (q *Placer) column(x float64) int {
	return int(min(max((x-q.cell.X0)/markCell, 0), float64(q.wide-1)))
}
func (q *Placer) row(y float64) int {
	return int(min(max((y-q.cell.Y0)/markCell, 0), float64(len(q.squares)/q.wide-1)))
}

// near gives the marks whose middle lies within a box, and some about it.
func (q *Placer) near(b paper.Box, each func(m Mark) bool) bool {
	x0, x1 := q.column(b.X0), q.column(b.X1)
	for y := q.row(b.Y0); y <= q.row(b.Y1); y++ {
		for _, square := range q.squares[y*q.wide+x0 : y*q.wide+x1+1] {
			for _, i := range square {
				if each(q.marks[i]) {
					return true
				}
			}
		}
	}
	return false
}

// nearLine gives the marks whose middle lies within a distance of a line from a to b, and some about it: column by column of squares,
// those that the line's part in the column comes near.
func (q *Placer) nearLine(a, b paper.Point, within float64, each func(m Mark) bool) bool {
	if a.X > b.X {
		a, b = b, a
	}
	d := b.Sub(a)
	for x := q.column(a.X - within); x <= q.column(b.X+within); x++ {
		left := q.cell.X0 + float64(markCell*float64(x))
		part := paper.Box{X0: left - within, Y0: min(a.Y, b.Y) - within, X1: left + markCell + within, Y1: max(a.Y, b.Y) + within}
		if d.X > 1e-9 {
			from, to := max(0, (part.X0-a.X)/d.X), min(1, (part.X1-a.X)/d.X)
			y0, y1 := a.Y+float64(from*d.Y), a.Y+float64(to*d.Y)
			part.Y0, part.Y1 = min(y0, y1)-within, max(y0, y1)+within
		}
		for y := q.row(part.Y0); y <= q.row(part.Y1); y++ {
			for _, i := range q.squares[y*q.wide+x] {
				if each(q.marks[i]) {
					return true
				}
			}
		}
	}
	return false
}

// Reserve keeps a box free of labels.
func (q *Placer) Reserve(b paper.Box) { q.reserved = append(q.reserved, b) }

// InkLine notes a drawn line, which labels avoid if they can.
func (q *Placer) InkLine(points []paper.Point, weight int32) {
	for i := 1; i < len(points); i++ {
		d := points[i].Sub(points[i-1])
		n := int(d.Norm()/inkRaster) + 1
		for k := range n {
			at := points[i-1].Add(d.Mul((float64(k) + 0.5) / float64(n)))
			x, y := int((at.X-q.cell.X0)/inkRaster), int((at.Y-q.cell.Y0)/inkRaster)
			if x >= 0 && y >= 0 && x < q.iw && y < q.ih {
				q.ink[y*q.iw+x] += weight
			}
		}
	}
}

// inkUnder adds up the ink under a box, from sums over all squares above and to the left.
func (q *Placer) inkUnder(b paper.Box) float64 {
	if !q.summed {
		for y := range q.ih {
			for x := range q.iw {
				k := y*q.iw + x
				if x > 0 {
					q.ink[k] += q.ink[k-1]
				}
				if y > 0 {
					q.ink[k] += q.ink[k-q.iw]
				}
				if x > 0 && y > 0 {
					q.ink[k] -= q.ink[k-q.iw-1]
				}
			}
		}
		q.summed = true
	}
	at := func(x, y float64) int32 {
		i, j := int((x-q.cell.X0)/inkRaster), int((y-q.cell.Y0)/inkRaster)
		i, j = min(max(i, 0), q.iw-1), min(max(j, 0), q.ih-1)
		return q.ink[j*q.iw+i]
	}
	return float64(at(b.X1, b.Y1) - at(b.X0, b.Y1) - at(b.X1, b.Y0) + at(b.X0, b.Y0))
}

// distances at which places are tried, mm from the target's rim to the label.
var distances = []float64{0.4, 0.9, 1.5, 3, 4.5, 6.5, 9, 12, 16, 21, 27, 34, 42, 51, 60, 70}

const directions = 32

// ways are the directions at which places are tried.
var ways = func() (out [directions]struct{ sin, cos float64 }) {
	for a := range out {
		out[a].sin, out[a].cos = math.Sincos(2 * math.Pi * float64(a) / directions)
	}
	return out
}()

// find looks for the cheapest free place of a label that costs less than below.
func (q *Placer) find(l *Label, below float64) (Placed, bool) {
	best, ok := Placed{cost: below}, false
	for ti, t := range l.Targets {
		for _, d := range distances {
			if d > l.Reach || d >= best.cost {
				break
			}
			if l.Ends && d < beside {
				continue
			}
			for _, way := range ways {
				away := t.R + d + math.Abs(way.cos)*l.W/2 + math.Abs(way.sin)*l.H/2
				c := paper.Point{X: t.At.X + float64(away*way.cos), Y: t.At.Y - float64(away*way.sin)}
				p := l.at(c, t)
				p.cost += float64(ti) * 0.8
				q.tried = false
				q.offer(l, p, &best, &ok)
			}
		}
	}
	return best, ok
}

// full is how many labels may find no place anywhere before no other is tried there: the view is full.
const full = 20

// findAnywhere tries every place of the cell on a grid: for labels that find none near their targets.
func (q *Placer) findAnywhere(l *Label) (Placed, bool) {
	best, ok := Placed{cost: math.Inf(1)}, false
	if q.failed >= full {
		return best, false
	}
	defer func() {
		if !ok {
			q.failed++
		}
	}()
	inTheWay := make([]*Label, len(l.Targets))
	far := func(d, half float64, t Mark) bool { return leadWeight*(math.Abs(d)-half-t.R) > best.cost+1e-9 } // so that its leader costs more
	for y := q.cell.Y0 + l.H/2 + 1; y < q.cell.Y1-l.H/2; y += 3 {
		if !slices.ContainsFunc(l.Targets, func(t Mark) bool { return !far(t.At.Y-y, l.H/2, t) }) {
			continue
		}
		for x := q.cell.X0 + l.W/2 + 1; x < q.cell.X1-l.W/2; x += 4 {
			q.tried = false // each of its targets asks for the same box
			for i, t := range l.Targets {
				if far(t.At.X-x, l.W/2, t) || far(t.At.Y-y, l.H/2, t) {
					continue
				}
				p := l.at(paper.Point{X: x, Y: y}, t)
				if !q.tried {
					q.tried, q.open = true, q.boxFree(p.Box)
				}
				if !q.open {
					break
				}
				q.inTheWay = inTheWay[i]
				q.offer(l, p, &best, &ok)
				inTheWay[i] = q.inTheWay
			}
		}
	}
	return best, ok
}

// at sets a label about a centre, with its leader to the target.
func (l *Label) at(c paper.Point, t Mark) Placed {
	p := Placed{Box: paper.Box{X0: c.X - l.W/2, Y0: c.Y - l.H/2, X1: c.X + l.W/2, Y1: c.Y + l.H/2}, Target: t}
	near := paper.Point{X: min(max(t.At.X, p.Box.X0), p.Box.X1), Y: min(max(t.At.Y, p.Box.Y0), p.Box.Y1)}
	if l.Ends {
		near = paper.Point{X: p.Box.X0, Y: p.Box.Y0 + l.Line}
		if t.At.X > c.X {
			near.X = p.Box.X1
		}
	}
	if l.Round {
		way := t.At.Sub(c)
		near = c.Add(way.Mul(l.W / 2 / max(way.Norm(), 1e-9)))
	}
	d := t.At.Sub(near)
	norm := d.Norm()
	gap := norm - t.R
	p.cost = leadWeight * max(0, gap)
	p.From, p.To = near, near
	if gap > beside || l.Ends || l.Round {
		p.To = t.At.Sub(d.Mul(t.R / max(norm, 1e-9)))
	}
	return p
}

// Without a leader a number is nearer to its own mark than to any other weld's by clearer mm; else it has a leader, at
// least shortest mm long so that it is seen.
const (
	clearer  = 1.05
	shortest = 1.2
)

// led gives a number a leader where it could be taken for another weld's; it reports false where there is no room for one.
func (q *Placer) led(l *Label, p *Placed) bool {
	t := p.Target
	own := Away(t.At, p.Box) - t.R
	doubt := q.near(p.Box.Grow(own+clearer+q.widest), func(m Mark) bool {
		return m.Weld && m.At.Sub(t.At).Norm() > 1e-6 && Away(m.At, p.Box)-m.R < own+clearer
	})
	if !doubt {
		return true
	}
	d := t.At.Sub(p.From)
	if d.Norm()-t.R < shortest {
		return false
	}
	p.To = t.At.Sub(d.Mul(t.R / d.Norm()))
	p.cost += 1
	return true
}

// offer keeps the place if it is free and cheaper than the best so far.
func (q *Placer) offer(l *Label, p Placed, best *Placed, ok *bool) {
	if p.cost >= best.cost || q.tried && !q.open || !q.cell.Grow(-0.8).Holds(p.Box) {
		return
	}
	if l.Ends && p.Target.At.X > p.Box.X0-1 && p.Target.At.X < p.Box.X1+1 {
		return // the leader would run under its own text
	}
	if l.Number && !p.HasLeader() && !q.led(l, &p) {
		return
	}
	p.cost += inkWeight * q.inkUnder(p.Box.Grow(0.3))
	if p.cost >= best.cost || !q.free(p) {
		return
	}
	*best, *ok = p, true
}

// free reports whether a place touches nothing that is there already.
func (q *Placer) free(p Placed) bool {
	if !q.tried {
		q.tried, q.open = true, q.boxFree(p.Box)
	}
	return q.open && (!p.HasLeader() || q.leaderFree(p))
}

// boxFree reports whether nothing is where a label would stand.
func (q *Placer) boxFree(box paper.Box) bool {
	for _, r := range q.reserved {
		if box.Overlaps(r) {
			return false
		}
	}
	air := box.Grow(Air)
	for _, o := range q.placed {
		if !air.Overlaps(o.Place.reach) {
			continue
		}
		if air.Overlaps(o.Place.Box) || o.Place.HasLeader() && Crosses(o.Place.From, o.Place.To, box.Grow(markAir)) {
			return false
		}
	}
	return !q.near(box.Grow(q.widest+markAir), func(m Mark) bool { return Away(m.At, box) < m.R+markAir })
}

// leaderFree reports whether a label's leader runs over no label, leader, reserved place or mark but the one that it points at.
func (q *Placer) leaderFree(p Placed) bool {
	for _, r := range q.reserved {
		if Crosses(p.From, p.To, r) {
			return false
		}
	}
	reach := p.Box.With(p.To).Grow(Air)
	if o := q.inTheWay; o != nil && o.Done && reach.Overlaps(o.Place.reach) && o.stops(p) {
		return false
	}
	for _, o := range q.placed {
		if reach.Overlaps(o.Place.reach) && o.stops(p) {
			q.inTheWay = o
			return false
		}
	}
	return !q.nearLine(p.From, p.To, q.widest+markAir, func(m Mark) bool {
		return !m.covers(p.Target.At) && FromSegment(m.At, p.From, p.To) < m.R+0.1
	})
}

// stops reports whether a placed label lies under a place's leader, or its own leader meets that one.
func (l *Label) stops(p Placed) bool {
	return Crosses(p.From, p.To, l.Place.Box.Grow(markAir)) || l.Place.HasLeader() && meet(p.From, p.To, l.Place.From, l.Place.To)
}

// covers reports whether a place lies within the mark: a weld under a clamp is pointed at through it.
func (m Mark) covers(p paper.Point) bool { return m.At.Sub(p).Norm() < m.R }

// Away is the distance from a point to a box.
func Away(p paper.Point, b paper.Box) float64 {
	return math.Hypot(max(0, max(b.X0-p.X, p.X-b.X1)), max(0, max(b.Y0-p.Y, p.Y-b.Y1)))
}

// FromSegment is the distance from a point to the segment ab.
func FromSegment(p, a, b paper.Point) float64 {
	d := b.Sub(a)
	n := float64(d.X*d.X) + float64(d.Y*d.Y)
	f := 0.0
	if n > 0 {
		f = max(0, min(1, (float64((p.X-a.X)*d.X)+float64((p.Y-a.Y)*d.Y))/n))
	}
	return p.Sub(a.Add(d.Mul(f))).Norm()
}

// Crosses reports whether the segment ab meets the inside of a box.
func Crosses(a, b paper.Point, box paper.Box) bool {
	lo, hi := 0.0, 1.0
	clip := func(p, d, low, high float64) bool {
		if d == 0 {
			return p > low && p < high
		}
		s, e := (low-p)/d, (high-p)/d
		if s > e {
			s, e = e, s
		}
		lo, hi = max(lo, s), min(hi, e)
		return lo < hi
	}
	return clip(a.X, b.X-a.X, box.X0, box.X1) && clip(a.Y, b.Y-a.Y, box.Y0, box.Y1)
}

// meet reports whether two segments touch.
func meet(a, b, c, d paper.Point) bool {
	side := func(p, q, r paper.Point) float64 {
		return float64((q.X-p.X)*(r.Y-p.Y)) - float64((q.Y-p.Y)*(r.X-p.X))
	}
	if side(a, b, c)*side(a, b, d) <= 0 && side(c, d, a)*side(c, d, b) <= 0 {
		return true
	}
	const touch = 0.4 // mm
	if apart(a.X, b.X, c.X, d.X) > 1.01*touch || apart(a.Y, b.Y, c.Y, d.Y) > 1.01*touch {
		return false
	}
	return min(min(FromSegment(a, c, d), FromSegment(b, c, d)), min(FromSegment(c, a, b), FromSegment(d, a, b))) < touch
}

// apart is how far the stretch from a to b of an axis is from that from c to d; below zero where they overlap.
func apart(a, b, c, d float64) float64 { return max(min(c, d)-max(a, b), min(a, b)-max(c, d)) }
