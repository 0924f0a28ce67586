package planner

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/unjoined"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// joints takes the joints of the shell file, or makes one of every set of panels found to meet, and gives
// each its flanges.
func (b *builder) joints(context.Context) error {
	found := len(b.Shell.Joints) == 0
	if found {
		b.Shell.Joints = b.foundJoints()
	}
	stated := b.Shell.Joints
	for _, j := range stated {
		station, apart := b.arranged.Place(j.ID, j.Station, j.Panels)
		if apart != nil {
			b.plan.Findings = append(b.plan.Findings, *apart)
		}
		b.plan.Joints = append(b.plan.Joints, layout.Joint{ID: j.ID, Name: j.Name, Panels: j.Panels, Kind: kind(j), Found: found,
			Station: station})
	}
	owner := b.owners(stated)
	for i := range stated {
		if err := b.jointStrips(i, stated[i], owner); err != nil {
			return fmt.Errorf("joint %s: %w", stated[i].ID, err)
		}
	}
	b.unclaimed(owner)
	b.notJoined()
	for _, s := range b.strips {
		b.plan.Flanges = append(b.plan.Flanges, b.planFlange(s))
	}
	return nil
}

func kind(j shell.Joint) layout.JointKind {
	if j.Kind == "" {
		return layout.SpotJoint
	}
	return layout.JointKind(j.Kind)
}

// foundJoints makes a joint of every set of panels that meet, in the finder's order.
func (b *builder) foundJoints() []shell.Joint {
	var out []shell.Joint
	for _, f := range b.Found.Flanges {
		ids := b.panelIDs(f.Sheets)
		slices.Sort(ids)
		ids = slices.Compact(ids) // a panel that lies on both sides of another is one panel of the joint
		id := strings.Join(ids, "+")
		if !f.Patch && !f.Hem && !slices.ContainsFunc(out, func(j shell.Joint) bool { return j.ID == id }) {
			out = append(out, shell.Joint{ID: id, Name: strings.Join(ids, " to "), Panels: ids})
		}
	}
	return out
}

func (b *builder) panelIDs(sheets []int) []string {
	out := make([]string, len(sheets))
	for i, s := range sheets {
		out[i] = b.Parts[s].Panel.ID
	}
	return out
}

// owners says for every found flange which joint it belongs to, -1 for none: the joint of exactly its
// panels; failing that the one with the fewest panels that has them all, since a joint of three panels owns
// the stretches where only two of them lie.
func (b *builder) owners(joints []shell.Joint) []int {
	owner := make([]int, len(b.Found.Flanges))
	for i, f := range b.Found.Flanges {
		owner[i] = -1
		panels := b.panelIDs(f.Sheets)
		for k, j := range joints {
			if f.Hem && j.Count == 0 || f.Patch && j.Count == 0 && j.RowPitch == 0 || !containsAll(j.Panels, panels) || !passes(f, j) {
				continue
			}
			if owner[i] < 0 || better(f, j, joints[owner[i]]) {
				owner[i] = k
			}
		}
	}
	return owner
}

func containsAll(all, some []string) bool {
	for _, s := range some {
		if !slices.Contains(all, s) {
			return false
		}
	}
	return true
}

// passes says whether the flange goes by the place that the joint names, if it names one.
func passes(f flange.Flange, j shell.Joint) bool {
	if len(j.Near) < 4 {
		return true
	}
	return distanceToLine(f, r3.Vector{X: j.Near[0], Y: j.Near[1], Z: j.Near[2]}) <= j.Near[3]
}

func distanceToLine(f flange.Flange, at r3.Vector) float64 {
	least := f.Line[0].Point.Sub(at).Norm()
	for _, s := range f.Line {
		least = min(least, s.Point.Sub(at).Norm())
	}
	return least
}

