// Package model writes a plan for other programs: welds as DXF, panels and welds as glTF, and joints in the
// open joining XML of the automotive research associations (xMCF).
//
//	var b bytes.Buffer
//	err := model.DXF(&b, plan)
//	err = model.GLB(&b, plan, []model.Panel{{ID: "roof", Mesh: roof}})
//	err = model.XMCF(&b, plan)
//
// Places are those of the shell's frame, in millimetres; glTF, which asks for metres and y upwards, gets the
// frame as its topmost node. The same plan gives the same bytes.
package model

import (
	"fmt"
	"math"
	"strings"

	"seamwright/geometry/mesh"
	"seamwright/layout"
)

// Panel is a panel's mesh in its place.
type Panel struct {
	ID   string
	Mesh *mesh.Mesh
}

// usable refuses plans by another hand with places that are not numbers or axes that are none.
func usable(plan *layout.Plan) error {
	for _, w := range plan.Welds {
		if !finite(w.Position) || !finite(w.Axis) {
			return fmt.Errorf("station %s: weld %d: its place or axis is not a number", w.Station, w.Number)
		}
		if n := w.Axis.R3().Norm(); n < 0.99 || n > 1.01 {
			return fmt.Errorf("station %s: weld %d: its axis is %.3g long: it must be a unit vector", w.Station, w.Number, n)
		}
	}
	for _, r := range plan.Seams {
		if len(r.Path) < 2 {
			return fmt.Errorf("roller seam %s: its path has %d points: it needs two or more", r.ID, len(r.Path))
		}
		for i, p := range r.Path {
			if !finite(p) {
				return fmt.Errorf("roller seam %s: point %d of its path is not a number", r.ID, i)
			}
		}
	}
	return nil
}

func finite(v layout.Vec) bool {
	for _, x := range v {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return false
		}
	}
	return true
}

// name is a weld's name in files: its station and number.
func name(w layout.Weld) string { return fmt.Sprintf("%s weld %d", w.Station, w.Number) }

// atStation is what is welded at a station, in the plan's order.
type atStation struct {
	id    string
	welds []layout.Weld
	seams []layout.Seam
}

// stations are those of the plan, and behind them any that only a weld or seam of a plan by another hand names.
func stations(plan *layout.Plan) []*atStation {
	var out []*atStation
	known := map[string]*atStation{}
	of := func(id string) *atStation {
		if known[id] == nil {
			known[id] = &atStation{id: id}
			out = append(out, known[id])
		}
		return known[id]
	}
	for _, s := range plan.Stations {
		of(s.ID)
	}
	for _, w := range plan.Welds {
		s := of(w.Station)
		s.welds = append(s.welds, w)
	}
	for _, r := range plan.Seams {
		s := of(r.Station)
		s.seams = append(s.seams, r)
	}
	return out
}

// step is a weld's step, never empty.
func step(w layout.Weld) layout.WeldStep {
	if w.Step == "" {
		return layout.Fill
	}
	return w.Step
}

// layerName leaves out what R2000 does not allow in a layer's name.
func layerName(s string) string {
	return strings.Map(func(r rune) rune {
		if r < ' ' || r == 0x7f || r > 0xfffd || strings.ContainsRune("<>/\\\":;?*|=`", r) {
			return '-'
		}
		return r
	}, s)
}
