package flange

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/near"
)

// patchWidth is the mean width from which a contact is a broad one rather than a strip, mm (common
// practice, no source: spot flanges are 10 to 30 mm wide).
const patchWidth = 60.

// flange makes the result from the sections across a strip, and says which of them it keeps.
func (f *finder) flange(r *region, sections []section, closed bool) (Flange, []section, bool) {
	if len(sections) < 2 {
		return Flange{}, nil, false
	}
	fl := Flange{Sheets: r.stack.sheets(), Closed: closed}
	gapLimit := f.opt.GapLimit
	if !f.thicknessKnown(fl.Sheets) {
		gapLimit = math.Inf(1) // what is measured is not air alone
	}
	whole := sectionsLength(sections, closed)
	if !closed {
		sections = f.trimEnds(r, sections, gapLimit)
	}
	verdicts, reversed := f.verdicts(r, sections)
	offset := 0.0
	for i, sec := range sections {
		fl.Line = append(fl.Line, f.linePoint(r, sec, verdicts[i], reversed))
		offset += verdicts[i].offset / float64(len(sections))
	}
	fl.Beside = f.beside(r, sections, reversed)
	fl.measureLine()
	fl.Cuts = f.cuts(r, sections, &fl)
	fl.Area = sectionsLength(sections, closed) / whole * r.stretch(offset)
	fl.measure(gapLimit, f.atSides(r, sections))
	if fl.Length < f.leastLength(r)-onEdge || fl.Width.Mean < f.opt.LeastWidth-onEdge || fl.Width.Mean > 1.5*fl.Length && !closed {
		return fl, nil, false
	}
	f.sides(&fl, r, verdicts)
	fl.Patch, fl.Hem = fl.Width.Mean > patchWidth, f.isHem(fl.Sheets)
	return fl, sections, true
}

// sides says how sure it is on which side of skins the metal of a flange lies: as at the least sure of its points.
func (f *finder) sides(fl *Flange, r *region, verdicts []verdict) {
	fl.GapMay = [2]float64{fl.Gap.Mean, fl.Gap.Mean}
	if f.skins == nil {
		return
	}
	for _, v := range verdicts {
		for _, at := range v.joints {
			if v.stack != r.stack || at == 0 {
				continue
			}
			j := f.skins.joints[at-1]
			if j.sides == SidesGuessed || j.sides == SidesByNormals && fl.Sides == SidesKnown {
				fl.Sides = j.sides
			}
			if j.sides != SidesKnown {
				fl.GapMay[0] = min(fl.GapMay[0], fl.Gap.Mean+j.may[0])
				fl.GapMay[1] = max(fl.GapMay[1], fl.Gap.Mean+j.may[1])
			}
		}
	}
}

// measureLine sets how far along the line its points are, and its length.
func (fl *Flange) measureLine() {
	s := 0.0
	for i := range fl.Line {
		if i > 0 {
			s += fl.Line[i].Point.Sub(fl.Line[i-1].Point).Norm()
		}
		fl.Line[i].S = s
	}
	if fl.Closed {
		s += fl.Line[0].Point.Sub(fl.Line[len(fl.Line)-1].Point).Norm()
	}
	fl.Length = s
}

// stretch is the area of the region moved out along its normals, as a part of its own.
func (r *region) stretch(offset float64) float64 {
	sum, own := 0.0, 0.0
	at := func(v int32) r3.Vector { return r.mesh.Vertices[v].Add(r.normals[v].Mul(offset)) }
	for t, tri := range r.mesh.Triangles {
		if r.filled[t] {
			continue
		}
		a, b, c := r.mesh.Corners(t)
		own += b.Sub(a).Cross(c.Sub(a)).Norm()
		a, b, c = at(tri[0]), at(tri[1]), at(tri[2])
		sum += b.Sub(a).Cross(c.Sub(a)).Norm()
	}
	if !(own > 0) {
		return 1
	}
	return sum / own
}

// verdicts asks once more what lies at every section's place. A place on the very border, where the answer is
// another stack, takes the answer of the nearest section that lies within. Whether the stack's order runs
// against the normals is decided for all alike.
func (f *finder) verdicts(r *region, sections []section) (out []verdict, reversed bool) {
	out = make([]verdict, len(sections))
	against := 0
	for i, sec := range sections {
		out[i] = f.classify(r.host, sec.at.point, sec.normal)
		if out[i].stack == r.stack && out[i].reversed {
			against++
		} else if out[i].stack == r.stack {
			against--
		}
	}
	for i := range out {
		if out[i].stack == r.stack {
			continue
		}
		for d := 1; d < len(out); d++ {
			if k := i - d; k >= 0 && out[k].stack == r.stack && k < i {
				out[i] = out[k]
				break
			}
			if k := i + d; k < len(out) && out[k].stack == r.stack {
				out[i] = out[k]
				break
			}
		}
	}
	return out, against > 0
}

