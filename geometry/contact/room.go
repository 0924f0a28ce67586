package contact

import (
	"context"
	"slices"

	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
	"seamwright/internal/work"
)

// Workspace is what hosts are worked on in, one after another.
type Workspace struct {
	Crew   *work.Crew // who helps with a host; nil: nobody
	asked  stackup.Workspace
	aside  []stackup.Workspace // of the helpers
	patch  region.Patch
	cutter cutter
}

// Host is a sheet of an assembly as host, asked in this room.
func (in *Workspace) Host(a *stackup.Assembly, index int) *stackup.Host {
	return a.On(index, false, &in.asked)
}

// atOnce is how many places one worker asks about before it takes more.
const atOnce = 512

// each does something with the places 0 to n-1 of a host, some at a time: each worker has the host in a room of its own. What is asked of
// a place depends on no other, so that it does not matter who asks.
func (in *Workspace) each(ctx context.Context, h *stackup.Host, n int, do func(h *stackup.Host, from, to int)) error {
	return in.pieces(ctx, h, (n+atOnce-1)/atOnce, func(h *stackup.Host, i int) { do(h, i*atOnce, min(n, (i+1)*atOnce)) })
}

// pieces does n pieces of work on a host.
func (in *Workspace) pieces(ctx context.Context, h *stackup.Host, n int, do func(h *stackup.Host, i int)) error {
	if in.aside == nil {
		in.aside = make([]stackup.Workspace, in.Crew.Size())
	}
	hosts := make([]*stackup.Host, len(in.aside))
	hosts[0] = h
	return in.Crew.Each(ctx, n, func(who, i int) error {
		if hosts[who] == nil {
			hosts[who] = h.Aside(&in.aside[who])
		}
		do(hosts[who], i)
		return nil
	})
}

// EachLap does something with each of a host's laps, the largest first, given the host in the room of who does it: until the next time the
// lap is asked of that one.
func (in *Workspace) EachLap(ctx context.Context, h *stackup.Host, laps []*Lap, do func(h *stackup.Host, lap int)) error {
	order := make([]int, len(laps))
	for i := range order {
		order[i] = i
	}
	slices.SortStableFunc(order, func(a, b int) int { return len(laps[b].Mesh.Triangles) - len(laps[a].Mesh.Triangles) })
	return in.pieces(ctx, h, len(laps), func(h *stackup.Host, i int) {
		lap := laps[order[i]]
		lap.About = newLabels(h).about(lap.Stack)
		do(h, order[i])
	})
}

// Laps finds the laps that a host reports. What they are is to be asked of the host that is returned.
func (in *Workspace) Laps(ctx context.Context, h *stackup.Host) (*stackup.Host, []*Lap, error) {
	defer in.letGo()
	opening, some, err := in.lookAt(ctx, h, false)
	if err == nil && opening && len(in.cutter.ajar) > 0 { // what opens just before an edge is told from ways that lie as near as fine
		opening, some, err = in.lookAt(ctx, h, true)
	}
	if err != nil || !some {
		return h, nil, err
	}
	if opening {
		if h, err = in.reopen(ctx, h.Assembly, h.Index); err != nil {
			return h, nil, err
		}
	}
	in.patch, in.cutter = region.Patch{}, in.cutter.pieces()
	laps, err := in.cutter.regions(ctx, in.Crew)
	return h, laps, err
}

// letGo lets go of what cutting a host took: as much again as its laps, which are all that the host still needs. To keep it for the next
// host saves no time.
func (in *Workspace) letGo() {
	in.patch, in.cutter = region.Patch{}, cutter{}
}

// lookAt cuts a host's patch, fine everywhere or about details alone, and says whether that calls for a second look, and whether there is
// a patch.
func (in *Workspace) lookAt(ctx context.Context, h *stackup.Host, everywhere bool) (opening, some bool, err error) {
	patch, err := in.refine(ctx, h, everywhere)
	if err != nil || len(patch.Tris) == 0 {
		return false, false, err
	}
	h.TellSides(patch.Points, patch.Normals)
	opening, err = in.cutPatch(ctx, h, patch)
	return opening, true, err
}
