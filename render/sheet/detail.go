package sheet

import (
	"cmp"
	"math"
	"slices"

	"github.com/golang/geo/r2"

	"seamwright/render/label"
	"seamwright/render/paper"
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

// withDetails finds the crowded places of an arrangement's views and adds a detail for each; it returns the
// arrangement's pages with the details, which come after the views.
func (j *job) withDetails(a *arrangement) [][]*figure {
	with := &arrangement{size: a.size, scale: a.scale, band: a.band, columns: a.columns}
	for _, page := range a.pages {
		with.pages = append(with.pages, slices.Clone(page))
	}
	for i, f := range j.figures {
		for _, c := range j.crowds(i, f, a.scale) {
			d := j.detail(f, c, a.scale)
			if d == nil {
				continue
			}
			d.letter = letters(len(j.figures) + len(j.details)) // before add, which measures the caption
			j.details = append(j.details, d)
			with.add(d)
		}
	}
	return with.pages
}

// letters names views: A to Z, then AA, AB …
func letters(i int) string {
	if i < 26 {
		return string(rune('A' + i))
	}
	return letters(i/26-1) + string(rune('A'+i%26))
}

// crowds groups the welds of a view whose marks would touch.
func (j *job) crowds(figure int, f *figure, s scale) []crowd {
	var own []int
	for i := range j.welds {
		if j.home[i] == figure && j.seen[i] {
			own = append(own, i)
		}
	}
	at := j.onPaper(f, own, s)
	var out []crowd
	for _, pair := range j.touching(own, at) {
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
func (j *job) onPaper(f *figure, welds []int, s scale) []paper.Point {
	at := make([]paper.Point, len(welds))
	for n, w := range welds {
		p, _ := f.dir.Project(j.welds[w].Position.R3())
		at[n] = paper.Point{X: p.X / float64(s), Y: p.Y / float64(s)}
	}
	return at
}

// touching are the pairs of places whose marks run into each other, in order. Places are walked from left to right, so that each is
// held against those alone that are near enough across.
func (j *job) touching(welds []int, at []paper.Point) [][2]int {
	order := make([]int, len(at))
	widest := 0.0
	for n := range at {
		order[n] = n
		widest = max(widest, j.radius(j.welds[welds[n]]))
	}
	slices.SortFunc(order, func(a, b int) int { return cmp.Or(cmp.Compare(at[a].X, at[b].X), a-b) })
	var out [][2]int
	for k, a := range order {
		for _, b := range order[k+1:] {
			if at[b].X-at[a].X >= 2*widest+markApart {
				break
			}
			if at[a].Sub(at[b]).Norm() < j.radius(j.welds[welds[a]])+j.radius(j.welds[welds[b]])+markApart {
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
func (j *job) detail(f *figure, c crowd, s scale) *figure {
	k := float64(s)
	box := c.box.Grow(detailRoom)
	window := r2.RectFromPoints(r2.Point{X: box.X0 * k, Y: box.Y0 * k}, r2.Point{X: box.X1 * k, Y: box.Y1 * k})
	shown, _ := f.windowAt(s)
	window = window.Intersection(shown)
	if window.X.Length() > detailShare*shown.X.Length() && window.Y.Length() > detailShare*shown.Y.Length() {
		return nil
	}
	var best scale
	for i := len(scales) - 1; i >= 0; i-- {
		if scales[i] >= s {
			continue
		}
		if window.X.Length()/float64(scales[i]) > detailWide || window.Y.Length()/float64(scales[i]) > detailHigh {
			break
		}
		if best = scales[i]; !j.touch(f, c.welds, best) {
			break
		}
	}
	if best == 0 {
		return nil
	}
	return &figure{dir: f.dir, whole: window, parent: f, own: best, base: best, members: c.welds}
}

// touch reports whether marks of welds run into each other at a scale.
func (j *job) touch(f *figure, welds []int, s scale) bool {
	return len(j.touching(welds, j.onPaper(f, welds, s))) > 0
}

// drawDetailFrames frames, in a view, the places that have a detail on these sheets, and names them.
func (p *page) drawDetailFrames(f *figure, lab *placing) {
	l := p.paper.Layer("view "+f.letter+" detail frames", paper.Style{Stroke: paper.Black, Width: paper.W25})
	for _, d := range p.job.details {
		if d.parent != f || d.picture == nil {
			continue
		}
		lo, hi := f.flat(d.window.Lo()), f.flat(d.window.Hi())
		box := paper.Box{X0: lo.X, Y0: hi.Y, X1: hi.X, Y1: lo.Y}
		l.Rect(box)
		corners := []paper.Point{{X: box.X0, Y: box.Y0}, {X: box.X1, Y: box.Y0}, {X: box.X1, Y: box.Y1}, {X: box.X0, Y: box.Y1}}
		lab.InkLine(append(corners, corners[0]), 2)
		name := p.tag(f, "Detail "+d.letter, corners[1], 0.1)
		for _, c := range corners {
			if c != corners[1] {
				name.Targets = append(name.Targets, label.Mark{At: c, R: 0.1})
			}
		}
		lab.tags = append(lab.tags, name)
	}
}