// better says whether joint j owns the flange rather than k: fewer panels, then the nearer of two places.
func better(f flange.Flange, j, k shell.Joint) bool {
	if len(j.Panels) != len(k.Panels) {
		return len(j.Panels) < len(k.Panels)
	}
	if len(j.Near) < 4 || len(k.Near) < 4 {
		return len(j.Near) > len(k.Near)
	}
	at := func(n []float64) r3.Vector { return r3.Vector{X: n[0], Y: n[1], Z: n[2]} }
	return distanceToLine(f, at(j.Near)) < distanceToLine(f, at(k.Near))
}

// jointStrips adds the strips of joint i: drawn ones where the joint names a drawing, found ones otherwise.
func (b *builder) jointStrips(i int, j shell.Joint, owner []int) error {
	var own []flange.Flange
	for k, f := range b.Found.Flanges {
		if owner[k] == i {
			own = append(own, f)
		}
	}
	if j.WeldLine.File != "" {
		drawn, err := b.drawn(j)
		if err != nil {
			return err
		}
		own = drawn
	}
	if len(own) == 0 {
		b.find(rule.Problem{Rule: "joint.flange", Remedy: b.nothingToWeld(i, j, owner)}, finding.About{Joint: j.ID}, "joint "+j.ID)
	}
	if j.RowPitch > 0 && len(own) > 0 && !slices.ContainsFunc(own, func(f flange.Flange) bool { return f.Patch }) {
		b.find(rule.Problem{Rule: "joint.key", Remedy: "take row_pitch_mm out, or state rows: 2 for two rows along a flange"},
			finding.About{Joint: j.ID}, "joint "+j.ID+": row_pitch_mm has no effect, as none of its flanges is a broad contact")
	}
	n := 0
	for _, f := range own {
		for _, row := range b.patchRows(f, j) {
			n++
			b.addStrip(fmt.Sprintf("%s/%d", j.ID, n), i, row)
		}
	}
	return nil
}

// nothingToWeld says what can be done about joint i, which has no flange.
func (b *builder) nothingToWeld(i int, j shell.Joint, owner []int) string {
	panels := "panels " + strings.Join(j.Panels, " and ")
	for k, f := range b.Found.Flanges {
		if owner[k] >= 0 && owner[k] != i && containsAll(j.Panels, b.panelIDs(f.Sheets)) && passes(f, j) {
			return fmt.Sprintf("joint %s has the flange of %s already: take one of the two joints out, or tell with near_mm which strip is whose",
				b.Shell.Joints[owner[k]].ID, panels)
		}
	}
	for _, f := range b.Found.Flanges {
		if (f.Hem || f.Patch) && containsAll(j.Panels, b.panelIDs(f.Sheets)) && passes(f, j) {
			return panels + " meet only in a folded edge or a broad contact: state a count, or row_pitch_mm for a broad contact, or take the " +
				"joint out"
		}
	}
	return panels + " do not lie on each other anywhere: check their places, units and thicknesses, or take the joint out"
}

func (b *builder) addStrip(id string, joint int, f flange.Flange) {
	s := &strip{id: id, flange: f, joint: joint, panels: b.panelIDs(f.Sheets)}
	s.stack = b.stackOf(f.Sheets)
	var stated *shell.Joint
	if joint >= 0 {
		stated = &b.Shell.Joints[joint]
	}
	s.limits = b.rules.Limits(s.stack, stated)
	if stated != nil && stated.Edge > 0 && !inRows(f, *stated) {
		b.fromEdge(s, stated)
	}
	b.strips = append(b.strips, s)
	if joint >= 0 {
		b.notches(s, s.flange)
		b.plan.Joints[joint].Flanges = append(b.plan.Joints[joint].Flanges, id)
	}
}

func (b *builder) stackOf(sheets []int) rule.Stack {
	var out rule.Stack
	for _, sheet := range sheets {
		p := b.Parts[sheet]
		out = append(out, rule.Sheet{Thickness: p.Steel.Thickness, Tensile: p.Steel.Tensile, Yield: p.Steel.Yield, Coating: p.Steel.Coating})
	}
	return out
}

