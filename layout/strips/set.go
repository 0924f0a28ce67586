// Package strips is a finished plan as what judges it sees it: every flange of a joint as a strip, with its stack and the limits
// that hold for it, its sides, its welds in rows with the gaps between them, the edges about each weld, and the strip that it goes on as.
//
//	all, err := strips.Gather(ctx, plan, sh, in)
//	for _, s := range all.Strips {
//		for _, g := range s.Gaps(s.Welds) {
//			fmt.Println(s.Flange.ID, g.A.Number, g.B.Number, g.Length())
//		}
//	}
//
// In go a plan, the shell that it was made from and the rules in force; out come places and lengths, which know nothing of what is
// asked of them. Millimetres in the shell's frame; along is along the weld line, left and right as one walks it with the sheets' normal up.
package strips

import (
	"cmp"
	"context"
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/internal/work"
	"seamwright/layout"
	"seamwright/seams/inforce"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// Set is the strips of a plan, with the shell and the rules that it was made from.
type Set struct {
	Plan   *layout.Plan
	Shell  *shell.Shell
	Rules  *inforce.Rules      // in force for it
	Strips []*Strip            // in the plan's order
	near   map[pairKey]float64 // mm along a sheet
}

// Gather makes the strips of a plan. It does not change the plan. An error means that plan and shell do not belong together.
func Gather(ctx context.Context, p *layout.Plan, sh *shell.Shell, in *inforce.Rules) (*Set, error) {
	c := &Set{Plan: p, Shell: sh, Rules: in}
	strips := make([]*Strip, len(c.Plan.Flanges))
	err := work.Each(ctx, 0, len(strips), func(i int) (err error) {
		f := &c.Plan.Flanges[i]
		if f.Joint == "" {
			return nil
		}
		if strips[i], err = c.strip(f); err != nil {
			return fmt.Errorf("flange %s: %w", f.ID, err)
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	c.Strips = slices.DeleteFunc(strips, func(s *Strip) bool { return s == nil })
	for i := range c.Plan.Welds {
		w := &c.Plan.Welds[i]
		s := c.Of(w.Flange)
		if s == nil {
			return nil, fmt.Errorf("weld %d at %s: there is no flange %s", w.Number, w.Station, w.Flange)
		}
		s.Welds, s.LastRow = append(s.Welds, w), max(s.LastRow, w.Row)
	}
	for _, s := range c.Strips {
		slices.SortStableFunc(s.Welds, func(a, b *layout.Weld) int { return cmp.Compare(a.Along, b.Along) })
		s.pairs = map[[2]*layout.Weld]bool{}
		for _, g := range s.Gaps(s.Welds) {
			s.pairs[[2]*layout.Weld{g.A, g.B}] = true
		}
	}
	c.join()
	c.gatherNear()
	return c, nil
}

func (c *Set) strip(f *layout.Flange) (*Strip, error) {
	if len(f.Line) < 2 || !(f.Length > 0) {
		return nil, fmt.Errorf("its weld line of %d points and %v mm is none", len(f.Line), f.Length)
	}
	s := &Strip{Flange: f, Stated: &shell.Joint{ID: f.Joint}, Kind: layout.SpotJoint}
	if j, ok := c.Shell.Joint(f.Joint); ok {
		s.Stated = j
	}
	if k := slices.IndexFunc(c.Plan.Joints, func(j layout.Joint) bool { return j.ID == f.Joint }); k >= 0 {
		s.Kind, s.Station = c.Plan.Joints[k].Kind, c.Plan.Joints[k].Station
	}
	var err error
	if s.Stack, err = c.Rules.Stack(f.Panels); err != nil {
		return nil, err
	}
	s.Limits = c.Rules.Limits(s.Stack, s.Stated)
	s.Carries = c.Rules.Strength(s.Stack, s.Stated)
	s.Line, s.ends = f.Curve(), f.Sides()
	for _, p := range f.Line {
		s.Along = append(s.Along, p.Along)
		s.Measured = s.Measured || p.Left+p.Right > 0
	}
	return s, nil
}

// Of is the strip of a flange by the flange's id; nil where it is none of a joint.
func (c *Set) Of(id string) *Strip {
	for _, s := range c.Strips {
		if s.Flange.ID == id {
			return s
		}
	}
	return nil
}

// join finds the ends beyond which two of the sheets go on as another strip: such an end is no edge of a sheet.
func (c *Set) join() {
	for _, s := range c.Strips {
		if s.Flange.Closed {
			continue
		}
		for end, at := range []r3.Vector{s.Line.Points[0], s.Line.Points[len(s.Line.Points)-1]} {
			for _, o := range c.Strips {
				if o == s || common(s.Flange.Panels, o.Flange.Panels) < 2 || s.Beside(o) {
					continue
				}
				if _, d := o.Line.Nearest(at); d <= s.reach() || s.bridged(end, o) {
					s.Onto[end] = o
					break
				}
			}
		}
	}
}

// Face is the diameter in mm of the electrode face at a weld: the rule's where no tip is chosen, and where there is no weld.
func (c *Set) Face(s *Strip, w *layout.Weld) float64 {
	if w != nil {
		if t, ok := c.Shell.Tip(w.Tip); ok {
			return t.Face
		}
	}
	return s.Limits.TipFace.Value
}

// pairKey names two welds, by station and number.
type pairKey [2]struct {
	station string
	number  int
}

// gatherNear files what the plan holds of distances along sheets, either way round.
func (c *Set) gatherNear() {
	c.near = map[pairKey]float64{}
	for _, n := range c.Plan.NearWelds {
		c.near[pairKey{{n.Station, n.Weld}, {n.OtherStation, n.Other}}] = n.Along
		c.near[pairKey{{n.OtherStation, n.Other}, {n.Station, n.Weld}}] = n.Along
	}
}

// Between is the distance in mm between two welds: along the sheet where the plan holds that, else straight, which is never longer.
func (c *Set) Between(a, b *layout.Weld) float64 {
	straight := a.Position.R3().Distance(b.Position.R3())
	return math.Max(straight, c.near[pairKey{{a.Station, a.Number}, {b.Station, b.Number}}])
}

// WeldsOf counts the spots of a joint.
func (c *Set) WeldsOf(joint string) int {
	n := 0
	for _, w := range c.Plan.Welds {
		if w.Joint == joint {
			n++
		}
	}
	return n
}

// StackKey names a stack-up whichever side it is seen from, strengths included.
func StackKey(stack rule.Stack) string {
	back := slices.Clone(stack)
	slices.Reverse(back)
	return min(fmt.Sprintf("%v", []rule.Sheet(stack)), fmt.Sprintf("%v", []rule.Sheet(back)))
}

// Stacks lists the different stack-ups of a joint's strips, in the plan's order.
func Stacks(p *layout.Plan, in *inforce.Rules, joint string) ([]rule.Stack, error) {
	var out []rule.Stack
	for i := range p.Flanges {
		if p.Flanges[i].Joint != joint {
			continue
		}
		s, err := in.Stack(p.Flanges[i].Panels)
		if err != nil {
			return nil, fmt.Errorf("flange %s: %w", p.Flanges[i].ID, err)
		}
		if !slices.ContainsFunc(out, func(o rule.Stack) bool { return StackKey(o) == StackKey(s) }) {
			out = append(out, s)
		}
	}
	return out, nil
}
