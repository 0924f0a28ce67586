// Package unjoined says what is not joined, or cannot be, before a weld is laid out: panels that touch nothing, that run into
// each other, or that are not what they are said to be.
//
//	findings, err := unjoined.Judge(ctx, panels, found, nil, finding.By(book))
//
// Millimetres in the shell's frame.
package unjoined

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/geometry/near"
	"seamwright/geometry/solid"
	"seamwright/geometry/space"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/seams/rule"
)

// Panel is what is known of one panel. Sheet.Surface is empty and Sheet.Thickness zero where nobody said.
type Panel struct {
	ID     string
	Sheet  flange.Sheet
	Shape  *near.Shape // of Sheet.Mesh
	Origin r3.Vector   // where the origin of its file lies: another unit grows it from there
	Unit   space.Unit  // that its file was read in
}

// How far sheets may run into each other before it is said, mm; chosen: what unlike meshes of one bend differ by.
const (
	intoSolid = 0.05
	intoMid   = 0.15
)

// leastStretch is the least length in mm along a weld line over which sheets run into each other for it to be said, and
// leastArea the least area in mm²: those of the least flange.
const (
	leastStretch = 12.0
	leastArea    = 48.0
)

// Judge is what the panels and the flanges found between them give cause to say, in the panels' order. Joined lists panels
// that belong together without a flange that was found, such as those of a drawn weld line.
func Judge(ctx context.Context, panels []Panel, found *flange.Found, joined [][]int, by finding.Maker) ([]layout.Finding, error) {
	j := &judge{ctx: ctx, panels: panels, found: found, by: by}
	if !j.whole() {
		j.sizes()
	}
	for i := range panels {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		j.mesh(i)
	}
	j.pieces(joined)
	j.into()
	j.sides()
	j.parting()
	j.turns()
	j.scans()
	for _, c := range found.Small {
		j.add(rule.Problem{Rule: "fit.small", Value: c.Length}, c.Sheets, c.Place, fmt.Sprintf("%s lie on each other over %.1f x %.1f mm: %s",
			j.names(c.Sheets), c.Length, c.Width, c.Why))
	}
	for _, n := range found.Near {
		if n.Into == 0 {
			j.add(rule.Problem{Rule: "fit.apart", Value: n.Distance}, n.Sheets[:], n.Place,
				fmt.Sprintf("%s face each other %.2f mm apart: too far for a flange", j.names(n.Sheets[:]), n.Distance))
		}
	}
	return j.out, ctx.Err()
}

// Scans is what Judge says of noisy scans alone: for the candidates of a panel that is looked at by itself.
func Scans(panels []Panel, found *flange.Found, by finding.Maker) []layout.Finding {
	j := &judge{panels: panels, found: found, by: by}
	j.scans()
	return j.out
}

// sides names the flanges of skins whose gap hangs on which side the metal lies, unless that is known.
func (j *judge) sides() {
	for _, f := range j.found.Flanges {
		if f.Sides == flange.SidesKnown {
			continue
		}
		how := "is not known"
		if f.Sides == flange.SidesByNormals {
			how = "was told by the facets' normals"
		}
		j.add(rule.Problem{Rule: "fit.side", Value: f.GapMay[1]}, f.Sheets, f.Line[0].Point, fmt.Sprintf(
			"%s: on which side the metal lies %s: the air between them, taken as %.2f mm, may be %.2f to %.2f", j.names(f.Sheets), how, f.Gap.Mean,
			f.GapMay[0], f.GapMay[1]))
	}
}

