package mesh

import (
	"crypto/sha256"
	"encoding/binary"
	"math"
)

// Hash is the SHA-256 of the mesh's vertices and triangles, in their order; its name does not count.
func (m *Mesh) Hash() [sha256.Size]byte {
	h := sha256.New()
	const full = 1 << 16
	var b []byte
	spill := func() {
		if len(b) >= full {
			h.Write(b)
			b = b[:0]
		}
	}
	b = binary.LittleEndian.AppendUint64(b, uint64(len(m.Vertices)))
	for i := range m.Vertices {
		v := &m.Vertices[i]
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v.X))
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v.Y))
		b = binary.LittleEndian.AppendUint64(b, math.Float64bits(v.Z))
		spill()
	}
	for _, t := range m.Triangles {
		for _, v := range t {
			b = binary.LittleEndian.AppendUint32(b, uint32(v))
		}
		spill()
	}
	h.Write(b)
	return [sha256.Size]byte(h.Sum(nil))
}
