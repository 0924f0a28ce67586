package near

import (
	"crypto/sha256"
	"sync"

	"seamwright/geometry/mesh"
)

// Shape is a mesh with its tree, topology and hash, each made once, when it is first asked for. All that looks at one panel in
// one place shares one. The mesh must not change. It may be used from many goroutines.
type Shape struct {
	Mesh     *mesh.Mesh
	tree     func() *Tree
	topology func() *mesh.Topology
	hash     func() [sha256.Size]byte
}

// NewShape takes a mesh and makes nothing yet.
func NewShape(m *mesh.Mesh) *Shape {
	return &Shape{Mesh: m, tree: sync.OnceValue(func() *Tree { return New(m) }), topology: sync.OnceValue(m.Topology),
		hash: sync.OnceValue(m.Hash)}
}

// Tree is the tree over the whole mesh.
func (s *Shape) Tree() *Tree { return s.tree() }

// Topology is the mesh's topology.
func (s *Shape) Topology() *mesh.Topology { return s.topology() }

// Hash is the mesh's hash.
func (s *Shape) Hash() [sha256.Size]byte { return s.hash() }
