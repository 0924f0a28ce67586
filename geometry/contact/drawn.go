package contact

import (
	"context"
	"slices"

	"seamwright/geometry/region"
	"seamwright/geometry/stackup"
)

// FaceOf is a lap of one sheet alone, the first of its assembly, on some of its facets that are connected.
func FaceOf(h *stackup.Host, facets []int32) (*Lap, error) {
	p := h.Panels[0]
	fine, angles := &region.Patch{}, make([]float64, len(p.Fan))
	index := map[int32]int32{}
	for _, t := range facets {
		var out [3]int32
		for k, v := range p.Mesh.Triangles[t] {
			i, known := index[v]
			if !known {
				i = int32(len(fine.Points))
				index[v] = i
				fine.Points = append(fine.Points, p.Mesh.Vertices[v])
				fine.Normals = append(fine.Normals, p.CornerNormal(t, k, angles))
			}
			out[k] = i
		}
		fine.Tris = append(fine.Tris, out)
	}
	if err := fine.CutFine(context.Background(), region.Everywhere); err != nil {
		return nil, err
	}
	whole := fine.Region()
	all := make([]int32, len(fine.Tris))
	for i := range all {
		all[i] = int32(i)
	}
	return newLabels(h).lap(whole, all, stackup.Stack{N: 1}), nil
}

// Drawn is a lap of no sheets over the whole of a flat mesh, the first sheet of its assembly.
func Drawn(ctx context.Context, h *stackup.Host) (*Lap, error) {
	m := h.Panels[0].Mesh
	fine := &region.Patch{Points: m.Vertices, Tris: slices.Clone(m.Triangles)}
	for range m.Vertices {
		fine.Normals = append(fine.Normals, h.Panels[0].Normals[0])
	}
	if err := fine.CutFine(ctx, region.Everywhere); err != nil {
		return nil, err
	}
	r := fine.Region()
	r.About = newLabels(h).about(stackup.Stack{})
	return &Lap{r, stackup.Stack{}}, nil
}
