// Package poses says of one weld of a finished plan how every gun at hand would stand there, turned all round: at which angles it is
// free, and what blocks it at the others. Panels that are loaded later, and clamps that are open by then, are left out, as the
// station's steps have it.
//
//	tools, err := poses.At(plan, sh, loaded, 12)
//	for _, t := range tools {
//		fmt.Println(t.Gun, t.Tip, t.Free, t.Blocked)
//	}
//
// Guns stand square to the sheets; one that is blocked so at every angle is looked at leaning as well, as the plan does. Angles are
// those of reach: in degrees about the weld's axis from the weld line to the throat. They are looked at in steps of 5.
package poses

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/axial"
	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/reach"
	"seamwright/seams/inforce"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
)

// Tool is how a gun with one of its tips stands at a weld.
type Tool struct {
	Gun     string  `json:"gun"`
	Tip     string  `json:"tip"`
	Chosen  bool    `json:"chosen"`        // the plan has it there
	Why     string  `json:"why,omitempty"` // it is not used although it would reach
	Free    []Arc   `json:"free"`
	Blocked []Arc   `json:"blocked"`
	Air     float64 `json:"air"`             // mm, the most at any angle, up to 10
	Leans   []Lean  `json:"leans,omitempty"` // the same with the gun leaning, where it is blocked upright at every angle
}

// Lean is how a gun stands that leans off square.
type Lean struct {
	Tilt    float64 `json:"tilt"`    // degrees
	Towards float64 `json:"towards"` // degrees about the axis, as angles: where its electrode above the weld leans to
	Chosen  bool    `json:"chosen"`  // the plan has it so
	Free    []Arc   `json:"free"`
	Blocked []Arc   `json:"blocked"`
	Air     float64 `json:"air"` // mm, the most at any angle, up to 10
}

// Arc is neighbouring angles that are alike, in degrees; it may go over 0.
type Arc struct {
	From  float64 `json:"from"`
	To    float64 `json:"to"`
	Panel string  `json:"panel,omitempty"` // that blocks it: a panel, or a clamp
	Off   bool    `json:"off,omitempty"`   // the gun stands there but cannot be drawn back
}

// At looks at one weld of a plan, by its place in the plan's list.
func At(plan *layout.Plan, sh *shell.Shell, loaded []parts.Part, weld int) ([]Tool, error) {
	if weld < 0 || weld >= len(plan.Welds) {
		return nil, fmt.Errorf("the plan has welds 0 to %d: there is no %d", len(plan.Welds)-1, weld)
	}
	w := &plan.Welds[weld]
	k := slices.IndexFunc(plan.Stations, func(s layout.Station) bool { return s.ID == w.Station })
	f := slices.IndexFunc(plan.Flanges, func(f layout.Flange) bool { return f.ID == w.Flange })
	if k < 0 || f < 0 || len(plan.Flanges[f].Line) < 2 {
		return nil, fmt.Errorf("weld %d at %s has no station or weld line to look at", w.Number, w.Station)
	}
	j := jig{plan: plan, shell: sh, station: &plan.Stations[k], weld: w, axis: w.Axis.R3()}
	asked := reach.Weld{Line: w.Flange, S: w.Along, Position: w.Position.R3(), Axis: j.axis, Along: along(&plan.Flanges[f], w)}
	scene := j.scene(loaded, &asked)
	out := []Tool{}
	for _, t := range j.tools() {
		up, _, err := j.lean(scene, asked, t, reach.Lean{})
		if err != nil {
			return nil, err
		}
		tool := Tool{Gun: t.Gun.ID, Tip: t.Tip.ID, Chosen: t.Gun.ID == w.Gun && t.Tip.ID == w.Tip && !w.Unreached, Why: j.notUsed(t),
			Free: up.Free, Blocked: up.Blocked, Air: up.Air}
		if len(tool.Free) == 0 {
			if tool.Leans, err = j.leans(scene, asked, t, tool.Chosen); err != nil {
				return nil, err
			}
		}
		out = append(out, tool)
	}
	return out, nil
}

