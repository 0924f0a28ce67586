package view

import "seamwright/geometry/mesh"

// Mesh is the panel's mesh, in its place; it must not be changed.
func (p Panel) Mesh() *mesh.Mesh { return p.shape.Mesh }
