package flange

import (
	"context"
	"crypto/sha256"
	"fmt"
	"math"
	"runtime"
	"slices"
	"sync"
	"sync/atomic"

	"seamwright/geometry/contact"
	"seamwright/geometry/mesh"
	"seamwright/geometry/scan"
	"seamwright/geometry/stackup"
	"seamwright/geometry/surface"
	"seamwright/internal/work"
)

// finder is one search over all sheets.
type finder struct {
	opt    Options
	all    *stackup.Assembly
	hashes []func() [sha256.Size]byte // hashes of the panels' meshes, each worked out once
	order  []int                      // the sheets' places in the caller's order
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
	set(&o.ScanSpeck, 25)
	set(&o.ScanHole, 3)
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
	f := &finder{opt: opt}
	sheets, wholes, err := f.inRank(ctx, sheets)
	if err != nil {
		return nil, err
	}
	limits := f.opt.limits()
	// From here on the whole meshes are not asked for any more: who gives them away has their memory back.
	sheets, scans, err := f.parts(ctx, sheets, wholes, limits.Farthest(sheets))
	if err != nil {
		return nil, err
	}
	if f.all, err = stackup.NewAssembly(ctx, sheets, wholes, limits, opt.Workers); err != nil {
		return nil, err
	}
	for i := range sheets {
		f.hashes = append(f.hashes, sync.OnceValue(f.all.Panels[i].Mesh.Hash))
	}
	crew := work.NewCrew(opt.Workers)
	rooms := make([]contact.Workspace, crew.Size())
	var done atomic.Int64
	found := make([]Found, len(sheets))
	err = crew.Each(ctx, len(sheets), func(who, k int) error {
		i := len(sheets) - 1 - k // the largest first, so that no worker ends with it alone
		in := &rooms[who]
		in.Crew = crew
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
	out := collect(found)
	out.Scans = scans
	return out, nil
}

func (f *finder) parallel(ctx context.Context, n int, do func(i int) error) error {
	return work.Each(ctx, f.opt.Workers, n, do)
}

// limits are what says how near sheets lie on each other.
func (o *Options) limits() stackup.Limits {
	return stackup.Limits{SearchGap: o.SearchGap, AngleLimit: o.AngleLimit, ClampGap: o.ClampGap, ClampAngle: o.ClampAngle, Clamps: o.Clamps,
		UnknownReach: o.UnknownReach, LeastFacing: o.LeastLength * o.LeastWidth}
}

func (o *Options) scanLimits() scan.Limits { return scan.Limits{Speck: o.ScanSpeck, Hole: o.ScanHole} }

// parts are the sheets with what of their meshes may come near to another, those of scans without what the scanner made. wholes
// is changed to what such a scan then is.
func (f *finder) parts(ctx context.Context, sheets []Sheet, wholes []surface.Whole, within float64) ([]Sheet, []Scan, error) {
	meshes := make([]*mesh.Mesh, len(sheets))
	for i := range sheets {
		meshes[i] = sheets[i].Mesh
	}
	meshes, done, err := scan.Parts(ctx, meshes, within, f.opt.scanLimits(), f.opt.Workers)
	if err != nil {
		return nil, nil, err
	}
	out, scans := slices.Clone(sheets), []Scan(nil)
	for i := range out {
		d := &done[i]
		if out[i].Mesh, wholes[i].Topo = meshes[i], d.Topo; d.Is {
			if d.Some() {
				wholes[i] = surface.WholeOf(d.Whole)
			}
			wholes[i].Scan = true
			scans = append(scans, Scan{f.order[i], d.Cleaning, d.Fairing})
		}
	}
	slices.SortFunc(scans, func(a, b Scan) int { return a.Sheet - b.Sheet })
	return out, scans, nil
}

// onHost finds the strips for which sheet host is the first. The numbers of sheets are the caller's.
func (f *finder) onHost(ctx context.Context, host int, in *contact.Workspace) (Found, error) {
	h := in.Host(f.all, host)
	near := Found{Near: h.Facing()}
	near.restore(f.order)
	if len(f.all.Neighbours[host]) == 0 {
		return near, nil
	}
	found, err := f.kept(host, func() (Found, error) { return f.stripsOn(ctx, h, in) })
	found.Near = near.Near
	return found, err
}

// stripsOn finds them.
func (f *finder) stripsOn(ctx context.Context, h *stackup.Host, in *contact.Workspace) (Found, error) {
	var found Found
	h, laps, err := in.Laps(ctx, h)
	if err != nil {
		return found, err
	}
	of := make([]Found, len(laps))
	if err := in.EachLap(ctx, h, laps, func(h *stackup.Host, i int) {
		on := onHost{Host: h, opt: f.opt, crew: in.Crew}
		of[i].Flanges, of[i].Small = on.strips(laps[i]), on.small
	}); err != nil {
		return found, err
	}
	for _, o := range of {
		found.Flanges, found.Small = append(found.Flanges, o.Flanges...), append(found.Small, o.Small...)
	}
	return found, nil
}
