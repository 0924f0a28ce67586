package near

import (
	"crypto/sha256"
	"sync"
	"weak"

	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// Shape is a mesh with its tree, topology, box and hash, made when they are first asked for. All that looks at one panel in one place
// shares one. The mesh must not change. It may be used from many goroutines.
type Shape struct {
	Mesh   *mesh.Mesh
	tree   func() *Tree
	hash   func() [sha256.Size]byte
	closed func() bool
	box    func() space.Box

	mu       sync.Mutex
	topology weak.Pointer[mesh.Topology]
}

// NewShape takes a mesh and makes nothing yet.
func NewShape(m *mesh.Mesh) *Shape {
	s := &Shape{Mesh: m, tree: sync.OnceValue(func() *Tree { return New(m) }), hash: sync.OnceValue(m.Hash), box: sync.OnceValue(m.Box)}
	s.closed = sync.OnceValue(func() bool { return m.Closed() })
	return s
}

// Tree is the tree over the whole mesh.
func (s *Shape) Tree() *Tree { return s.tree() }

// Topology is the mesh's topology. It takes more memory than the mesh, so it is kept only while somebody uses it, and made
// again for who asks later.
func (s *Shape) Topology() *mesh.Topology {
	s.mu.Lock()
	defer s.mu.Unlock()
	if t := s.topology.Value(); t != nil {
		return t
	}
	t := s.Mesh.Topology()
	s.topology = weak.Make(t)
	return t
}

// Closed is whether the mesh bounds a volume.
func (s *Shape) Closed() bool { return s.closed() }

// Box is the mesh's box.
func (s *Shape) Box() space.Box { return s.box() }

// Hash is the mesh's hash.
func (s *Shape) Hash() [sha256.Size]byte { return s.hash() }
