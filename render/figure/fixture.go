package figure

import (
	"math"
	"slices"

	"seamwright/layout"
	"seamwright/layout/words"
	"seamwright/render/paper"
	"seamwright/render/sight"
	"seamwright/render/sign"
	"seamwright/render/view"
)

// Fixture is a clamp, dowel or hold point as it is drawn and labelled.
type Fixture struct {
	Sign sign.Kind
	Text string
	At   layout.Vec
	To   layout.Vec // other end of a dimension; At for the rest
}

// Fixtures lists what holds and gauges the parts here.
func (set *Set) Fixtures() []Fixture {
	var out []Fixture
	for _, c := range set.Here.Station.Clamps {
		s := sign.ClampOpened
		if c.Release == layout.AtEnd {
			s = sign.Clamp
		}
		out = append(out, Fixture{s, c.ID, c.At, c.At})
	}
	for _, c := range set.Here.Station.Dowels {
		out = append(out, Fixture{sign.Dowel, c.ID, c.At, c.At})
	}
	for i := range set.Here.Station.HoldPoints {
		out = append(out, set.HoldFixture(i))
	}
	return out
}

// HoldFixture is the station's hold point i as it is drawn.
func (set *Set) HoldFixture(i int) Fixture {
	h := set.Here.Station.HoldPoints[i]
	return Fixture{sign.Hold, words.HoldShort(h), h.At, h.To}
}

// Slack is how far in front of or behind the sheets' surface a fixture's place may be, in mm.
const Slack = 8.0

// Belongs finds the view that shows a fixture: a dimension belongs where it can be read; others where they are seen, and of
// several such views in the one with most welds near; if nowhere, in the first whose window holds them; nil when none does.
func (set *Set) Belongs(x Fixture) (f *Figure, seen bool) {
	if x.To != x.At {
		return set.reads(x)
	}
	best := -1
	for _, c := range set.All() {
		if c.Picture == nil || c.Gauge {
			continue
		}
		if !c.Shows(x.At.R3()) || !c.Picture.Shows(x.At.R3(), Slack) {
			continue
		}
		near := 0
		for i, w := range set.Here.Welds {
			if set.Shown(i) == c && w.Position.R3().Sub(x.At.R3()).Norm() < 300 {
				near++
			}
		}
		if near > best {
			best, f, seen = near, c, true
		}
	}
	for _, c := range set.Figures {
		if f == nil && !c.Gauge && c.Shows(x.At.R3()) {
			f = c
		}
	}
	return f, seen
}

// reads finds the view in which a dimension is read: it lies within gaugeLimit of the paper, both its ends are seen, and it is
// longest on paper. nil when no view is such.
func (set *Set) reads(x Fixture) (f *Figure, seen bool) {
	most := -1.0
	for _, c := range set.Figures {
		if c.Picture == nil || !lies(c.Dir, x) || !c.Shows(x.At.R3()) || !c.Shows(x.To.R3()) ||
			!c.Picture.Shows(x.At.R3(), Slack) || !c.Picture.Shows(x.To.R3(), Slack) {
			continue
		}
		if d := c.On(x.To.R3()).Sub(c.On(x.At.R3())).Norm(); d > most+0.01 {
			most, f = d, c
		}
	}
	return f, f != nil
}

// gaugeLimit is how far, in degrees, a dimension may lie out of the paper of the view that it is drawn in. Common practice, no
// source: at 20 degrees it is drawn 6 % short.
const gaugeLimit = 20.0

// lies reports whether a dimension lies near enough to the paper of a view.
func lies(d view.Direction, x Fixture) bool {
	way := x.To.R3().Sub(x.At.R3())
	return math.Abs(way.Dot(d.Look)) <= math.Sin(gaugeLimit*math.Pi/180)*way.Norm()+1e-9
}

// gaugeViews adds a view for each dimension that none of the views shows as it is measured, as few as will do. A dimension that
// cannot be seen so from anywhere has none; a table says so.
func (set *Set) gaugeViews() {
	var open []Fixture
	for _, x := range set.Fixtures() {
		if x.To == x.At {
			continue
		}
		if !slices.ContainsFunc(set.Figures, func(f *Figure) bool { return set.canRead(f.Dir, x) }) {
			open = append(open, x)
		}
	}
	for len(open) > 0 {
		var best view.Direction
		var read []Fixture
		worth := 0.0
		for _, d := range view.Candidates() {
			var here []Fixture
			sum := 0.0
			for _, x := range open {
				if set.canRead(d, x) {
					way := x.To.R3().Sub(x.At.R3()).Normalize()
					here, sum = append(here, x), sum+1-0.5*math.Abs(way.Dot(d.Look))
				}
			}
			if d.Principal {
				sum *= 1.2
			}
			if sum > worth+1e-9 {
				best, read, worth = d, here, sum
			}
		}
		if len(read) == 0 {
			return
		}
		set.Figures = append(set.Figures, set.gaugeView(best, letters(len(set.Figures))))
		open = slices.DeleteFunc(open, func(x Fixture) bool { return slices.Contains(read, x) })
	}
}

// canRead reports whether a direction shows a dimension as it is measured.
func (set *Set) canRead(d view.Direction, x Fixture) bool {
	if !lies(d, x) {
		return false
	}
	ends := []view.Target{{At: x.At.R3(), Stack: 2 * Slack}, {At: x.To.R3(), Stack: 2 * Slack}}
	return sight.Sees(set.Panels, ends, d)
}

// gaugeSide is the greatest side in mm of a view that shows nothing but where to measure.
const gaugeSide = 110.0

// gaugeView is a small view of all panels, for dimensions alone.
func (set *Set) gaugeView(d view.Direction, letter string) *Figure {
	f := &Figure{Letter: letter, Dir: d, whole: d.Extent(set.Panels), Gauge: true}
	f.tight = f.whole
	for _, s := range scales {
		if f.base = s; max(f.whole.X.Length(), f.whole.Y.Length())/float64(s) <= gaugeSide {
			break
		}
	}
	f.Reset()
	return f
}

// Across is the way on paper square to the weld line nearest to a place, along which signs are moved off it.
func (set *Set) Across(f *Figure, at layout.Vec) paper.Point {
	best, way := math.Inf(1), paper.Point{X: 0, Y: 1}
	for _, fl := range set.Here.Flanges {
		places := fl.Places()
		for i := 1; i < len(places); i++ {
			if d := places[i].R3().Sub(at.R3()).Norm(); d < best {
				if along := f.On(places[i].R3()).Sub(f.On(places[i-1].R3())); along.Norm() > 1e-6 {
					best, way = d, paper.Point{X: -along.Y, Y: along.X}.Mul(1/along.Norm())
				}
			}
		}
	}
	return way
}
