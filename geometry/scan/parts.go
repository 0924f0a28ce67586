package scan

import (
	"context"
	"slices"

	"seamwright/geometry/cull"
	"seamwright/geometry/mesh"
	"seamwright/internal/work"
)

// Done is what was done to one mesh.
type Done struct {
	Is    bool           // it is a noisy scan; else nothing was done
	Whole *mesh.Mesh     // all of it, cleaned
	Topo  *mesh.Topology // of what is left of it, where that is at hand
	Cleaning
	Fairing
}

// Alone is a mesh that is looked at by itself, faired where it is a noisy scan, and what was done to it.
func Alone(m *mesh.Mesh, limits Limits) (*mesh.Mesh, Done) {
	d := cleaned(m, m, limits)
	if d.Is {
		m, d.Fairing = Faired(d.Whole, d.Facet)
	}
	return m, d
}

// cleaned is a mesh cleaned where it is a noisy scan, as told from a part of it.
func cleaned(m, part *mesh.Mesh, limits Limits) Done {
	d := Done{Whole: m}
	if d.Facet, d.Is, d.Topo = Noise(part); d.Is {
		d.Topo = nil
		d.Whole, d.Cleaning = Clean(m, limits)
	}
	return d
}

// Parts returns what of each mesh may come within a distance, mm, of another one (see cull.NearParts), and what was done to those of
// noisy scans. Whether a mesh is one is told from that part.
func Parts(ctx context.Context, meshes []*mesh.Mesh, within float64, limits Limits, workers int) ([]*mesh.Mesh, []Done, error) {
	parts, err := cull.NearParts(ctx, meshes, within, workers)
	if err != nil {
		return nil, nil, err
	}
	done := make([]Done, len(meshes))
	err = work.Each(ctx, workers, len(meshes), func(i int) error {
		done[i] = cleaned(meshes[i], parts[i], limits)
		return nil
	})
	if err == nil && slices.ContainsFunc(done, func(d Done) bool { return d.Some() }) {
		wholes := make([]*mesh.Mesh, len(meshes))
		for i := range done {
			wholes[i], done[i].Topo = done[i].Whole, nil
		}
		parts, err = cull.NearParts(ctx, wholes, within, workers)
	}
	if err != nil {
		return nil, nil, err
	}
	return parts, done, work.Each(ctx, workers, len(meshes), func(i int) error {
		if d := &done[i]; d.Is {
			parts[i], d.Fairing = Faired(parts[i], d.Facet)
		}
		return nil
	})
}