// scans says what was done to noisy scans before anything was asked of them.
func (j *judge) scans() {
	for _, s := range j.found.Scans {
		where := fmt.Sprintf("panel %s is a noisy scan with facets of about %.2f mm: waves shorter than %.1f mm were taken off, which moved its "+
			"corners by %.3f mm in the middle and %.2f at most; least and greatest width and air of its flanges are those that last for 3 mm",
			j.panels[s.Sheet].ID, s.Facet, s.Wave, s.Usual, s.Most)
		at := s.Fairing.Place
		if s.Holes > 0 {
			where += fmt.Sprintf("; %d openings up to %.1f mm across were closed as holes of the scan", s.Holes, s.Widest)
			at = s.HoleAt
		}
		if s.Specks > 0 {
			where += fmt.Sprintf("; %d specks beside it, of %.1f mm² together, were left out", s.Specks, s.SpeckArea)
			at = s.SpeckAt
		}
		j.add(rule.Problem{Rule: "panel.scan", Value: s.Most}, []int{s.Sheet}, at, where)
	}
}

// parting names where flanges stand open at a side by more than in their lines, and where they are cut off.
func (j *judge) parting() {
	for _, f := range j.found.Flanges {
		if f.Patch {
			continue
		}
		for _, o := range f.Open {
			if o.Beside > 0 {
				j.add(rule.Problem{Rule: "fit.beside", Value: o.Beside}, f.Sheets, o.At, fmt.Sprintf(
					"%s: open by %.2f mm at a side of their flange of %.0f mm, from %.0f to %.0f along it, and by %.2f in the weld line",
					j.names(f.Sheets), o.Beside, f.Length, o.From, o.To, o.Gap))
			}
		}
		for _, c := range f.Cuts {
			j.add(rule.Problem{Rule: "fit.cut", Value: c.Gap}, f.Sheets, c.Place, fmt.Sprintf(
				"%s: their flange of %.0f mm is cut off at %.0f, where they come to stand %.2f mm apart", j.names(f.Sheets), f.Length, c.S, c.Gap))
		}
	}
}

// turns names flanges whose surface turns from side to side as if a bend lay in them.
func (j *judge) turns() {
	for _, f := range j.found.Flanges {
		if p, broken := j.by.Exceeds("fit.turns.greatest", nil, f.Turn); broken {
			j.add(p, f.Sheets, f.Line[len(f.Line)/2].Point, fmt.Sprintf(
				"%s: their flange of %.0f x %.1f mm turns by %.0f degrees across", j.names(f.Sheets), f.Length, f.Width.Mean, f.Turn))
		}
	}
}

type judge struct {
	ctx    context.Context // once it is cancelled, what comes out is of no use
	panels []Panel
	found  *flange.Found
	by     finding.Maker
	out    []layout.Finding
}

func (j *judge) add(p rule.Problem, panels []int, at r3.Vector, where string) {
	j.out = append(j.out, j.by.Of(p, finding.About{Panels: j.ids(panels), At: layout.Vec{at.X, at.Y, at.Z}}, where))
}

func (j *judge) ids(panels []int) []string {
	out := make([]string, len(panels))
	for i, p := range panels {
		out[i] = j.panels[p].ID
	}
	return out
}

func (j *judge) names(panels []int) string { return strings.Join(j.ids(panels), " and ") }

// mesh holds a panel's mesh against what is said of it.
func (j *judge) mesh(i int) {
	p := j.panels[i]
	middle := p.Shape.Box().Center()
	closed := len(p.Sheet.Mesh.Triangles) > 0 && p.Shape.Closed()
	if p.Sheet.Surface == flange.Solid && !closed {
		j.add(rule.Problem{Rule: "panel.open"}, []int{i}, middle, "panel "+p.ID)
	}
	if !closed || p.Sheet.Surface == "" {
		return
	}
	measured, ok := solid.Thickness(p.Shape)
	switch {
	case p.Sheet.Surface != flange.Solid && ok:
		j.add(rule.Problem{Rule: "panel.solid", Value: measured}, []int{i}, middle,
			fmt.Sprintf("panel %s: its mesh is closed and about %.2f mm thick, and is read as %s", p.ID, measured, p.Sheet.Surface))
	case p.Sheet.Surface != flange.Solid:
		j.add(rule.Problem{Rule: "panel.solid"}, []int{i}, middle,
			fmt.Sprintf("panel %s: its mesh is closed, and is read as %s", p.ID, p.Sheet.Surface))
	case p.Sheet.Thickness > 0 && !ok:
		j.add(rule.Problem{Rule: "panel.thickness", Limit: p.Sheet.Thickness}, []int{i}, middle,
			fmt.Sprintf("panel %s: its mesh has no thickness of a sheet", p.ID))
	case p.Sheet.Thickness > 0 && math.Abs(measured-p.Sheet.Thickness) > max(0.05, p.Sheet.Thickness/10):
		j.add(rule.Problem{Rule: "panel.thickness", Value: measured, Limit: p.Sheet.Thickness}, []int{i}, middle,
			fmt.Sprintf("panel %s: its mesh is about %.2f mm thick, its steel %g mm", p.ID, measured, p.Sheet.Thickness))
	}
}