// leans looks at a tool with every lean that the rules allow. Of those that stand at the planned angle with the planned tilt the one with
// most air is the plan's.
func (j *jig) leans(scene *axial.Scene, asked reach.Weld, t reach.Tool, chosen bool) ([]Lean, error) {
	in, err := inforce.For(j.shell)
	if err != nil {
		return nil, err
	}
	limit, err := in.Book.Evaluate("reach.tilt", nil)
	if err != nil || !(limit.Value > 0) {
		return nil, err
	}
	var out []Lean
	best, most := -1, 0.0
	for k, l := range reach.Leans(limit.Value) {
		lean, air, err := j.lean(scene, asked, t, l)
		if err != nil {
			return nil, err
		}
		if chosen && math.Abs(l.Tilt-j.weld.Tilt) < 0.01 && air > most {
			best, most = k, air
		}
		out = append(out, lean)
	}
	if best >= 0 {
		out[best].Chosen = true
	}
	return out, nil
}

// lean is how a tool stands with a lean, and its air at the weld's planned angle.
func (j *jig) lean(scene *axial.Scene, asked reach.Weld, t reach.Tool, l reach.Lean) (out Lean, air float64, err error) {
	angles, err := reach.Angles(scene, asked, t, l, reach.Options{WayOff: true})
	if err != nil {
		return Lean{}, 0, err
	}
	out = Lean{Tilt: l.Tilt, Towards: l.Towards}
	out.Free, out.Blocked = arcs(angles)
	for _, a := range angles {
		out.Air = max(out.Air, a.Air)
		if math.Abs(a.Turn-j.weld.Turn) < 0.01 {
			air = a.Air
		}
	}
	return out, air, nil
}

// along is the weld line's direction at a weld, square to its axis.
func along(f *layout.Flange, w *layout.Weld) r3.Vector {
	k := slices.IndexFunc(f.Line, func(p layout.LinePoint) bool { return p.Along >= w.Along })
	if k < 0 {
		k = len(f.Line) - 1
	}
	way := f.Line[min(k+1, len(f.Line)-1)].At.R3().Sub(f.Line[max(k-1, 0)].At.R3())
	axis := w.Axis.R3()
	return way.Sub(axis.Mul(way.Dot(axis))).Normalize()
}

// jig is what stands about a weld.
type jig struct {
	plan    *layout.Plan
	shell   *shell.Shell
	station *layout.Station
	weld    *layout.Weld
	axis    r3.Vector
}

// scene is the panels that are loaded and the clamps that are shut when the weld is made; it fills in the weld's own sheets.
func (j *jig) scene(loaded []parts.Part, asked *reach.Weld) *axial.Scene {
	there, open := j.byThen()
	var panels []axial.Panel
	asked.Stack = max(0, j.weld.Air)
	for _, p := range loaded {
		if !slices.Contains(there, p.Panel.ID) {
			continue
		}
		if slices.Contains(j.weld.Sheets, p.Panel.ID) {
			asked.Sheets = append(asked.Sheets, len(panels))
			asked.Stack += p.Sheet.Thickness
		}
		panels = append(panels, axial.Panel{Name: p.Panel.ID, Shape: p.Shape, Grow: grown(p.Sheet)})
	}
	for _, c := range j.station.Clamps {
		if c.Radius > 0 && !slices.Contains(open, c.ID) {
			panels = append(panels, reach.Clamp("clamp "+c.ID, c.At.R3(), j.normalAt(c.At.R3()), c.Radius, reach.ClampHeight))
		}
	}
	return &axial.Scene{Panels: panels}
}

// grown is the metal of a sheet beyond its mesh, mm.
func grown(s flange.Sheet) float64 {
	switch s.Surface {
	case flange.Skin:
		return s.Thickness
	case flange.Solid:
		return 0
	}
	return s.Thickness / 2
}

