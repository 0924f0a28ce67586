package model

import (
	"encoding/binary"
	"fmt"
	"io"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/reduce"
	"seamwright/layout"
)

// LightPanel is a panel made light, in its place.
type LightPanel struct {
	ID string
	reduce.Light
}

// Light writes panels alone as a glTF 2.0 file that is quick to send: positions as 16-bit integers (KHR_mesh_quantization), each
// panel in a box of its own, so to better than its length over 60,000; with their lines. The frame is the shell's, in millimetres
// with z upwards: the file is for the program's own page. The scene's extras say how far its panels are off in mm at most.
func Light(w io.Writer, plan *layout.Plan, panels []LightPanel) error {
	s := newScene(plan)
	off := 0.0
	s.doc.Used, s.doc.Required = []string{quantization}, []string{quantization}
	for _, p := range panels {
		if p.Mesh == nil || len(p.Mesh.Triangles) == 0 {
			continue
		}
		if err := s.lightPanel(p); err != nil {
			return fmt.Errorf("GLB: panel %s: %w", p.ID, err)
		}
		off = max(off, p.Off)
	}
	s.doc.Scenes = []gltfScene{{Name: plan.Shell.Name, Nodes: s.parts[0], Extras: lightExtras{off}}}
	return s.write(w)
}

const quantization = "KHR_mesh_quantization"

// steps is the greatest of the integers that positions are written as.
const steps = math.MaxUint16

func (s *scene) lightPanel(p LightPanel) error {
	box := p.Mesh.Box()
	size := box.Max.Sub(box.Min)
	for _, x := range []float64{size.X, size.Y, size.Z} {
		if math.IsNaN(x) || math.IsInf(x, 0) {
			return fmt.Errorf("its size is not a number")
		}
	}
	step := math.Max(math.Max(size.X, size.Y), math.Max(size.Z, 1e-3)) / steps // the same every way, so that normals stay true
	position := s.quantised(p.Mesh.Vertices, box.Min, step)
	var faces, lines []uint32
	for _, t := range p.Mesh.Triangles {
		faces = append(faces, uint32(t[0]), uint32(t[1]), uint32(t[2]))
	}
	for _, e := range p.Lines {
		lines = append(lines, uint32(e[0]), uint32(e[1]))
	}
	primitives := []primitive{s.over(position, faces, len(p.Mesh.Vertices), triangles)}
	if len(lines) > 0 {
		primitives = append(primitives, s.over(position, lines, len(p.Mesh.Vertices), lineList))
	}
	s.doc.Meshes = append(s.doc.Meshes, gltfMesh{Name: p.ID, Primitives: primitives})
	at, scale, index := single(box.Min), [3]float32{float32(step), float32(step), float32(step)}, len(s.doc.Meshes)-1
	s.parts[0] = append(s.parts[0], s.node(node{Name: p.ID, Mesh: &index, Translation: &at, Scale: &scale}))
	return nil
}

// quantised adds positions as steps from a corner; each takes eight bytes, as vertex data begins at multiples of four.
func (s *scene) quantised(points []r3.Vector, corner r3.Vector, step float64) int {
	data := make([]byte, 0, 8*len(points))
	least, greatest := []float32{steps, steps, steps}, []float32{0, 0, 0}
	for _, p := range points {
		d := p.Sub(corner).Mul(1 / step)
		for k, x := range [3]float64{d.X, d.Y, d.Z} {
			v := math.Round(math.Min(steps, math.Max(0, x)))
			least[k], greatest[k] = min(least[k], float32(v)), max(greatest[k], float32(v))
			data = binary.LittleEndian.AppendUint16(data, uint16(v))
		}
		data = append(data, 0, 0)
	}
	a := s.accessor(accessor{ComponentType: unsignedShort, Count: len(points), Type: "VEC3", Min: least, Max: greatest}, data, vertexData)
	s.doc.BufferViews[s.doc.Accessors[a].BufferView].Stride = 8
	return a
}

func (s *scene) over(position int, indices []uint32, n, mode int) primitive {
	i := s.indices(indices, n)
	return primitive{Attributes: map[string]int{"POSITION": position}, Indices: &i, Mode: mode}
}
