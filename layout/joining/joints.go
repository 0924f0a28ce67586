package joining

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/drawing"
	"seamwright/geometry/drawn"
	"seamwright/geometry/flange"
	"seamwright/internal/cache"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/unjoined"
	"seamwright/seams/parts"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// Strip is one flange that is to be welded.
type Strip struct {
	ID     string
	Flange flange.Flange
	Panels []string // ids in stack order
	Stack  rule.Stack
	Limits rule.Limits
	Joint  int       // index into joined.joints; -1 for none
	Key    cache.Key // of the flange as it is here
	Edge   int       // 1 + the index of the part from whose free edge the weld line is measured; 0: it runs in the middle
}

// About is a place on a strip.
func (s *Strip) About(at r3.Vector) finding.About { return finding.About{Flange: s.ID, At: Vec(at)} }

// Joined is the joints and the strips that they are welded on.
type Joined struct {
	Joints   []layout.Joint // as the shell's
	Strips   []*Strip
	Flanges  []layout.Flange // of the strips
	Rounded  []layout.Flange // their lines and outlines as they are written
	Notes    []string
	Findings []layout.Finding
}

// Of are the strips of a joint.
func (j *Joined) Of(joint int) []*Strip {
	var out []*Strip
	for _, s := range j.Strips {
		if s.Joint == joint {
			out = append(out, s)
		}
	}
	return out
}

// joiner is one call of join.
type joiner struct {
	Basis
	Means
	found []flange.Flange
	keys  []cache.Key // of what was found
	owner []int       // of each found flange the joint; -1 for none
	out   *Joined
}

// Join gives each of the shell's joints its station and its flanges. Found says that the joints themselves were found.
func Join(ctx context.Context, b Basis, m Means, at *Placed, found *flange.Found, by cache.Key, areFound bool) (*Joined, error) {
	keys, err := flangeKeys(m.Cache, found.Flanges, by)
	if err != nil {
		return nil, err
	}
	x := joiner{Basis: b, Means: m, found: found.Flanges, keys: keys, owner: owners(b.Parts, found.Flanges, b.Shell.Joints), out: &Joined{}}
	for _, stated := range b.Shell.Joints {
		station, apart := at.arranged.Place(stated.ID, stated.Station, stated.Panels)
		if apart != nil {
			x.out.Findings = append(x.out.Findings, *apart)
		}
		x.out.Joints = append(x.out.Joints, layout.Joint{ID: stated.ID, Name: stated.Name, Panels: stated.Panels, Kind: kind(stated),
			Found: areFound, Station: station})
	}
	for i, stated := range b.Shell.Joints {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := x.jointStrips(ctx, i, stated); err != nil {
			return nil, fmt.Errorf("joint %s: %w", stated.ID, err)
		}
	}
	x.unclaimed()
	if err := x.notJoined(ctx, found); err != nil {
		return nil, err
	}
	for _, s := range x.out.Strips {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		if err := x.planFlange(s); err != nil {
			return nil, err
		}
	}
	return x.out, nil
}

// find adds a finding.
func (x *joiner) find(p rule.Problem, about finding.About, where string) {
	x.out.Findings = append(x.out.Findings, x.Make.Of(p, about, where))
}

func kind(j shell.Joint) layout.JointKind {
	if j.Kind == "" {
		return layout.SpotJoint
	}
	return layout.JointKind(j.Kind)
}

// FoundJoints makes a joint of every set of panels that meet, in the finder's order.
func FoundJoints(all []parts.Part, found []flange.Flange) []shell.Joint {
	var out []shell.Joint
	for _, f := range found {
		ids := panelIDs(all, f.Sheets)
		slices.Sort(ids)
		ids = slices.Compact(ids) // a panel that lies on both sides of another is one panel of the joint
		id := strings.Join(ids, "+")
		if !f.Patch && !f.Hem && !slices.ContainsFunc(out, func(j shell.Joint) bool { return j.ID == id }) {
			out = append(out, shell.Joint{ID: id, Name: strings.Join(ids, " to "), Panels: ids})
		}
	}
	return out
}

func panelIDs(all []parts.Part, sheets []int) []string {
	out := make([]string, len(sheets))
	for i, s := range sheets {
		out[i] = all[s].Panel.ID
	}
	return out
}