// drawn reads the joint's weld lines from its drawing.
func (b *builder) drawn(j shell.Joint) ([]flange.Flange, error) {
	read, err := drawing.ReadFile(b.Shell.Path(j.WeldLine.File), drawing.Options{Unit: b.Shell.UnitOf(j.WeldLine.Unit), Most: b.Shell.Most})
	if err != nil {
		return nil, fmt.Errorf("weld line: %w", err)
	}
	if err := b.Shell.Took(j.WeldLine.File, read.Source); err != nil {
		return nil, fmt.Errorf("weld line: %w", err)
	}
	var wanted []drawing.Path
	for _, p := range read.Paths {
		if j.WeldLine.Layer == "" || strings.EqualFold(p.Layer, j.WeldLine.Layer) {
			wanted = append(wanted, p)
		}
	}
	sheets := b.sheetsOf(j.Panels)
	found, notes, faults := flange.FromDrawing(wanted, flange.Drawing{Width: j.WeldLine.Width, Place: j.WeldLine.Place.Placement(),
		Host: b.Parts[sheets[0]].Sheet.Mesh}, flange.Options{})
	for _, n := range slices.Concat(read.Notes, notes) {
		b.plan.Notes = append(b.plan.Notes, fmt.Sprintf("joint %s: weld line: file %s: %s", j.ID, j.WeldLine.File, n))
	}
	if len(faults) > 0 {
		return nil, fmt.Errorf("weld line: file %s: %s", j.WeldLine.File, faults[0])
	}
	var out []flange.Flange
	for _, f := range found {
		f.Sheets = sheets
		out = append(out, f.Flange)
	}
	if len(out) == 0 {
		return nil, fmt.Errorf("weld line: file %s: %w on layer %q", j.WeldLine.File, errNothingDrawn, j.WeldLine.Layer)
	}
	return out, nil
}

var errNothingDrawn = errors.New("no line or outline")

func (b *builder) sheetsOf(panels []string) []int {
	var out []int
	for _, id := range panels {
		out = append(out, slices.IndexFunc(b.Shell.Panels, func(p shell.Panel) bool { return p.ID == id }))
	}
	return out
}

// unclaimed lists the flanges that no joint asks for, so that a missing joint is noticed.
func (b *builder) unclaimed(owner []int) {
	n := 0
	for k, f := range b.Found.Flanges {
		if owner[k] >= 0 {
			continue
		}
		n++
		id := fmt.Sprintf("spare/%d", n)
		b.addStrip(id, -1, f)
		where := strings.Join(b.panelIDs(f.Sheets), " and ")
		unclaimed := "joint.unstated"
		if f.Hem {
			unclaimed = "joint.hem"
		} else if f.Patch {
			unclaimed = "joint.patch"
		}
		b.find(rule.Problem{Rule: unclaimed, Value: f.Length},
			finding.About{Flange: id, Panels: b.panelIDs(f.Sheets), At: vec(f.Line[0].Point)}, where)
	}
}

// notJoined says what the panels themselves and what was found between them give cause to say.
func (b *builder) notJoined() {
	panels := make([]unjoined.Panel, len(b.Parts))
	for i, p := range b.Parts {
		panels[i] = unjoined.Panel{ID: p.Panel.ID, Sheet: p.Sheet, Shape: p.Shape, Origin: p.Panel.Place.Placement().Move}
	}
	var drawn [][]int
	for _, j := range b.Shell.Joints {
		if j.WeldLine.File != "" {
			drawn = append(drawn, b.sheetsOf(j.Panels))
		}
	}
	b.plan.Findings = append(b.plan.Findings, unjoined.Judge(panels, b.Found, drawn, b.make)...)
}

func (b *builder) planFlange(s *strip) layout.Flange {
	f := s.flange
	out := layout.Flange{
		ID: s.id, Panels: s.panels, Closed: f.Closed, Patch: f.Patch, Length: f.Length, Area: f.Area,
		Width: layout.Range(f.Width), Air: layout.Range(f.Gap),
	}
	if s.joint >= 0 {
		out.Joint = b.plan.Joints[s.joint].ID
		b.plan.Joints[s.joint].Length += f.Length
	}
	measureStrip(&out, f)
	return out
}