// pieces says which panels hang together with the rest by no flange, broad contact or joint.
func (j *judge) pieces(joined [][]int) {
	groups := j.groups(joined)
	if len(groups) < 2 {
		return
	}
	for _, g := range groups {
		if len(g) > 1 && len(g) == len(groups[0]) && &g[0] == &groups[0][0] {
			continue // the largest is what the others are missing from
		}
		other, distance := j.nearest(g)
		where := fmt.Sprintf("panel %s lies on no other panel; nearest: %s, %s away", j.panels[g[0]].ID, j.panels[other].ID,
			millimetres(distance))
		id := "panel.alone"
		if len(g) > 1 {
			id = "panel.apart"
			where = fmt.Sprintf("panels %s lie on each other and on no further panel; nearest: %s, %s away", finding.Some(j.ids(g)),
				j.panels[other].ID,
				millimetres(distance))
		}
		p := rule.Problem{Rule: id, Value: distance}
		if distance < nearby {
			p.Remedy = "too far apart for a flange, or too far into each other: check thicknesses, places and what the meshes are (surface)"
			if j.small(g) {
				p.Remedy = "they lie on each other over less than a flange: if a weld is meant there, draw the joint's weld line " +
					"(weld_line), or check the places"
			}
		}
		j.add(p, g, j.panels[g[0]].Shape.Box().Center(), where)
		j.otherUnit(g)
	}
}

// small reports whether a panel of a group lies on one outside of it over less than a flange.
func (j *judge) small(group []int) bool {
	return slices.ContainsFunc(j.found.Small, func(s flange.Small) bool {
		in := slices.ContainsFunc(s.Sheets, func(k int) bool { return slices.Contains(group, k) })
		out := slices.ContainsFunc(s.Sheets, func(k int) bool { return !slices.Contains(group, k) })
		return in && out
	})
}

// fromTo is a range of lengths in mm, or the one length that it is.
func fromTo(least, most float64) string {
	a, b := fmt.Sprintf("%.3g", least), fmt.Sprintf("%.3g", most)
	if a == b {
		return a
	}
	return a + " to " + b
}

// nearby is the distance in mm within which a panel is looked at as one in its place: that at which the finder says that
// sheets face each other.
const nearby = 6.0

// groups are the panels by what lies on what, the largest group first, equal ones by their first panel.
func (j *judge) groups(joined [][]int) [][]int {
	of := make([]int, len(j.panels))
	for i := range of {
		of[i] = i
	}
	join := func(sheets []int) {
		for _, s := range sheets[1:] {
			from, to := of[s], of[sheets[0]]
			for i := range of {
				if of[i] == from {
					of[i] = to
				}
			}
		}
	}
	for _, f := range j.found.Flanges {
		join(f.Sheets)
	}
	for _, g := range joined {
		join(g)
	}
	members := map[int][]int{}
	var order []int
	for i, g := range of {
		if members[g] == nil {
			order = append(order, g)
		}
		members[g] = append(members[g], i)
	}
	out := make([][]int, len(order))
	for k, g := range order {
		out[k] = members[g]
	}
	slices.SortStableFunc(out, func(a, b []int) int { return cmp.Compare(len(b), len(a)) })
	return out
}