func (f *finder) thicknessKnown(sheets []int) bool {
	for _, s := range sheets {
		if f.panels[s].Thickness == 0 {
			return false
		}
	}
	return true
}

func sectionsLength(sections []section, closed bool) float64 {
	sum := 0.0
	for i, s := range sections {
		if i > 0 || closed {
			sum += s.at.point.Sub(sections[(i+len(sections)-1)%len(sections)].at.point).Norm()
		}
	}
	return sum
}

// trimEnds takes off the ends of a line where the sheets part for good: a strip runs as far as the fit-up is
// good, and what lies beyond is not an open place of the flange but its end.
func (f *finder) trimEnds(r *region, sections []section, gapLimit float64) []section {
	gap := func(s section) float64 {
		if v := f.classify(r.host, s.at.point, s.normal); v.stack == r.stack {
			return v.gap
		}
		return math.NaN()
	}
	open := func(s section) bool { return gap(s) > gapLimit }
	parts := func(s section, dir r3.Vector) bool {
		why := f.endAhead(r, s, dir)
		return why == GapOpens || why == StackEnds
	}
	from, to := 0, len(sections)
	if to > 3 && parts(sections[1], sections[1].along.Mul(-1)) {
		for from+2 < to && open(sections[from+1]) {
			from++
		}
		if f.canBeClosed(gap(sections[1])-gapLimit, sectionsLength(sections[1:from+1], false)) {
			from = 0
		}
	}
	if to > 3 && parts(sections[to-2], sections[to-2].along) {
		last := to
		for from+2 < to && open(sections[to-2]) {
			to--
		}
		if f.canBeClosed(gap(sections[last-2])-gapLimit, sectionsLength(sections[to-1:last-1], false)) {
			to = last
		}
	}
	if from > 0 {
		from++ // the last open point, and the first, whose gap is asked for beyond the border, go too
	}
	if to < len(sections) {
		to--
	}
	return sections[from:to]
}

// linePoint moves from the host's mesh to the faying position.
func (f *finder) linePoint(r *region, sec section, v verdict, reversed bool) LinePoint {
	st := LinePoint{Along: sec.along, Axis: sec.normal, Gap: v.gap, Offset: v.offset}
	closed := v.offset // when clamps have drawn the sheets together
	if f.open != nil && v.gap > f.opt.GapLimit {
		closed -= math.Copysign(v.gap/2, v.offset)
	}
	st.Left, st.Right = r.lengthAt(sec.left, closed), r.lengthAt(sec.right, closed)
	left, right := f.ends(r, sec.left), f.ends(r, sec.right)
	st.Point = sec.at.point.Add(sec.normal.Mul(v.offset))
	if reversed {
		st.Offset = -v.offset
		st.Axis = st.Axis.Mul(-1)
		st.Left, st.Right = st.Right, st.Left
		left, right = right, left
	}
	st.Across = st.Axis.Cross(st.Along)
	st.LeftEdge, st.LeftSheet = left.why, left.whose
	st.RightEdge, st.RightSheet = right.why, right.whose
	return st
}

// lengthAt is the length of a trace moved out along the normals: on a curved flange the faying surface is
// wider or narrower than the mesh.
func (r *region) lengthAt(t trace, offset float64) float64 {
	if len(t.path) < 2 || offset == 0 {
		return t.length
	}
	sum, own := 0.0, 0.0
	for i := 1; i < len(t.path); i++ {
		a, b := t.path[i-1], t.path[i]
		step := b.point.Sub(a.point)
		if t.bent && own > 0 && own+step.Norm() > t.length/2 {
			break // towards the bend the smooth normals turn
		}
		out := step.Add(r.normalAt(place{b.point, a.tri}).Sub(r.normalAt(a)).Mul(offset))
		own += step.Norm()
		sum += math.Max(0, out.Dot(step)/math.Max(step.Norm(), 1e-12))
	}
	if own < 1e-9 {
		return t.length
	}
	return t.length * sum / own // a section cut off by the strip's end has another's length
}

func (f *finder) ends(r *region, t trace) border {
	if !t.ok {
		return border{whose: -1}
	}
	b := f.edgeEnd(r, t.edge[0], t.edge[1])
	if t.bent && b.why != FreeEdge {
		b.why = Bend
	}
	if b.why != FreeEdge {
		b.whose = -1
	}
	return b
}

const (
	besideAsked = 12   // points at which it is asked which edges run along a side
	sameEdge    = 0.05 // mm between free edges that end a strip together
)

