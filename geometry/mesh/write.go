package mesh

import (
	"bufio"
	"encoding/binary"
	"fmt"
	"io"
	"math"
	"seamwright/geometry/stl"

	"github.com/golang/geo/r3"
)

// writtenHeader begins every file that WriteSTL writes, filled up to 80 bytes with zeros. It must not begin with
// "solid".
const writtenHeader = "seamwright panel, millimetres"

// WriteSTL writes the mesh as binary STL in millimetres, in the order of its triangles, the same bytes
// for the same mesh. Coordinates that are float32 numbers, as those of a file read in millimetres are, come back
// exactly; others are rounded to the nearest float32. A mesh without triangles, or with a vertex that
// is not a number or beyond what Read takes, is an error before anything is written.
func WriteSTL(w io.Writer, m *Mesh) error {
	if len(m.Triangles) == 0 {
		return fmt.Errorf("mesh %s: no triangles to write", stl.Printable(m.Name))
	}
	if int64(len(m.Triangles)) > math.MaxUint32 {
		return fmt.Errorf("mesh %s: %d triangles are more than binary STL can count", stl.Printable(m.Name), len(m.Triangles))
	}
	for i, v := range m.Vertices {
		if !(math.Abs(v.X) <= stl.Farthest && math.Abs(v.Y) <= stl.Farthest && math.Abs(v.Z) <= stl.Farthest) {
			return fmt.Errorf("mesh %s: vertex %d (%g, %g, %g) cannot be written as STL", stl.Printable(m.Name), i, v.X, v.Y, v.Z)
		}
	}
	out := bufio.NewWriterSize(w, 64<<10)
	var record [stl.HeaderSize]byte
	copy(record[:], writtenHeader)
	binary.LittleEndian.PutUint32(record[stl.HeaderSize-4:], uint32(len(m.Triangles)))
	_, err := out.Write(record[:])
	for t := 0; t < len(m.Triangles) && err == nil; t++ {
		a, b, c := m.Corners(t)
		row := record[:0]
		for _, v := range [4]r3.Vector{m.Normal(t), a, b, c} {
			row = appendFloat32(appendFloat32(appendFloat32(row, v.X), v.Y), v.Z)
		}
		_, err = out.Write(append(row, 0, 0)) // no attributes
	}
	if flushed := out.Flush(); err == nil {
		err = flushed
	}
	if err != nil {
		return fmt.Errorf("mesh %s: cannot be written: %w", stl.Printable(m.Name), err)
	}
	return nil
}

func appendFloat32(b []byte, x float64) []byte {
	return binary.LittleEndian.AppendUint32(b, math.Float32bits(float32(x)+0)) // minus zero becomes zero
}
