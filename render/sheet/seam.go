package sheet

import (
	"seamwright/layout"
	"seamwright/render/label"
	"seamwright/render/paper"
)

// besideSpots is how far, in mm on paper, a roller seam is drawn beside its place where spots lie on it.
const besideSpots = 2.4

// drawSeams draws roller seams: a line ticked every 2.5 mm of paper, a full circle at its start, arrows
// in the way it is rolled and a bar at its end; dashed where it is out of sight.
func (p *page) drawSeams(f *figure, lab *placing, k ink, used symbols) {
	line := p.paper.Layer("view "+f.letter+" roller seams", paper.Style{Stroke: paper.Black, Width: paper.W35})
	dashed := p.paper.Layer("view "+f.letter+" hidden roller seams", paper.Style{Stroke: paper.Black, Width: paper.W18, Dash: []float64{2, 1}})
	for _, r := range p.job.seams {
		for _, s := range p.job.seam(f, r) {
			used[symRoller] = true
			lab.InkLine(s.points, 3)
			if !s.seen {
				dashed.Polyline(tidy(s.points))
				continue
			}
			line.Polyline(tidy(s.points))
			tickLine(line, k.black, lab, s.points)
			if s.first {
				k.black.Circle(s.points[0], 1)
				lab.Mark(s.points[0], 1)
				lab.tags = append(lab.tags, p.tag(f, "START", s.points[0], 1))
			}
			if n := len(s.points); s.last && n > 1 {
				d := s.points[n-1].Sub(s.points[n-2])
				if d.Norm() > 1e-9 {
					across := paper.Point{X: -d.Y, Y: d.X}.Mul(1.6 / d.Norm())
					k.thick.Line(s.points[n-1].Sub(across), s.points[n-1].Add(across))
					lab.Mark(s.points[n-1], 1.6)
				}
			}
		}
	}
}

// seamPart is a stretch of a roller seam as drawn; first and last tell whether the seam begins or ends with it.
type seamPart struct {
	stretch
	first, last bool
}

// seam gives the parts of a roller seam in a view. Where spots lie on the seam it is moved aside, away from
// the middle of the picture, so that both can be read.
func (j *job) seam(f *figure, r layout.Seam) []seamPart {
	var out []seamPart
	if len(r.Path) < 2 {
		return nil
	}
	aside := 0.0
	if j.spotsOn(f, r) {
		aside = besideSpots * f.outward(r)
	}
	ends := [2]paper.Point{f.on(r.Path[0].R3()), f.on(r.Path[len(r.Path)-1].R3())}
	for _, s := range f.stretches(r.Path, r.Closed, j.stack(j.flange(r.Flange).Panels)) {
		if len(s.points) < 2 {
			continue
		}
		part := seamPart{stretch: s, first: s.points[0] == ends[0]}
		part.last = !r.Closed && s.points[len(s.points)-1] == ends[1]
		if aside != 0 {
			part.points = moved(s.points, aside)
		}
		out = append(out, part)
	}
	return out
}

// spotsOn reports whether welds lie on a roller seam on paper.
func (j *job) spotsOn(f *figure, r layout.Seam) bool {
	for _, w := range j.welds {
		if w.Flange != r.Flange {
			continue
		}
		at := f.on(w.Position.R3())
		for i := 1; i < len(r.Path); i++ {
			if label.FromSegment(at, f.on(r.Path[i-1].R3()), f.on(r.Path[i].R3())) < weldRadius+1 {
				return true
			}
		}
	}
	return false
}

// outward is the side of a path, 1 or -1 for right or left on paper, that looks away from the picture's middle.
func (f *figure) outward(r layout.Seam) float64 {
	middle := f.flat(f.window.Center())
	sum := 0.0
	for i := 1; i < len(r.Path); i++ {
		a, b := f.on(r.Path[i-1].R3()), f.on(r.Path[i].R3())
		d, out := b.Sub(a), a.Sub(middle)
		sum += float64(-d.Y*out.X) + float64(d.X*out.Y) // the normal to the right of d on paper, y down, along the way out
	}
	if sum < 0 {
		return -1
	}
	return 1
}

// moved gives points to the right of a line by some distance, or to the left if it is negative. Directions are
// taken over a few millimetres, so that short steps do not make it jagged.
func moved(points []paper.Point, by float64) []paper.Point {
	out := make([]paper.Point, 0, len(points))
	for i, p := range points {
		a, b := i, i
		for a > 0 && points[a].Sub(p).Norm() < 1.5 {
			a--
		}
		for b < len(points)-1 && points[b].Sub(p).Norm() < 1.5 {
			b++
		}
		d := points[b].Sub(points[a])
		if d.Norm() < 1e-9 {
			continue
		}
		out = append(out, p.Add(paper.Point{X: -d.Y, Y: d.X}.Mul(by/d.Norm())))
	}
	return out
}

// tickLine ticks a line evenly and sets an arrow head, which labels keep clear of, on every twelfth place.
func tickLine(l, heads *paper.Layer, lab *placing, points []paper.Point) {
	const every, half = 2.5, 0.7
	travelled, next, n := 0.0, every/2, 0
	for i := 1; i < len(points); i++ {
		d := points[i].Sub(points[i-1])
		long := d.Norm()
		if long == 0 {
			continue
		}
		dir := d.Mul(1 / long)
		for ; next <= travelled+long; next += every {
			at := points[i-1].Add(dir.Mul(next - travelled))
			if n%12 == 4 {
				arrow(heads, at.Add(dir.Mul(1.2)), dir, 2.4)
				lab.Mark(at, 1.3)
			} else {
				side := paper.Point{X: -dir.Y, Y: dir.X}.Mul(half)
				l.Line(at.Sub(side), at.Add(side))
			}
			n++
		}
		travelled += long
	}
}