// beside lists for the left side and the right one the sheets of the stack, but for the one that the points name, whose
// free edges run along most of it.
func (f *finder) beside(r *region, sections []section, reversed bool) (out [2][]int) {
	for k := range out {
		counts, asked := [maxStack]int{}, 0
		for i := 0; i < len(sections); i += max(1, len(sections)/besideAsked) {
			t := sections[i].left
			if (k == 1) != reversed {
				t = sections[i].right
			}
			end := f.ends(r, t)
			if asked++; end.why != FreeEdge {
				continue
			}
			p := t.path[len(t.path)-1].point
			for j, sheet := range r.stack.s[:r.stack.n] {
				if int(sheet) != end.whose && f.panels[sheet].endsNear(p, f.reach(r.host, int(sheet)), r.normalAt(t.path[len(t.path)-1]), f.cosLimit) {
					counts[j]++
				}
			}
		}
		for j, n := range counts {
			if 2*n > asked && !slices.Contains(out[k], int(r.stack.s[j])) {
				out[k] = append(out[k], int(r.stack.s[j]))
			}
		}
	}
	return out
}

// endsNear says whether a free edge of the sheet passes over or under a place of a surface with normal n.
func (p *panel) endsNear(at r3.Vector, reach float64, n r3.Vector, cosLimit float64) bool {
	hit, ok := p.parallelTo(n, at, reach, cosLimit)
	if !ok {
		return false
	}
	foot := hit.Point
	if d := foot.Sub(at); d.Sub(n.Mul(d.Dot(n))).Norm() > sameEdge {
		return false
	}
	tri := p.Mesh.Triangles[hit.Tri]
	for k, v := range tri {
		if p.ends(hit.Tri, k) == FreeEdge && near.ToSegment(foot, p.Mesh.Vertices[v], p.Mesh.Vertices[tri[(k+1)%3]]) <= sameEdge {
			return true
		}
	}
	return false
}

// measure sums up the points.
func (fl *Flange) measure(gapLimit float64, sides [][2]sideGap) {
	fl.Width = Range{Least: math.Inf(1), Greatest: math.Inf(-1)}
	fl.Gap = fl.Width
	for _, s := range fl.Line {
		fl.Width.take(s.Left + s.Right)
		fl.Gap.take(s.Gap)
	}
	fl.Width.Mean /= float64(len(fl.Line))
	fl.Gap.Mean /= float64(len(fl.Line))
	for i, s := range fl.Line {
		var beside sideGap
		if sides != nil {
			beside = sides[i][0]
			if sides[i][1].gap > beside.gap {
				beside = sides[i][1]
			}
		}
		if !(max(s.Gap, beside.gap) > gapLimit) {
			continue
		}
		n := len(fl.Open)
		if n == 0 || s.S-fl.Open[n-1].To >= oneOpening {
			fl.Open = append(fl.Open, OpenFit{From: s.S, Gap: math.Inf(-1)})
			n++
		}
		o := &fl.Open[n-1]
		if o.To = s.S; s.Gap > o.Gap {
			o.Gap, o.Place = s.Gap, s.Point
		}
		if beside.gap > o.Beside && beside.gap > s.Gap+rounding {
			o.Beside, o.At = beside.gap, beside.place
		}
	}
	for i := range fl.Open {
		if o := &fl.Open[i]; o.Beside <= o.Gap {
			o.Beside, o.At = 0, r3.Vector{}
		}
	}
}

// oneOpening is how far apart open stations may be and still make one open stretch, mm.
const oneOpening = 10

func (r *Range) take(x float64) {
	r.Least, r.Greatest, r.Mean = math.Min(r.Least, x), math.Max(r.Greatest, x), r.Mean+x
}

// withoutJoined leaves out the sheets that have a flange: they are not too far apart for one.
func withoutJoined(near []Near, flanges []Flange) []Near {
	return slices.DeleteFunc(near, func(n Near) bool {
		return slices.ContainsFunc(flanges, func(fl Flange) bool {
			return slices.Contains(fl.Sheets, n.Sheets[0]) && slices.Contains(fl.Sheets, n.Sheets[1])
		})
	})
}

// collect puts the hosts' findings into one fixed order and numbers them.
func collect(parts []Found) *Found {
	all := &Found{}
	for _, p := range parts {
		all.Flanges = append(all.Flanges, p.Flanges...)
		all.Near = append(all.Near, p.Near...)
		all.Small = append(all.Small, p.Small...)
	}
	all.Flanges = withoutHemSides(all.Flanges)
	all.Near = withoutJoined(all.Near, all.Flanges)
	all.Small = apartFromFlanges(all.Small, all.Flanges)
	slices.SortStableFunc(all.Flanges, func(a, b Flange) int {
		p, q := a.Line[0].Point, b.Line[0].Point
		return cmp.Or(slices.Compare(a.Sheets, b.Sheets), cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y), cmp.Compare(p.Z, q.Z))
	})
	slices.SortStableFunc(all.Near, func(a, b Near) int { return slices.Compare(a.Sheets[:], b.Sheets[:]) })
	for i := range all.Flanges {
		all.Flanges[i].ID = fmt.Sprintf("f%d", i+1)
	}
	return all
}
