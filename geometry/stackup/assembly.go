package stackup

import (
	"context"
	"math"

	"seamwright/geometry/kit"
	"seamwright/geometry/surface"
	"seamwright/internal/work"
)

// Assembly is all sheets, ready to be asked, in an order by which it is told who reports what they have in common.
type Assembly struct {
	Limits
	Panels     []*surface.Panel
	Neighbours [][]int // sheets whose boxes come within reach of the sheet's
	Thickest   float64 // mm
	CosLimit   float64
	cosClamp   float64 // of the angle that clamps close, where none is stated
}

// Farthest is how far from a sheet the trees of others are asked at most, mm.
func (l *Limits) Farthest(sheets []surface.Sheet) float64 {
	t := thickestOf(sheets)
	const aside = 1 // mm: places beyond a sheet are not quite over where it was met
	return math.Max(3*t+2*math.Max(l.widestClamp(), l.UnknownReach), t+FacingReach) + aside
}

func thickestOf(sheets []surface.Sheet) float64 {
	most := 0.0
	for _, s := range sheets {
		most = math.Max(most, s.Thickness)
	}
	return most
}

// NewAssembly makes sheets ready, of which the meshes may be the parts that come near to others (see cull.NearParts); wholes is what
// the whole ones are.
func NewAssembly(ctx context.Context, sheets []surface.Sheet, wholes []surface.Whole, limits Limits, workers int) (*Assembly, error) {
	a := &Assembly{
		Limits: limits, Panels: make([]*surface.Panel, len(sheets)), Thickest: thickestOf(sheets),
		CosLimit: kit.CosDegrees(limits.AngleLimit), cosClamp: kit.CosDegrees(limits.ClampAngle),
	}
	each := max(1, workers/max(1, len(sheets)))
	err := work.Each(ctx, workers, len(sheets), func(i int) error {
		a.Panels[i] = surface.NewPanel(sheets[i], wholes[i], limits.AngleLimit, each)
		a.Panels[i].Workers = workers
		return nil
	})
	if err != nil {
		return nil, err
	}
	a.meet(limits.Farthest(sheets))
	return a, nil
}

// Alone is an assembly of one sheet, of which it is known what all of it is.
func Alone(s surface.Sheet, whole surface.Whole, limits Limits) *Assembly {
	return &Assembly{
		Limits: limits, Panels: []*surface.Panel{surface.NewPanel(s, whole, limits.AngleLimit, 1)}, Neighbours: [][]int{nil},
		Thickest: s.Thickness, CosLimit: kit.CosDegrees(limits.AngleLimit), cosClamp: kit.CosDegrees(limits.ClampAngle),
	}
}

// meet finds for every sheet the others that come within reach, or near enough to face it.
func (a *Assembly) meet(within float64) {
	a.Neighbours = make([][]int, len(a.Panels))
	for i, p := range a.Panels {
		for j, q := range a.Panels {
			if i != j && !p.Tree.Box().IsEmpty() && p.Tree.Box().Grow(within).Overlaps(q.Tree.Box()) {
				a.Neighbours[i] = append(a.Neighbours[i], j)
			}
		}
	}
}

// Host is one sheet of an assembly, at whose places it is asked which others lie on it. It is for one goroutine.
type Host struct {
	*Assembly
	Index   int
	around  *facetGrid
	scene   *scene    // what is about one of its places
	skins   skinSides // none where there are none to be told
	closing bool      // sheets are taken up to the clamps' limits
	opened  opened    // places that clamps close
}

// Workspace is what hosts are asked about in, one after another, so that its buffers grow once and not for each.
type Workspace struct {
	around facetGrid
	scene  scene
	wide   scene // of its open places
}

// On is a sheet as host, in a room, within the plain limits or those of the clamps.
func (a *Assembly) On(index int, closing bool, in *Workspace) *Host {
	h := &Host{Assembly: a, Index: index, around: &in.around, scene: &in.scene, closing: closing}
	asked := *h
	in.around.reset(&asked)
	return h
}

// Aside is the same host, with what is known of it, in a room of its own for another goroutine. A room in which it was before is as it was
// left. The host itself must not change until all of its own are done with.
func (h *Host) Aside(in *Workspace) *Host {
	if in.around.like != h.around || in.around.turn != h.around.turn {
		in.around.follow(h.around)
	}
	own := *h
	own.around, own.scene = &in.around, &in.scene
	if h.opened.wide != nil {
		wide := *h.opened.wide
		wide.around, wide.scene = &in.around, &in.wide
		own.opened.wide = &wide
	}
	return &own
}
