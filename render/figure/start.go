package figure

import (
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// Start is where a flange's marking strip is laid on.
type Start struct {
	Flange string
	At, To layout.Vec // the start, and a place a little along the strip
	stack  float64
}

// headingOver is how far along the strip the way is taken, mm.
const headingOver = 30.0

// Starts are those of all flanges that are welded here.
func (set *Set) Starts() []Start {
	var out []Start
	for _, fl := range set.Here.Flanges {
		fl, _ = layout.Rebase(fl, set.Index.Flange(fl.ID).Welds)
		if len(fl.Line) < 2 {
			continue
		}
		k := slices.IndexFunc(fl.Line[1:], func(p layout.LinePoint) bool { return p.Along-fl.Line[0].Along >= headingOver })
		to := fl.Line[len(fl.Line)-1]
		if k >= 0 {
			to = fl.Line[k+1]
		}
		out = append(out, Start{fl.ID, fl.Line[0].At, to.At, set.Stack(fl.Panels)})
	}
	return out
}

// StartIn finds the view or detail that shows a start, of several the one that numbers most of the flange's welds; nil when none does.
func (set *Set) StartIn(s Start) *Figure {
	var best *Figure
	most := -1
	for _, c := range set.All() {
		if c.Gauge || c.Picture == nil || !c.Shows(s.At.R3()) || !c.Picture.Shows(s.At.R3(), s.stack+Slack) {
			continue
		}
		n := 0
		for i, w := range set.Here.Welds {
			if w.Flange == s.Flange && set.Shown(i) == c {
				n++
			}
		}
		if n > most {
			best, most = c, n
		}
	}
	return best
}

// Faces tells for each flange welded here the panel on whose outer face the view looks that numbers most of its welds: where its
// marking strip is laid.
func (set *Set) Faces() map[string]string {
	out := map[string]string{}
	for _, fl := range set.Here.Flanges {
		if len(fl.Panels) == 0 || len(fl.Line) == 0 {
			continue
		}
		towards := 0.0 // the last panel, on whose side normals point
		for i, w := range set.Here.Welds {
			if w.Flange == fl.ID {
				towards -= normalAt(fl, w.Along).Dot(set.Shown(i).Dir.Look)
			}
		}
		if towards == 0 { // no spots: by the view that looks most squarely
			for _, f := range set.Figures {
				if c := normalAt(fl, fl.Length/2).Dot(f.Dir.Look); !f.Gauge && c*c > towards*towards {
					towards = -c
				}
			}
		}
		out[fl.ID] = fl.Panels[len(fl.Panels)-1]
		if towards < 0 {
			out[fl.ID] = fl.Panels[0]
		}
	}
	return out
}

// normalAt is the normal of a flange's weld line at the measured place nearest to mm along it.
func normalAt(fl layout.Flange, along float64) r3.Vector {
	k, _ := slices.BinarySearchFunc(fl.Line, along, func(p layout.LinePoint, v float64) int {
		if p.Along < v {
			return -1
		}
		return 1
	})
	return fl.Line[min(k, len(fl.Line)-1)].Normal.R3()
}