// nearest is the panel outside of a group that comes nearest to it, and how near.
func (j *judge) nearest(group []int) (other int, distance float64) {
	type pair struct {
		in, out int
		boxes   float64
	}
	var pairs []pair
	for _, i := range group {
		for k := range j.panels {
			if !slices.Contains(group, k) {
				pairs = append(pairs, pair{i, k, apart(j.panels[i].Shape.Box(), j.panels[k].Shape.Box())})
			}
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.boxes, b.boxes) })
	other, distance = pairs[0].out, math.Inf(1)
	for _, p := range pairs {
		if p.boxes >= distance || j.ctx.Err() != nil {
			break
		}
		if d, ok := solid.Apart(j.panels[p.in].Shape, j.panels[p.out].Shape, min(distance, 1e9)); ok {
			other, distance = p.out, d
		}
	}
	return other, distance
}

// apart is how far two boxes are from each other, 0 where they overlap.
func apart(a, b space.Box) float64 {
	gap := func(al, ah, bl, bh float64) float64 { return max(0, bl-ah, al-bh) }
	return r3.Vector{X: gap(a.Min.X, a.Max.X, b.Min.X, b.Max.X), Y: gap(a.Min.Y, a.Max.Y, b.Min.Y, b.Max.Y),
		Z: gap(a.Min.Z, a.Max.Z, b.Min.Z, b.Max.Z)}.Norm()
}

// leastLength is how many thicknesses long a panel is at least: shorter ones are taken for panels in another unit.
const leastLength = 8.0

// sizes says which panels are too small for their thickness: metres read as millimetres.
func (j *judge) sizes() {
	for i, p := range j.panels {
		if t := p.Sheet.Thickness; t > 0 && longest(p.Shape.Box()) < leastLength*t {
			j.add(rule.Problem{Rule: "panel.unit", Value: longest(p.Shape.Box())}, []int{i}, p.Shape.Box().Center(),
				fmt.Sprintf("panel %s is %.3g mm long and %g mm thick: is its file in metres or inches?", p.ID, longest(p.Shape.Box()), t))
		}
	}
}

func longest(b space.Box) float64 {
	s := b.Size()
	return max(s.X, s.Y, s.Z)
}

// aside is how far in mm a panel's box may miss the others' where another unit would put it: sheets on each other are a
// thickness apart.
const aside = 3.0

// otherUnit says of a group that stands apart whether another unit would put it among the others: its box then meets one of
// theirs, and its size is no longer out of theirs.
func (j *judge) otherUnit(group []int) {
	least, most := math.Inf(1), 0.0
	var others []space.Box
	for k, p := range j.panels {
		if !slices.Contains(group, k) {
			box := p.Shape.Box()
			others = append(others, box.Grow(aside))
			least, most = min(least, longest(box)), max(most, longest(box))
		}
	}
	size := 0.0
	for _, i := range group {
		size = max(size, longest(j.panels[i].Shape.Box()))
	}
	if size >= least/3 && size <= 3*most {
		return
	}
	for _, u := range otherUnits(j.panels[group[0]].Unit) {
		if grown := size * u.factor; grown < least/3 || grown > 3*most {
			continue
		}
		meets := slices.ContainsFunc(group, func(i int) bool {
			box := grow(j.panels[i].Shape.Box(), j.panels[i].Origin, u.factor)
			return slices.ContainsFunc(others, box.Overlaps)
		})
		if meets {
			j.add(rule.Problem{Rule: "panel.unit", Value: size}, group, j.panels[group[0]].Shape.Box().Center(),
				fmt.Sprintf("panel %s is %.3g mm long, the others %s mm: is its file in %s?", finding.Some(j.ids(group)), size, fromTo(least, most),
					u.name))
			return
		}
	}
}

func grow(b space.Box, about r3.Vector, by float64) space.Box {
	return space.EmptyBox().Add(b.Min.Sub(about).Mul(by).Add(about)).Add(b.Max.Sub(about).Mul(by).Add(about))
}

