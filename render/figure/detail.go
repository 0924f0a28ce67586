package figure

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"

	"seamwright/render/paper"
	"seamwright/render/sign"
)

// Where marks of welds run into each other, the place is drawn once more at a larger scale: a detail. Its
// welds are numbered there, and in the view they are dots within a frame with the detail's letter.

const (
	detailJoin  = 10.0  // mm on paper: crowded places nearer than this share a detail
	detailRoom  = 5.0   // mm on paper about the welds, at the view's scale
	detailWide  = 130.0 // mm: the largest detail
	detailHigh  = 110.0
	markApart   = 0.1 // mm on paper between marks that can be told apart
	detailShare = 0.6 // of the view's width and height: what is larger is no detail
)

// crowd is a crowded place of a view.
type crowd struct {
	box   paper.Box // on paper, from the view's own origin
	welds []int
}

// MakeDetails makes a detail for each crowded place of the views at a scale, in place of those made before.
func (set *Set) MakeDetails(s Scale) {
	set.Details = nil
	for i, f := range set.Figures {
		for _, c := range set.crowds(i, f, s) {
			if d := set.detail(f, c, s); d != nil {
				d.Letter = letters(len(set.Figures) + len(set.Details))
				set.Details = append(set.Details, d)
			}
		}
	}
}

// crowds groups the welds of a view whose marks would touch.
func (set *Set) crowds(figure int, f *Figure, s Scale) []crowd {
	var own []int
	for i := range set.Here.Welds {
		if set.home[i] == figure && set.seen[i] {
			own = append(own, i)
		}
	}
	at := set.onPaper(f, own, s)
	var out []crowd
	for _, pair := range set.touching(own, at) {
		p, q := at[pair[0]], at[pair[1]]
		out = append(out, crowd{box: paper.Box{X0: math.Min(p.X, q.X), Y0: math.Min(p.Y, q.Y), X1: math.Max(p.X, q.X), Y1: math.Max(p.Y, q.Y)}})
	}
	out = mergeCrowds(out)
	for k := range out {
		for n, i := range own {
			if out[k].box.Grow(detailRoom).Holds(paper.Box{X0: at[n].X, Y0: at[n].Y, X1: at[n].X, Y1: at[n].Y}) {
				out[k].welds = append(out[k].welds, i)
			}
		}
	}
	return out
}

// onPaper are the places of welds in mm on paper, from the view's own origin.
func (set *Set) onPaper(f *Figure, welds []int, s Scale) []paper.Point {
	at := make([]paper.Point, len(welds))
	for n, w := range welds {
		p, _ := f.Dir.Project(set.Here.Welds[w].Position.R3())
		at[n] = paper.Point{X: p.X / float64(s), Y: p.Y / float64(s)}
	}
	return at
}

// touching are the pairs of places whose marks run into each other, in order. Places are walked from left to right, or upwards where they
// reach farther so, so that each is held against those alone that are near enough that way.
func (set *Set) touching(welds []int, at []paper.Point) [][2]int {
	order, widest := make([]int, len(at)), 0.0
	box := r2.EmptyRect()
	for n, p := range at {
		order[n] = n
		widest = max(widest, sign.Radius(set.Here.Welds[welds[n]]))
		box = box.AddPoint(r2.Point{X: p.X, Y: p.Y})
	}
	along := func(n int) float64 { return at[n].X }
	if box.Y.Length() > box.X.Length() {
		along = func(n int) float64 { return at[n].Y }
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(along(a), along(b)), a-b) })
	var out [][2]int
	for k, a := range order {
		for _, b := range order[k+1:] {
			if along(b)-along(a) >= 2*widest+markApart {
				break
			}
			if at[a].Sub(at[b]).Norm() < sign.Radius(set.Here.Welds[welds[a]])+sign.Radius(set.Here.Welds[welds[b]])+markApart {
				out = append(out, [2]int{min(a, b), max(a, b)})
			}
		}
	}
	slices.SortFunc(out, func(a, b [2]int) int { return cmp.Or(a[0]-b[0], a[1]-b[1]) })
	return out
}

// mergeCrowds joins neighbouring places: to each the later ones that are near it, until none is.
func mergeCrowds(list []crowd) []crowd {
	for i := 0; i < len(list); i++ {
		for again := true; again; {
			again = false
			rest := list[:i+1]
			for _, c := range list[i+1:] {
				a := list[i].box
				if again = again || a.Grow(detailJoin).Overlaps(c.box); !a.Grow(detailJoin).Overlaps(c.box) {
					rest = append(rest, c)
					continue
				}
				list[i].box = paper.Box{X0: math.Min(a.X0, c.box.X0), Y0: math.Min(a.Y0, c.box.Y0), X1: math.Max(a.X1, c.box.X1),
					Y1: math.Max(a.Y1, c.box.Y1)}
			}
			list = rest
		}
	}
	return list
}

// detail makes the enlarged view of a crowded place: the next scale that keeps marks apart, if it fits. A
// place that takes most of the view gets none.
func (set *Set) detail(f *Figure, c crowd, s Scale) *Figure {
	k := float64(s)
	box := c.box.Grow(detailRoom)
	window := r2.RectFromPoints(r2.Point{X: box.X0 * k, Y: box.Y0 * k}, r2.Point{X: box.X1 * k, Y: box.Y1 * k})
	shown, _ := f.windowAt(s)
	window = window.Intersection(shown)
	if window.X.Length() > detailShare*shown.X.Length() && window.Y.Length() > detailShare*shown.Y.Length() {
		return nil
	}
	var best Scale
	for i := len(scales) - 1; i >= 0; i-- {
		if scales[i] >= s {
			continue
		}
		if window.X.Length()/float64(scales[i]) > detailWide || window.Y.Length()/float64(scales[i]) > detailHigh {
			break
		}
		if best = scales[i]; !set.touch(f, c.welds, best) {
			break
		}
	}
	if best == 0 {
		return nil
	}
	return &Figure{Dir: f.Dir, whole: window, Parent: f, Own: best, base: best, members: c.welds}
}

// touch reports whether marks of welds run into each other at a scale.
func (set *Set) touch(f *Figure, welds []int, s Scale) bool {
	return len(set.touching(welds, set.onPaper(f, welds, s))) > 0
}
