package flange

import (
	"cmp"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/centreline"
	"seamwright/geometry/contact"
	"seamwright/geometry/curve"
	"seamwright/geometry/kit"
	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
)

// sideGap is the air at a side of a strip.
type sideGap struct {
	gap   float64
	place r3.Vector
}

const (
	justInside = 0.02 // of a side's length from its end, where the air at the side is asked for
	nearLimit  = 0.9  // of the greatest gap that is taken: a strip that ends at more is cut off by it
)

// atSides is the air at both sides of every section. A side that is no free edge is asked only where there are open places:
// otherwise the sheets part there for good.
func (f *onHost) atSides(r *contact.Lap, sections []centreline.Section) [][2]sideGap {
	if r.Stack.N < 2 {
		return nil
	}
	out := make([][2]sideGap, len(sections))
	for i := range sections {
		for k, t := range [2]*region.Trace{&sections[i].Left, &sections[i].Right} {
			if !t.Ok || len(t.Path) < 2 || !f.AnyOpen() && r.End(t.Edge[0], t.Edge[1]).Why != FreeEdge {
				continue
			}
			at := t.Along(t.Length * (1 - justInside))
			n := r.NormalAt(at)
			if v := f.Classify(at.Point, n); v.Stack == r.Stack {
				out[i][k] = sideGap{v.Gap, at.Point.Add(n.Mul(v.Offset))}
			}
		}
	}
	return out
}

// cuts are the ends of a line at which its sheets go on facing each other, too far apart.
func (f *onHost) cuts(r *contact.Lap, sections []centreline.Section, fl *Flange) []Cut {
	if fl.Closed || r.Stack.N != 2 || len(sections) < 4 {
		return nil
	}
	a, b := int(r.Stack.S[0]), int(r.Stack.S[1])
	limit, known := f.ClosedGap(a, b), f.ThicknessKnown([]int{a, b})
	if !known {
		limit = f.MostGap(a, b, f.Metal(a, b))
	}
	var out []Cut
	last := len(sections) - 1
	for _, end := range [2]struct {
		at, inside int
		dir        r3.Vector
	}{{0, 1, sections[1].Along.Mul(-1)}, {last, last - 1, sections[last-1].Along}} {
		if fl.Line[end.inside].Gap >= nearLimit*limit && f.endAhead(r, sections[end.inside], end.dir) == GapOpens {
			out = append(out, Cut{S: fl.Line[end.at].S, Gap: limit, Place: fl.Line[end.at].Point})
		}
	}
	return out
}

// patchWidth is the mean width from which a contact is a broad one rather than a strip, mm (common
// practice, no source: spot flanges are 10 to 30 mm wide).
const patchWidth = 60.

// flange makes the result from the sections across a strip, and says which of them it keeps.
func (f *onHost) flange(r *contact.Lap, sections []centreline.Section, closed bool) (Flange, []centreline.Section, bool) {
	if len(sections) < 2 {
		return Flange{}, nil, false
	}
	fl := Flange{Sheets: r.Stack.Sheets(), Closed: closed}
	gapLimit := f.opt.GapLimit
	if !f.ThicknessKnown(fl.Sheets) {
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
		offset += verdicts[i].Offset / float64(len(sections))
	}
	fl.Beside = f.beside(r, sections, reversed)
	fl.measureLine()
	fl.Turn = turnOf(sections)
	fl.Cuts = f.cuts(r, sections, &fl)
	fl.Area = sectionsLength(sections, closed) / whole * r.Stretch(offset)
	fl.measure(gapLimit, f.atSides(r, sections), f.onScan(fl.Sheets))
	if fl.Length < f.leastLength(r)-region.OnEdge || fl.Width.Mean < f.opt.LeastWidth-region.OnEdge || fl.isAcross() {
		return fl, nil, false
	}
	f.sides(&fl, r, verdicts)
	fl.Patch, fl.Hem = fl.Width.Mean > patchWidth, f.isHem(fl.Sheets)
	return fl, sections, true
}

// isAcross says whether a line runs across its strip rather than along it.
func (fl *Flange) isAcross() bool { return fl.Width.Mean > 1.5*fl.Length && !fl.Closed }

