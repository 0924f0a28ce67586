// Package tarn makes the demo shell: the Tarn orchard-tractor cab, a narrow low cab of 22 panels that exists
// nowhere else. The panels are mid-surface meshes in millimetres, each tessellated on its own; the floor is a
// drawing. The same call gives the same bytes.
//
//	files, err := tarn.Files()  // shell.yaml, panels/*.stl, panels/floor.dxf, truth/weld-lines.json
//	err = tarn.Write("tarn")    // the same, as a folder
//	lines := tarn.Truth()       // the weld lines that the panels were built round
package tarn

import (
	"fmt"

	"seamwright/geometry/mesh"
)

// meshes makes every panel that has a mesh file, in the order of the shell file. Of the lamp
// buckets only the left one has a file: the shell file mirrors it.
func meshes(l *lines) ([]*mesh.Mesh, error) {
	var out []*mesh.Mesh
	makers := []struct {
		build func(*lines) (*mesh.Mesh, error)
		other string // id of the mirror image that is written too
	}{
		{build: sill, other: "sill-r"},
		{build: func(l *lines) (*mesh.Mesh, error) { return crossMember(l, 0, "cross-front") }},
		{build: func(l *lines) (*mesh.Mesh, error) { return crossMember(l, 1, "cross-middle") }},
		{build: func(l *lines) (*mesh.Mesh, error) { return crossMember(l, 2, "cross-rear") }},
		{build: frontPanel}, {build: lampBucket}, {build: scuttlePanel},
		{build: rearPanel}, {build: rearRail},
		{build: sideOuter, other: "side-outer-r"}, {build: sideInner, other: "side-inner-r"},
		{build: pillarStiffener, other: "pillar-stiffener-r"}, {build: wheelhouse, other: "wheelhouse-r"},
		{build: roofFrame}, {build: roof},
	}
	for _, maker := range makers {
		m, err := maker.build(l)
		if err != nil {
			return nil, fmt.Errorf("tarn: %w", err)
		}
		out = append(out, m)
		if maker.other != "" {
			out = append(out, otherHand(m, maker.other))
		}
	}
	return out, nil
}
