package flange

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"
)

// patchWidth is the mean width from which a contact is a broad one rather than a strip, mm (common
// practice, no source: spot flanges are 10 to 30 mm wide).
const patchWidth = 60.

// flange makes the result from the sections across a strip.
func (f *finder) flange(r *region, sections []section, closed bool) (Flange, bool) {
	if len(sections) < 2 {
		return Flange{}, false
	}
	fl := Flange{Sheets: r.stack.sheets(), Closed: closed}
	gapLimit := f.opt.GapLimit
	if !f.thicknessKnown(fl.Sheets) {
		gapLimit = math.Inf(1) // what is measured is not air alone
	}
	if !closed {
		sections = f.trimEnds(r, sections, gapLimit)
	}
	s := 0.0
	for i, sec := range sections {
		if i > 0 {
			s += sec.at.point.Sub(sections[i-1].at.point).Norm()
		}
		fl.Line = append(fl.Line, f.station(r, sec, s))
	}
	fl.Length = sectionsLength(sections, closed)
	fl.measure(gapLimit)
	if fl.Length < f.opt.LeastLength || fl.Width.Mean < f.opt.LeastWidth || fl.Width.Mean > 1.5*fl.Length && !closed {
		return fl, false
	}
	fl.Patch = fl.Width.Mean > patchWidth
	return fl, true
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
	open := func(s section) bool {
		v := f.classify(r.host, s.at.point, s.normal)
		return v.stack == r.stack && v.gap > gapLimit
	}
	parts := func(s section, dir r3.Vector) bool {
		t := r.trace(s.at, s.across, dir, widestTrace)
		if !t.ok {
			return false
		}
		why := f.edgeEnd(r, t.edge[0], t.edge[1]).why
		return why == GapOpens || why == StackEnds
	}
	from, to := 0, len(sections)
	if to > 3 && parts(sections[1], sections[1].along.Mul(-1)) {
		for from+2 < to && open(sections[from+1]) {
			from++
		}
	}
	if to > 3 && parts(sections[to-2], sections[to-2].along) {
		for from+2 < to && open(sections[to-2]) {
			to--
		}
	}
	if from > 0 {
		from++ // the last open station, and the first, whose gap is asked for beyond the border, go too
	}
	if to < len(sections) {
		to--
	}
	return sections[from:to]
}

// station asks once more what lies at the section's place, and moves from the host's mesh to the faying position.
func (f *finder) station(r *region, sec section, s float64) Station {
	st := Station{S: s, Along: sec.along, Axis: sec.normal, Left: sec.left.length, Right: sec.right.length}
	left, right := f.ends(r, sec.left), f.ends(r, sec.right)
	v := f.classify(r.host, sec.at.point, sec.normal)
	if v.stack != r.stack {
		v = f.classify(r.host, sec.at.point.Add(inward(sec)), sec.normal)
	}
	st.Point = sec.at.point.Add(sec.normal.Mul(v.offset))
	st.Gap, st.Offset = v.gap, v.offset
	if v.reversed {
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

// inward is a small step from the border at a strip's end into the strip.
func inward(sec section) r3.Vector {
	const step = 0.02
	if sec.left.length > 0 && sec.left.length < sec.right.length {
		return sec.across.Mul(-step)
	}
	return sec.across.Mul(step)
}

func (f *finder) ends(r *region, t trace) border {
	if !t.ok {
		return border{whose: -1}
	}
	b := f.edgeEnd(r, t.edge[0], t.edge[1])
	if b.why != FreeEdge {
		b.whose = -1
	}
	return b
}

// measure sums up the stations.
func (fl *Flange) measure(gapLimit float64) {
	fl.Width = Range{Least: math.Inf(1), Greatest: math.Inf(-1)}
	fl.Gap = fl.Width
	for _, s := range fl.Line {
		fl.Width.take(s.Left + s.Right)
		fl.Gap.take(s.Gap)
	}
	fl.Width.Mean /= float64(len(fl.Line))
	fl.Gap.Mean /= float64(len(fl.Line))
	for _, s := range fl.Line {
		if s.Gap <= gapLimit {
			continue
		}
		if n := len(fl.Open); n > 0 && s.S-fl.Open[n-1].To < 10 {
			fl.Open[n-1].To = s.S
			fl.Open[n-1].Gap = math.Max(fl.Open[n-1].Gap, s.Gap)
		} else {
			fl.Open = append(fl.Open, OpenFit{From: s.S, To: s.S, Gap: s.Gap})
		}
	}
}

func (r *Range) take(x float64) {
	r.Least, r.Greatest, r.Mean = math.Min(r.Least, x), math.Max(r.Greatest, x), r.Mean+x
}

// collect puts the hosts' findings into one fixed order and numbers them.
func collect(parts []Found) *Found {
	all := &Found{}
	for _, p := range parts {
		all.Flanges = append(all.Flanges, p.Flanges...)
		all.Near = append(all.Near, p.Near...)
	}
	slices.SortStableFunc(all.Flanges, func(a, b Flange) int {
		p, q := a.Line[0].Point, b.Line[0].Point
		return cmp.Or(slices.Compare(a.Sheets, b.Sheets), cmp.Compare(p.X, q.X), cmp.Compare(p.Y, q.Y), cmp.Compare(p.Z, q.Z))
	})
	for i := range all.Flanges {
		all.Flanges[i].ID = fmt.Sprintf("f%d", i+1)
	}
	return all
}
