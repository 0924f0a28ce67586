package flange

import (
	"context"
	"crypto/sha256"
	"fmt"
	"math"
	"runtime"
	"sync"
	"sync/atomic"

	"seamwright/geometry/mesh"
	"seamwright/internal/work"
)

// finder is one search over all sheets.
type finder struct {
	opt        Options
	panels     []*panel
	parts      []func() [sha256.Size]byte // hashes of the panels' meshes, each worked out once
	order      []int                      // the sheets' places in the caller's order
	neighbours [][]int                    // sheets whose boxes come within reach of the sheet's
	thickest   float64
	cosLimit   float64
	cosClamp   float64    // of the angle that clamps close, where none is stated
	around     *vicinity  // of the host at hand
	scene      *scene     // what is about one of its places
	room       *room      // that the two are in, and more
	skins      *skinSides // of the host at hand; nil where there are none to be told
	edge       int32      // the host's triangle at the edge that was asked about last
	moments    []moment   // of sheets
	closing    bool       // sheets are taken up to the clamps' limits
	open       *opened    // places of the host that clamps close; nil for none
	small      []Small    // contacts of the host at hand that are no flanges
}

func (o Options) withDefaults() Options {
	set := func(v *float64, d float64) {
		if *v == 0 {
			*v = d
		}
	}
	set(&o.GapLimit, 0.5)
	set(&o.SearchGap, o.GapLimit+0.5)
	set(&o.AngleLimit, 8)
	set(&o.LeastWidth, 4)
	set(&o.LeastLength, 12)
	set(&o.UnknownReach, 3)
	set(&o.ClampGap, 3)
	set(&o.ClampAngle, 10)
	set(&o.Step, 2)
	if o.Workers <= 0 {
		o.Workers = runtime.GOMAXPROCS(0)
	}
	return o
}

// Find returns every strip where two or more of the sheets lie on each other, and the places where they
// face each other too far apart. The order of the result is fixed: by sheets, then by place.
//
// Measures and weld lines do not depend on the order of the sheets or of their triangles, and turn and move with
// them, to 1e-6 of their size: the host of a strip, from whose side it is measured, is the smallest of its sheets. An
// open line starts at the end that is farther from the middle of the sheets' metal, a closed one where it passes the
// corner of the strip that is farthest from there; only where sheets are so regular that these are equal do
// coordinates decide, and then a closed line's points, though not its course, turn with the axes. The order of the
// strips, and so their IDs, goes by coordinates.
func Find(ctx context.Context, sheets []Sheet, opt Options) (*Found, error) {
	opt = opt.withDefaults()
	if len(sheets) > math.MaxInt16 {
		return nil, fmt.Errorf("find flanges: %d sheets are more than %d", len(sheets), math.MaxInt16)
	}
	f := &finder{opt: opt, cosLimit: cosDegrees(opt.AngleLimit), cosClamp: cosDegrees(opt.ClampAngle), panels: make([]*panel, len(sheets))}
	sheets, order, err := f.inRank(ctx, sheets)
	if err != nil {
		return nil, err
	}
	f.order, f.opt.Clamps = order, ranksOf(opt.Clamps, order)
	within := f.farthestAsked(sheets)
	meshes := make([]*mesh.Mesh, len(sheets))
	for i := range sheets {
		meshes[i] = sheets[i].Mesh
	}
	parts, err := NearParts(ctx, meshes, within, f.opt.Workers)
	if err != nil {
		return nil, err
	}
	each := opt
	each.Workers = max(1, opt.Workers/max(1, len(sheets)))
	if err := f.parallel(ctx, len(sheets), func(i int) error {
		part := sheets[i]
		part.Mesh = faired(parts[i])
		f.panels[i] = newPanel(part, each)
		f.panels[i].loose = isLoose(sheets[i].Mesh)
		return nil
	}); err != nil {
		return nil, err
	}
	for _, p := range f.panels {
		f.parts = append(f.parts, sync.OnceValue(p.Mesh.Hash))
	}
	f.meet(within)
	rooms := make(chan *room, opt.Workers)
	for range opt.Workers {
		rooms <- &room{}
	}
	var done atomic.Int64
	found := make([]Found, len(sheets))
	err = f.parallel(ctx, len(sheets), func(k int) error {
		i := len(sheets) - 1 - k // the largest first, so that no worker ends with it alone
		in := <-rooms
		defer func() { rooms <- in }()
		var err error
		if found[i], err = f.onHost(ctx, i, in); err != nil {
			return fmt.Errorf("find flanges of panel %s: %w", sheets[i].Name, err)
		}
		if opt.Progress != nil {
			opt.Progress(int(done.Add(1)), len(sheets))
		}
		return nil
	})
	if err != nil {
		return nil, err
	}
	return collect(found), nil
}

