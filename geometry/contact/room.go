package contact

import (
	"context"

	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
)

// Workspace is what hosts are worked on in, one after another, so that its buffers grow once and not for each.
type Workspace struct {
	asked  stackup.Workspace
	patch  region.Patch
	cutter cutter
	angles []float64 // of the corners of the host at hand, as its fan
}

// Host is a sheet of an assembly as host, asked in this room.
func (in *Workspace) Host(a *stackup.Assembly, index int) *stackup.Host {
	return a.On(index, false, &in.asked)
}

// Laps finds the laps that a host reports. What they are is to be asked of the host that is returned.
func (in *Workspace) Laps(ctx context.Context, h *stackup.Host) (*stackup.Host, []*Lap, error) {
	patch, err := in.refine(ctx, h)
	if err != nil || len(patch.Tris) == 0 {
		return h, nil, err
	}
	h.TellSides(patch.Points, patch.Normals)
	opening, err := in.cutter.cutPatch(ctx, h, patch)
	if err != nil {
		return h, nil, err
	}
	if opening {
		if h, err = in.reopen(ctx, h.Assembly, h.Index); err != nil {
			return h, nil, err
		}
	}
	return h, in.cutter.regions(), nil
}