// byThen is what the steps before the weld's own have loaded and opened; all that is ever there where no step makes it.
func (j *jig) byThen() (panels, open []string) {
	for _, s := range j.station.Steps {
		if slices.Contains(s.Runs, j.weld.Run) && (s.Do != layout.DoTack || j.weld.Step == layout.Tack) {
			return panels, open
		}
		switch s.Do {
		case layout.DoLoad:
			for _, part := range s.Parts {
				panels = append(panels, j.shell.PanelsOf(part)...)
			}
		case layout.DoRelease:
			open = append(open, s.Fixtures...)
		}
	}
	return j.station.Present, nil
}

// normalAt is the sheets' normal at the place of a weld line nearest to a clamp.
func (j *jig) normalAt(at r3.Vector) r3.Vector {
	axis, least := j.axis, -1.0
	for i := range j.plan.Flanges {
		f := &j.plan.Flanges[i]
		if !slices.ContainsFunc(f.Panels, func(id string) bool { return slices.Contains(j.station.Present, id) }) {
			continue
		}
		for _, p := range f.Line {
			if d := p.At.R3().Sub(at).Norm2(); least < 0 || d < least {
				axis, least = p.Normal.R3(), d
			}
		}
	}
	return axis
}

// tools are the guns at hand, each with its tips.
func (j *jig) tools() (out []reach.Tool) {
	for _, g := range j.shell.Guns {
		if len(j.station.Guns) > 0 && !slices.Contains(j.station.Guns, g.ID) {
			continue
		}
		for _, id := range g.Tips {
			if t, ok := j.shell.Tip(id); ok {
				out = append(out, reach.Tool{Gun: g, Tip: *t})
			}
		}
	}
	return out
}

// notUsed says why a tool is not used although it may reach: its gun has less force than the weld's setting asks for, or the joint
// states another.
func (j *jig) notUsed(t reach.Tool) string {
	if weak := j.tooWeak(t.Gun); weak != "" {
		return weak
	}
	stated, ok := j.shell.Joint(j.weld.Joint)
	switch {
	case !ok:
	case stated.Gun != "" && stated.Gun != t.Gun.ID:
		return fmt.Sprintf("joint %s states gun %s", stated.ID, stated.Gun)
	case stated.Tip != "" && stated.Tip != t.Tip.ID:
		return fmt.Sprintf("joint %s states tip %s", stated.ID, stated.Tip)
	}
	return ""
}

func (j *jig) tooWeak(g shell.Gun) string {
	k := slices.IndexFunc(j.plan.Settings, func(s layout.Setting) bool { return s.ID == j.weld.Setting })
	if k < 0 || g.Force == 0 || g.Force >= j.plan.Settings[k].Force {
		return ""
	}
	return fmt.Sprintf("its %.1f kN are less than the %.1f kN of setting %s", g.Force/1000, j.plan.Settings[k].Force/1000, j.weld.Setting)
}

// arcs puts neighbouring angles that are alike together, all round.
func arcs(angles []reach.Angle) (free, blocked []Arc) {
	type kind struct {
		free bool
		by   string
		off  bool
	}
	of := func(k int) kind {
		a := angles[(k+len(angles))%len(angles)]
		return kind{a.Air > 0, a.Panel, a.Off}
	}
	first := 0
	for first < len(angles) && of(first) == of(first-1) {
		first++
	}
	free, blocked = []Arc{}, []Arc{}
	for k := first; k < first+len(angles); {
		n := 1
		for n < len(angles) && of(k+n) == of(k) && k+n < first+len(angles) {
			n++
		}
		arc := Arc{From: angles[k%len(angles)].Turn, To: angles[(k+n-1)%len(angles)].Turn, Panel: of(k).by, Off: of(k).off}
		if of(k).free {
			free = append(free, arc)
		} else {
			blocked = append(blocked, arc)
		}
		k += n
	}
	return free, blocked
}