// sides says how sure it is on which side of skins the metal of a flange lies: as at the least sure of its points.
func (f *onHost) sides(fl *Flange, r *contact.Lap, verdicts []stackup.Verdict) {
	fl.GapMay = [2]float64{fl.Gap.Mean, fl.Gap.Mean}
	for _, v := range verdicts {
		for _, at := range v.Joints {
			if v.Stack != r.Stack || at == 0 {
				continue
			}
			sides, may := f.JointOf(at)
			if sides == SidesGuessed || sides == SidesByNormals && fl.Sides == SidesKnown {
				fl.Sides = sides
			}
			if sides != SidesKnown {
				fl.GapMay[0] = min(fl.GapMay[0], fl.Gap.Mean+may[0])
				fl.GapMay[1] = max(fl.GapMay[1], fl.Gap.Mean+may[1])
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

// verdicts asks once more what lies at every section's place. A place on the very border, where the answer is
// another stack, takes the answer of the nearest section that lies within. Whether the stack's order runs
// against the normals is decided for all alike.
func (f *onHost) verdicts(r *contact.Lap, sections []centreline.Section) (out []stackup.Verdict, reversed bool) {
	out = make([]stackup.Verdict, len(sections))
	against := 0
	for i, sec := range sections {
		out[i] = f.Classify(sec.At.Point, sec.Normal)
		if out[i].Stack == r.Stack && out[i].Reversed {
			against++
		} else if out[i].Stack == r.Stack {
			against--
		}
	}
	for i := range out {
		if out[i].Stack == r.Stack {
			continue
		}
		for d := 1; d < len(out); d++ {
			if k := i - d; k >= 0 && out[k].Stack == r.Stack {
				out[i] = out[k]
				break
			}
			if k := i + d; k < len(out) && out[k].Stack == r.Stack {
				out[i] = out[k]
				break
			}
		}
	}
	return out, against > 0
}

// turnOf is by how much a strip turns across in the middle of its sections, in the order of how much.
func turnOf(sections []centreline.Section) float64 {
	turns := make([]float64, len(sections))
	for i := range sections {
		turns[i] = sections[i].Turn()
	}
	slices.Sort(turns)
	return turns[len(turns)/2]
}

func sectionsLength(sections []centreline.Section, closed bool) float64 {
	sum := 0.0
	for i, s := range sections {
		if i > 0 || closed {
			sum += s.At.Point.Sub(sections[(i+len(sections)-1)%len(sections)].At.Point).Norm()
		}
	}
	return sum
}

// trimEnds takes off the ends of a line where the sheets part for good: a strip runs as far as the fit-up is
// good, and what lies beyond is not an open place of the flange but its end.
func (f *onHost) trimEnds(r *contact.Lap, sections []centreline.Section, gapLimit float64) []centreline.Section {
	gap := func(s centreline.Section) float64 {
		if v := f.Classify(s.At.Point, s.Normal); v.Stack == r.Stack {
			return v.Gap
		}
		return math.NaN()
	}
	open := func(s centreline.Section) bool { return gap(s) > gapLimit+kit.Rounding } // coordinates as written may be off by that
	parts := func(s centreline.Section, dir r3.Vector) bool {
		why := f.endAhead(r, s, dir)
		return why == GapOpens || why == StackEnds
	}
	from, to := 0, len(sections)
	if to > 3 && parts(sections[1], sections[1].Along.Mul(-1)) {
		for from+2 < to && open(sections[from+1]) {
			from++
		}
		if f.canBeClosed(gap(sections[1])-gapLimit, sectionsLength(sections[1:from+1], false)) {
			from = 0
		}
	}
	if to > 3 && parts(sections[to-2], sections[to-2].Along) {
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
func (f *onHost) linePoint(r *contact.Lap, sec centreline.Section, v stackup.Verdict, reversed bool) LinePoint {
	st := LinePoint{Along: sec.Along, Axis: sec.Normal, Gap: v.Gap, Offset: v.Offset}
	closed := v.Offset // when clamps have drawn the sheets together
	if f.AnyOpen() && v.Gap > f.opt.GapLimit {
		closed -= math.Copysign(v.Gap/2, v.Offset)
	}
	st.Left, st.Right = r.LengthAt(sec.Left, closed), r.LengthAt(sec.Right, closed)
	left, right := f.ends(r, sec.Left), f.ends(r, sec.Right)
	st.Point = sec.At.Point.Add(sec.Normal.Mul(v.Offset))
	if reversed {
		st.Offset = -v.Offset
		st.Axis = st.Axis.Mul(-1)
		st.Left, st.Right = st.Right, st.Left
		left, right = right, left
	}
	st.Across = st.Axis.Cross(st.Along)
	st.LeftEdge, st.LeftSheet = left.Why, left.Whose
	st.RightEdge, st.RightSheet = right.Why, right.Whose
	return st
}

func (f *onHost) ends(r *contact.Lap, t region.Trace) region.Border {
	if !t.Ok {
		return region.Border{Whose: -1}
	}
	b := r.End(t.Edge[0], t.Edge[1])
	if t.Bent && b.Why != FreeEdge {
		b.Why = Bend
	}
	if b.Why != FreeEdge {
		b.Whose = -1
	}
	return b
}

// besideAsked is the points at which it is asked which edges run along a side.
const besideAsked = 12

// beside lists for the left side and the right one the sheets of the stack, but for the one that the points name, whose
// free edges run along most of it.
func (f *onHost) beside(r *contact.Lap, sections []centreline.Section, reversed bool) (out [2][]int) {
	for k := range out {
		counts, asked := [region.MostLayers]int{}, 0
		for i := 0; i < len(sections); i += max(1, len(sections)/besideAsked) {
			t := sections[i].Left
			if (k == 1) != reversed {
				t = sections[i].Right
			}
			end := f.ends(r, t)
			if asked++; end.Why != FreeEdge {
				continue
			}
			p := t.Path[len(t.Path)-1].Point
			for j, sheet := range r.Stack.S[:r.Stack.N] {
				if int(sheet) != end.Whose && f.Panels[sheet].EndsNear(p, f.Reach(f.Index, int(sheet)), r.NormalAt(t.Path[len(t.Path)-1]), f.CosLimit) {
					counts[j]++
				}
			}
		}
		for j, n := range counts {
			if 2*n > asked && !slices.Contains(out[k], int(r.Stack.S[j])) {
				out[k] = append(out[k], int(r.Stack.S[j]))
			}
		}
	}
	return out
}

// lastingStretch is the length in mm over which a width or a gap of a noisy scan must hold to be its least or greatest.
const lastingStretch = 3

// measure sums up the points. On noisy scans, what does not last counts in the means alone.
func (fl *Flange) measure(gapLimit float64, sides [][2]sideGap, noisy bool) {
	at, widths, gaps := make([]float64, len(fl.Line)), make([]float64, len(fl.Line)), make([]float64, len(fl.Line))
	for i, s := range fl.Line {
		at[i], widths[i], gaps[i] = s.S, s.Left+s.Right, s.Gap
	}
	fl.Width, fl.Gap = rangeOf(widths), rangeOf(gaps)
	if noisy {
		lasting := func(x []float64) []float64 { return curve.Lasting(at, x, fl.Length, lastingStretch, fl.Closed) }
		dips := func(x []float64) []float64 { return kit.Negative(lasting(kit.Negative(x))) }
		fl.Width.Least, fl.Width.Greatest = slices.Min(dips(widths)), slices.Max(lasting(widths))
		fl.Gap.Least = slices.Min(dips(gaps))
		gaps = lasting(gaps)
		fl.Gap.Greatest = slices.Max(gaps)
	}
	for i, s := range fl.Line {
		var beside sideGap
		if sides != nil {
			beside = sides[i][0]
			if sides[i][1].gap > beside.gap {
				beside = sides[i][1]
			}
		}
		gap := gaps[i]
		if !(max(gap, beside.gap) > gapLimit+kit.Rounding) {
			continue
		}
		n := len(fl.Open)
		if n == 0 || s.S-fl.Open[n-1].To >= oneOpening {
			fl.Open = append(fl.Open, OpenFit{From: s.S, Gap: math.Inf(-1)})
			n++
		}
		o := &fl.Open[n-1]
		if o.To = s.S; gap > o.Gap {
			o.Gap, o.Place = gap, s.Point
		}
		if beside.gap > o.Beside && beside.gap > gap+kit.Rounding {
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

func rangeOf(x []float64) Range {
	r := Range{Least: math.Inf(1), Greatest: math.Inf(-1)}
	for _, v := range x {
		r.Least, r.Greatest, r.Mean = math.Min(r.Least, v), math.Max(r.Greatest, v), r.Mean+v
	}
	r.Mean /= float64(len(x))
	return r
}

// onScan says whether one of some sheets is a noisy scan.
func (f *onHost) onScan(sheets []int) bool {
	return slices.ContainsFunc(sheets, func(s int) bool { return f.Panels[s].Whole.Scan })
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