// overlap is how far panels run into each other, and what is seen of it: two, or a stack of more.
type overlap struct {
	of    []int
	depth float64
	at    r3.Vector
	where string
}

// into says once of each pair of panels, and of each stack of more, that they run into each other, where it is deepest.
func (j *judge) into() {
	var all []overlap
	deepest := func(o overlap) {
		o.of = slices.Sorted(slices.Values(o.of))
		k := slices.IndexFunc(all, func(x overlap) bool { return slices.Equal(x.of, o.of) })
		if k < 0 {
			all = append(all, o)
		} else if o.depth > all[k].depth {
			all[k] = o
		}
	}
	for _, n := range j.found.Near {
		if n.Into > 0 {
			deepest(overlap{of: n.Sheets[:], depth: n.Into, at: n.Place})
		}
	}
	j.crossedFlanges(deepest)
	j.solids(deepest)
	slices.SortStableFunc(all, func(x, y overlap) int { return slices.Compare(x.of, y.of) })
	for _, o := range all {
		j.intoFinding(o)
	}
}

// intoFinding is broken beyond what the book lets sheets run into each other, else a doubt.
func (j *judge) intoFinding(o overlap) {
	var stack rule.Stack
	for _, i := range o.of {
		stack = append(stack, rule.Sheet{Thickness: j.panels[i].Sheet.Thickness})
	}
	p := rule.Problem{Rule: "fit.into", Value: o.depth}
	if far, broken := j.by.Exceeds("fit.into.greatest", stack, o.depth); broken {
		p = far
	}
	j.add(p, o.of, o.at, fmt.Sprintf("%s run %.2f mm into each other%s", j.names(o.of), o.depth, o.where))
}

// crossedFlanges looks for stretches of flanges between mid-surfaces, or skins whose sides are known, that are nearer than
// their thicknesses let them. Of a stack of more than two the gaps of all its interfaces are added: two sheets that run into
// each other beside two that stand as far apart are not seen.
func (j *judge) crossedFlanges(tell func(overlap)) {
	for _, f := range j.found.Flanges {
		if len(f.Sheets) < 2 || f.Hem || slices.ContainsFunc(f.Sheets, func(i int) bool {
			return j.panels[i].Sheet.Surface == flange.Solid || j.panels[i].Sheet.Thickness == 0
		}) || f.Sides != flange.SidesKnown {
			continue
		}
		for k := 0; k < len(f.Line); {
			to, worst := k, k
			for to < len(f.Line) && -f.Line[to].Gap > intoMid {
				if f.Line[to].Gap < f.Line[worst].Gap {
					worst = to
				}
				to++
			}
			if to > k && f.Line[to-1].S-f.Line[k].S >= min(leastStretch, f.Length/2) {
				tell(overlap{f.Sheets, -f.Line[worst].Gap, f.Line[worst].Point,
					fmt.Sprintf(" for %.0f mm of a flange", f.Line[to-1].S-f.Line[k].S)})
			}
			k = max(to, k+1)
		}
	}
}

// solids looks for solids that take the same room.
func (j *judge) solids(tell func(overlap)) {
	for a := range j.panels {
		thick, ok := 0.0, false
		for b := range j.panels {
			p, q := j.panels[a], j.panels[b]
			if a == b || j.ctx.Err() != nil || p.Sheet.Surface != flange.Solid || q.Sheet.Surface != flange.Solid ||
				!p.Shape.Box().Overlaps(q.Shape.Box()) {
				continue
			}
			if thick == 0 {
				if thick, ok = solid.Thickness(p.Shape); !ok {
					break
				}
			}
			if o := solid.Into(p.Shape, q.Shape, thick, intoSolid); o.Area >= leastArea {
				tell(overlap{[]int{a, b}, o.Depth, o.Place, fmt.Sprintf(" over %.0f mm²", o.Area)})
			}
		}
	}
}

func millimetres(v float64) string {
	if v < 10 {
		return fmt.Sprintf("%.1f mm", v)
	}
	return fmt.Sprintf("%.0f mm", v)
}