func (f *finder) parallel(ctx context.Context, n int, do func(i int) error) error {
	return work.Each(ctx, f.opt.Workers, n, do)
}

// farthestAsked is how far from a sheet the trees of others are asked at most.
func (f *finder) farthestAsked(sheets []Sheet) float64 {
	for _, s := range sheets {
		f.thickest = math.Max(f.thickest, s.Thickness)
	}
	const aside = 1 // mm: places beyond a sheet are not quite over where it was met
	return math.Max(3*f.thickest+2*math.Max(f.opt.widestClamp(), f.opt.UnknownReach), f.thickest+facingReach) + aside
}

// meet finds for every sheet the others that come within reach, or near enough to face it.
func (f *finder) meet(within float64) {
	f.neighbours = make([][]int, len(f.panels))
	for i, p := range f.panels {
		for j, q := range f.panels {
			if i != j && !p.tree.Box().IsEmpty() && p.tree.Box().Grow(within).Overlaps(q.tree.Box()) {
				f.neighbours[i] = append(f.neighbours[i], j)
			}
		}
	}
}

// onHost finds the strips for which sheet host is the first. The numbers of sheets are the caller's.
func (f *finder) onHost(ctx context.Context, host int, in *room) (Found, error) {
	own := f.on(host, in)
	near := Found{Near: own.facing(host)}
	near.restore(f.order)
	if len(own.neighbours[host]) == 0 {
		return near, nil
	}
	found, err := f.kept(host, func() (Found, error) { return f.stripsOn(ctx, own, host, in) })
	found.Near = near.Near
	return found, err
}

// stripsOn finds them as own, the finder on that host.
func (f *finder) stripsOn(ctx context.Context, own *finder, host int, in *room) (Found, error) {
	var found Found
	patch, err := own.refine(ctx, host)
	if err != nil || len(patch.tris) == 0 {
		return found, err
	}
	own.skins = own.tellSides(host, patch)
	c := &in.cutter
	opening, err := c.cutPatch(ctx, own, host, patch)
	if err != nil {
		return found, err
	}
	if opening {
		if own, err = f.reopen(ctx, host, in); err != nil {
			return found, err
		}
	}
	f = own
	for _, r := range c.regions() {
		if ctx.Err() != nil {
			return found, ctx.Err()
		}
		found.Flanges = append(found.Flanges, f.strips(r)...)
	}
	found.Small = f.small
	return found, nil
}

// reachesFreeEdge says whether some of the region's border is a free edge of one of its sheets: skins that
// merely pass near each other do not end there.
func (f *finder) reachesFreeEdge(r *region, loops [][]int32) bool {
	free := 0.0
	for _, loop := range loops {
		for i, a := range loop {
			b := loop[(i+1)%len(loop)]
			if f.edgeEnd(r, a, b).why == FreeEdge {
				free += r.mesh.Vertices[a].Sub(r.mesh.Vertices[b]).Norm()
			}
		}
	}
	return free >= 0.25*r.lengthAround(loops[0])
}

// raggedness is what a border swerves at most where bends end it raggedly, mm.
const raggedness = 4.

// lengthAround is the length of a loop in steps of some millimetres, so that a ragged border is no longer than a straight one.
func (r *region) lengthAround(loop []int32) float64 {
	sum, from := 0.0, r.mesh.Vertices[loop[0]]
	for i := range loop {
		p := r.mesh.Vertices[loop[(i+1)%len(loop)]]
		if step := p.Sub(from).Norm(); step >= raggedness || i == len(loop)-1 {
			sum, from = sum+step, p
		}
	}
	return sum
}
