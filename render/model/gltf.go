package model

import (
	"encoding/binary"
	"math"
)

// The parts of glTF 2.0 that are written; members in the order of the specification.
type gltf struct {
	Used        []string     `json:"extensionsUsed,omitempty"`
	Required    []string     `json:"extensionsRequired,omitempty"`
	Asset       asset        `json:"asset"`
	Scene       int          `json:"scene"`
	Scenes      []gltfScene  `json:"scenes"`
	Nodes       []node       `json:"nodes"`
	Meshes      []gltfMesh   `json:"meshes,omitempty"`
	Materials   []material   `json:"materials"`
	Accessors   []accessor   `json:"accessors,omitempty"`
	BufferViews []bufferView `json:"bufferViews,omitempty"`
	Buffers     []buffer     `json:"buffers,omitempty"`
}

type asset struct {
	Version   string `json:"version"`
	Generator string `json:"generator"`
}

type gltfScene struct {
	Name   string `json:"name,omitempty"`
	Nodes  []int  `json:"nodes"`
	Extras any    `json:"extras"`
}

type node struct {
	Name        string      `json:"name,omitempty"`
	Children    []int       `json:"children,omitempty"`
	Mesh        *int        `json:"mesh,omitempty"`
	Translation *[3]float32 `json:"translation,omitempty"`
	Rotation    *[4]float32 `json:"rotation,omitempty"`
	Scale       *[3]float32 `json:"scale,omitempty"`
	Extras      any         `json:"extras,omitempty"`
}

type gltfMesh struct {
	Name       string      `json:"name,omitempty"`
	Primitives []primitive `json:"primitives"`
}

type primitive struct {
	Attributes map[string]int `json:"attributes"`
	Indices    *int           `json:"indices,omitempty"`
	Material   int            `json:"material"`
	Mode       int            `json:"mode"`
}

type material struct {
	Name        string `json:"name"`
	PBR         pbr    `json:"pbrMetallicRoughness"`
	DoubleSided bool   `json:"doubleSided"`
}

type pbr struct {
	BaseColor [4]float64 `json:"baseColorFactor"`
	Metallic  float64    `json:"metallicFactor"`
	Roughness float64    `json:"roughnessFactor"`
}

type accessor struct {
	BufferView    int       `json:"bufferView"`
	ComponentType int       `json:"componentType"`
	Count         int       `json:"count"`
	Type          string    `json:"type"`
	Min           []float32 `json:"min,omitempty"`
	Max           []float32 `json:"max,omitempty"`
}

type bufferView struct {
	Buffer     int `json:"buffer"`
	ByteOffset int `json:"byteOffset"`
	ByteLength int `json:"byteLength"`
	Stride     int `json:"byteStride,omitempty"`
	Target     int `json:"target"`
}

type buffer struct {
	ByteLength int `json:"byteLength"`
}

// Extras: what the plan knows of a node.
type (
	shellExtras struct {
		Number   string `json:"number"`
		Revision string `json:"revision"`
		Input    string `json:"input"`
	}
	lightExtras struct {
		Off float64 `json:"off_mm"`
	}
	panelExtras struct {
		Name      string  `json:"name"`
		Grade     string  `json:"grade"`
		Thickness float64 `json:"thickness_mm"`
		Coating   string  `json:"coating"`
		Station   string  `json:"station"`
	}
	weldExtras struct {
		Number   int      `json:"number"`
		Station  string   `json:"station"`
		Joint    string   `json:"joint"`
		Flange   string   `json:"flange"`
		Run      int      `json:"run"`
		Step     string   `json:"step"`
		Sheets   []string `json:"sheets"`
		Diameter float64  `json:"weld_diameter_mm"`
		Accepted float64  `json:"accepted_diameter_mm"`
		Gun      string   `json:"gun"`
		Tip      string   `json:"tip"`
		Setting  string   `json:"setting"`
	}
	seamExtras struct {
		Station string  `json:"station"`
		Joint   string  `json:"joint"`
		Flange  string  `json:"flange"`
		Roller  string  `json:"roller"`
		Setting string  `json:"setting"`
		Length  float64 `json:"length_mm"`
	}
)

// Numbers of glTF 2.0.
const (
	lineList      = 1
	lineLoop      = 2
	lineStrip     = 3
	triangles     = 4
	unsignedShort = 5123
	unsignedInt   = 5125
	float         = 5126
	vertexData    = 34962
	indexData     = 34963
)

func (s *scene) node(n node) int {
	s.doc.Nodes = append(s.doc.Nodes, n)
	return len(s.doc.Nodes) - 1
}

// mesh adds a mesh of one primitive; no indices means that the points are taken in their order.
func (s *scene) mesh(name string, points [][3]float32, indices []uint32, mode, material int) int {
	p := primitive{Attributes: map[string]int{"POSITION": s.points(points)}, Mode: mode, Material: material}
	if len(indices) > 0 {
		i := s.indices(indices, len(points))
		p.Indices = &i
	}
	s.doc.Meshes = append(s.doc.Meshes, gltfMesh{Name: name, Primitives: []primitive{p}})
	return len(s.doc.Meshes) - 1
}

// points adds positions, with the bounds that the format asks for.
func (s *scene) points(points [][3]float32) int {
	least, greatest := []float32{math.MaxFloat32, math.MaxFloat32, math.MaxFloat32}, []float32{-math.MaxFloat32, -math.MaxFloat32,
		-math.MaxFloat32}
	data := make([]byte, 0, 12*len(points))
	for _, p := range points {
		for k, x := range p {
			least[k], greatest[k] = min(least[k], x), max(greatest[k], x)
			data = binary.LittleEndian.AppendUint32(data, math.Float32bits(x))
		}
	}
	return s.accessor(accessor{ComponentType: float, Count: len(points), Type: "VEC3", Min: least, Max: greatest}, data, vertexData)
}

// indices adds indices of n points, two bytes each where that is enough: the greatest value is not allowed.
func (s *scene) indices(indices []uint32, n int) int {
	a := accessor{ComponentType: unsignedShort, Count: len(indices), Type: "SCALAR"}
	if n > math.MaxUint16 {
		a.ComponentType = unsignedInt
	}
	var data []byte
	for _, v := range indices {
		if a.ComponentType == unsignedShort {
			data = binary.LittleEndian.AppendUint16(data, uint16(v))
		} else {
			data = binary.LittleEndian.AppendUint32(data, v)
		}
	}
	return s.accessor(a, data, indexData)
}

// accessor adds data that begins at a multiple of four bytes.
func (s *scene) accessor(a accessor, data []byte, target int) int {
	s.doc.BufferViews = append(s.doc.BufferViews, bufferView{ByteOffset: s.bin.Len(), ByteLength: len(data), Target: target})
	s.bin.Write(data)
	for s.bin.Len()%4 > 0 {
		s.bin.WriteByte(0)
	}
	a.BufferView = len(s.doc.BufferViews) - 1
	s.doc.Accessors = append(s.doc.Accessors, a)
	return len(s.doc.Accessors) - 1
}
