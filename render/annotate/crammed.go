package annotate

import (
	"slices"

	"seamwright/render/figure"
	"seamwright/render/label"
	"seamwright/render/sign"
)

// A view is crammed where more than manyCallouts of them take more than calloutShare of its room. Our own choice: in views that were,
// ten and more found no place, as leaders get into each other's way. With severalCallouts and more it is tried whether all find one.
const (
	manyCallouts    = 30
	calloutShare    = 0.25
	severalCallouts = 20
)

// Crammed reports whether one of some settled figures has so many call-outs that drawing it is of no use. It forgets the pictures of
// those that it tries.
func Crammed(set *figure.Set, figures []*figure.Figure) bool {
	set.Assign(figures)
	for _, f := range figures {
		if f.Gauge {
			continue
		}
		a := newAnnotator(set, f)
		n, taken := 0, 0.0
		for _, v := range a.runs() {
			if v.run.Count > shortRun {
				l := a.runCallout(v)
				n, taken = n+1, taken+(l.W+2*label.Air)*(l.H+2*label.Air)
			}
		}
		if n > manyCallouts && taken > calloutShare*f.Cell.Width()*f.Cell.Height() || n >= severalCallouts && overfull(set, f) {
			return true
		}
	}
	return false
}

// overfull reports whether some call-outs find no place even where nothing is drawn yet but marks of welds and their numbers. Drawn
// lines only ever make places dearer, and clamps, dowels and captions take places away, so that drawing the view would not
// help, but for exchanges at the end, which now and then make room for one.
func overfull(set *figure.Set, f *figure.Figure) bool {
	f.Picture = nil
	a := newAnnotator(set, f)
	var ends, callouts []*label.Label
	for i, w := range set.Here.Welds {
		if set.Shown(i) == f {
			a.placer.Weld(f.On(w.Position.R3()), sign.Radius(w))
		}
	}
	for _, v := range a.runs() {
		e, _ := a.numbers(v)
		ends = append(ends, e...)
		if v.run.Count > shortRun {
			callouts = append(callouts, a.runCallout(v))
		}
	}
	a.placer.PlaceAll(ends)
	return slices.ContainsFunc(callouts, func(l *label.Label) bool { return !a.placer.Place(l) })
}