// owners says for every found flange which joint it belongs to, -1 for none: the joint of exactly its
// panels; failing that the one with the fewest panels that has them all, since a joint of three panels owns
// the stretches where only two of them lie.
func owners(all []parts.Part, found []flange.Flange, joints []shell.Joint) []int {
	owner := make([]int, len(found))
	for i, f := range found {
		owner[i] = -1
		panels := panelIDs(all, f.Sheets)
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
func (x *joiner) jointStrips(ctx context.Context, i int, j shell.Joint) error {
	var own []flange.Flange
	var keys []cache.Key
	for k, f := range x.found {
		if x.owner[k] == i {
			own, keys = append(own, f), append(keys, x.keys[k])
		}
	}
	if j.WeldLine.File != "" {
		drawn, err := x.drawn(ctx, j)
		if err != nil {
			return err
		}
		own, keys = drawn, nil
		for _, f := range drawn {
			keys = append(keys, flangeKey(x.Cache, f))
		}
	}
	if len(own) == 0 {
		x.find(rule.Problem{Rule: "joint.flange", Remedy: x.nothingToWeld(i, j)}, finding.About{Joint: j.ID}, "joint "+j.ID)
	}
	if j.RowPitch > 0 && len(own) > 0 && !slices.ContainsFunc(own, func(f flange.Flange) bool { return f.Patch }) {
		x.find(rule.Problem{Rule: "joint.key", Remedy: "take row_pitch_mm out, or state rows: 2 for two rows along a flange"},
			finding.About{Joint: j.ID}, "joint "+j.ID+": row_pitch_mm has no effect, as none of its flanges is a broad contact")
	}
	n := 0
	for k, f := range own {
		for _, row := range x.patchRows(f, j) {
			n++
			key := keys[k]
			if InRows(f, j) {
				key = flangeKey(x.Cache, row)
			}
			x.addStrip(fmt.Sprintf("%s/%d", j.ID, n), i, row, key)
		}
	}
	return nil
}

// nothingToWeld says what can be done about joint i, which has no flange.
func (x *joiner) nothingToWeld(i int, j shell.Joint) string {
	panels := "panels " + strings.Join(j.Panels, " and ")
	for k, f := range x.found {
		if x.owner[k] >= 0 && x.owner[k] != i && containsAll(j.Panels, panelIDs(x.Parts, f.Sheets)) && passes(f, j) {
			return fmt.Sprintf("joint %s has the flange of %s already: take one of the two joints out, or tell with near_mm which strip is whose",
				x.Shell.Joints[x.owner[k]].ID, panels)
		}
	}
	for _, f := range x.found {
		if (f.Hem || f.Patch) && containsAll(j.Panels, panelIDs(x.Parts, f.Sheets)) && passes(f, j) {
			return panels + " meet only in a folded edge or a broad contact: state a count, or row_pitch_mm for a broad contact, or take the " +
				"joint out"
		}
	}
	return panels + " do not lie on each other anywhere: check their places, units and thicknesses, or take the joint out"
}

func (x *joiner) addStrip(id string, joint int, f flange.Flange, key cache.Key) {
	s := &Strip{ID: id, Flange: f, Key: key, Joint: joint, Panels: panelIDs(x.Parts, f.Sheets)}
	s.Stack = stackOf(x.Parts, f.Sheets)
	var stated *shell.Joint
	if joint >= 0 {
		stated = &x.Shell.Joints[joint]
	}
	s.Limits = x.Rules.Limits(s.Stack, stated)
	if stated != nil && stated.Edge > 0 && !InRows(f, *stated) {
		x.fromEdge(s, stated)
	}
	x.out.Strips = append(x.out.Strips, s)
	if joint >= 0 {
		x.notches(s)
		own := &x.out.Joints[joint]
		own.Flanges = append(own.Flanges, id)
	}
}

func stackOf(all []parts.Part, sheets []int) rule.Stack {
	var out rule.Stack
	for _, sheet := range sheets {
		p := all[sheet]
		out = append(out, rule.Sheet{Thickness: p.Steel.Thickness, Tensile: p.Steel.Tensile, Yield: p.Steel.Yield, Coating: p.Steel.Coating})
	}
	return out
}

// drawn reads the joint's weld lines from its drawing.
func (x *joiner) drawn(ctx context.Context, j shell.Joint) ([]flange.Flange, error) {
	read, err := drawing.ReadFile(x.Shell.Path(j.WeldLine.File), drawing.Options{Unit: x.Shell.UnitOf(j.WeldLine.Unit), Most: x.Shell.Most})
	if err != nil {
		return nil, fmt.Errorf("weld line: %w", err)
	}
	if err := x.Shell.Took(j.WeldLine.File, read.Source); err != nil {
		return nil, fmt.Errorf("weld line: %w", err)
	}
	var wanted []drawing.Path
	for _, p := range read.Paths {
		if j.WeldLine.Layer == "" || strings.EqualFold(p.Layer, j.WeldLine.Layer) {
			wanted = append(wanted, p)
		}
	}
	sheets := x.sheetsOf(j.Panels)
	found, notes, faults, err := drawn.Flanges(ctx, wanted, drawn.Drawing{Width: j.WeldLine.Width, Place: j.WeldLine.Place.Placement(),
		Host: x.Parts[sheets[0]].Sheet.Mesh}, flange.Options{})
	if err != nil {
		return nil, err
	}
	for _, n := range slices.Concat(read.Notes, notes) {
		x.out.Notes = append(x.out.Notes, fmt.Sprintf("joint %s: weld line: file %s: %s", j.ID, j.WeldLine.File, n))
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

func (b Basis) sheetsOf(panels []string) []int {
	var out []int
	for _, id := range panels {
		out = append(out, slices.IndexFunc(b.Shell.Panels, func(p shell.Panel) bool { return p.ID == id }))
	}
	return out
}

// unclaimed lists the flanges that no joint asks for, so that a missing joint is noticed.
func (x *joiner) unclaimed() {
	n := 0
	for k, f := range x.found {
		if x.owner[k] >= 0 {
			continue
		}
		n++
		id := fmt.Sprintf("spare/%d", n)
		x.addStrip(id, -1, f, x.keys[k])
		where := strings.Join(panelIDs(x.Parts, f.Sheets), " and ")
		unclaimed := "joint.unstated"
		if f.Hem {
			unclaimed = "joint.hem"
		} else if f.Patch {
			unclaimed = "joint.patch"
		}
		x.find(rule.Problem{Rule: unclaimed, Value: f.Length},
			finding.About{Flange: id, Panels: panelIDs(x.Parts, f.Sheets), At: Vec(f.Line[0].Point)}, where)
	}
}

// notJoined says what the panels themselves and what was found between them give cause to say.
func (x *joiner) notJoined(ctx context.Context, found *flange.Found) error {
	panels := make([]unjoined.Panel, len(x.Parts))
	for i, p := range x.Parts {
		panels[i] = unjoined.Panel{ID: p.Panel.ID, Sheet: p.Sheet, Shape: p.Shape, Origin: p.Panel.Place.Placement().Move,
			Unit: x.Shell.UnitOf(p.Panel.Unit)}
	}
	var drawn [][]int
	for _, j := range x.Shell.Joints {
		if j.WeldLine.File != "" {
			drawn = append(drawn, x.sheetsOf(j.Panels))
		}
	}
	said, err := unjoined.Judge(ctx, panels, found, drawn, x.Make)
	x.out.Findings = append(x.out.Findings, said...)
	return err
}

// planFlange adds a strip to the plan's flanges, and its length to its joint's.
func (x *joiner) planFlange(s *Strip) error {
	f := s.Flange
	m, err := measured(x.Means, s)
	if err != nil {
		return err
	}
	out := m.exact
	out.ID, out.Panels, out.Closed, out.Patch, out.Length, out.Area = s.ID, s.Panels, f.Closed, f.Patch, f.Length, f.Area
	out.Width, out.Air = layout.Range(f.Width), layout.Range(f.Gap)
	if s.Joint >= 0 {
		own := &x.out.Joints[s.Joint]
		out.Joint = own.ID
		own.Length += f.Length
	}
	x.out.Flanges, x.out.Rounded = append(x.out.Flanges, out), append(x.out.Rounded, m.rounded)
	return nil
}
