package model

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// GLB writes panels and welds as one binary glTF 2.0 file (ISO/IEC 12113:2022):
//
//	the shell            turns millimetres with z upwards into metres with y upwards
//	  panels             one node for each panel that has a mesh, named by its id
//	  welds
//	    a station        one node for each weld, named "st10 weld 12": a small disc across its axis, square for
//	                     a tack, its number, joint, gun and so on as extras
//	  roller seams       one line for each seam, a loop if it is closed
//
// Coordinates are single-precision, as the format has them: to better than 0.001 mm within 8 m of the origin.
func GLB(w io.Writer, plan *layout.Plan, panels []Panel) error {
	if err := usable(plan); err != nil {
		return fmt.Errorf("GLB: %w", err)
	}
	s := newScene(plan)
	for _, p := range panels {
		if err := s.panel(p); err != nil {
			return fmt.Errorf("GLB: panel %s: %w", p.ID, err)
		}
	}
	s.welds()
	s.rollers()
	s.arrange()
	return s.write(w)
}

// scene is a glTF file being made.
type scene struct {
	plan  *layout.Plan
	index *layout.Index
	doc   gltf
	bin   bytes.Buffer
	discs map[disc]int // mesh of each kind of disc
	parts [3][]int     // nodes of panels, stations and seams
}

// disc is what a weld is drawn as.
type disc struct {
	diameter, height float64
	step             layout.WeldStep
}

func newScene(plan *layout.Plan) *scene {
	s := &scene{plan: plan, index: layout.NewIndex(plan), discs: map[disc]int{}}
	s.doc.Asset = asset{Version: "2.0", Generator: "seamwright"}
	for _, grey := range []float64{0.62, 0.72, 0.82, 0.9} {
		s.material(fmt.Sprintf("panel %.0f", 100*grey), [4]float64{grey, grey, grey, 1})
	}
	s.material("fill weld", [4]float64{0.05, 0.1, 0.35, 1})
	s.material("tack weld", [4]float64{0.45, 0.03, 0.03, 1})
	s.material("weld made once a clamp is off", [4]float64{0.55, 0.3, 0, 1})
	s.material("roller seam", [4]float64{0, 0, 0, 1})
	return s
}

// Materials: tints for panels, then one for each kind of mark.
const (
	tints     = 4
	fillMark  = tints
	tackMark  = tints + 1
	freedMark = tints + 2
	seamMark  = tints + 3
)

func (s *scene) material(name string, color [4]float64) {
	s.doc.Materials = append(s.doc.Materials, material{Name: name, DoubleSided: true, PBR: pbr{BaseColor: color, Metallic: 0, Roughness: 0.8}})
}

// panel adds a panel's mesh; one without triangles is left out.
func (s *scene) panel(p Panel) error {
	if p.Mesh == nil || len(p.Mesh.Triangles) == 0 {
		return nil
	}
	points := make([][3]float32, len(p.Mesh.Vertices))
	for i, v := range p.Mesh.Vertices {
		points[i] = single(v)
		for _, x := range points[i] {
			if math.IsNaN(float64(x)) || math.IsInf(float64(x), 0) {
				return fmt.Errorf("vertex %d is not a number", i)
			}
		}
	}
	indices := make([]uint32, 0, 3*len(p.Mesh.Triangles))
	for _, t := range p.Mesh.Triangles {
		for _, v := range t {
			indices = append(indices, uint32(v))
		}
	}
	node := node{Name: p.ID, Mesh: new(int)}
	*node.Mesh = s.mesh(p.ID, points, indices, triangles, len(s.parts[0])%tints)
	if x := s.index.Panel(p.ID); x.Thickness > 0 {
		node.Extras = panelExtras{x.Name, x.Grade, x.Thickness, x.Coating, x.Station}
	}
	s.parts[0] = append(s.parts[0], s.node(node))
	return nil
}

// welds adds the welds, station by station.
func (s *scene) welds() {
	for _, st := range stations(s.plan) {
		group := node{Name: st.id + " welds"}
		for _, w := range st.welds {
			group.Children = append(group.Children, s.weld(w))
		}
		if len(group.Children) > 0 {
			s.parts[1] = append(s.parts[1], s.node(group))
		}
	}
}

func (s *scene) weld(w layout.Weld) int {
	d := disc{diameter: w.WeldDiameter, height: 1.2, step: step(w)} // stands proud of the sheets
	if !(d.diameter > 0) || math.IsInf(d.diameter, 0) {
		d.diameter = 5
	}
	for _, id := range w.Sheets {
		d.height += max(0, s.index.Panel(id).Thickness)
	}
	at := single(w.Position.R3())
	turn := fromZ(w.Axis.R3())
	mesh := s.disc(d)
	return s.node(node{
		Name: name(w), Mesh: &mesh, Translation: &at, Rotation: &turn,
		Extras: weldExtras{w.Number, w.Station, w.Joint, w.Flange, w.Run, string(step(w)), w.Sheets, w.WeldDiameter, w.Accepted, w.Gun, w.Tip,
			w.Setting},
	})
}

// disc returns the mesh of a kind of disc: a prism about z, square for a tack, else with sixteen sides.
func (s *scene) disc(d disc) int {
	if i, made := s.discs[d]; made {
		return i
	}
	sides, mark := 16, fillMark
	switch d.step {
	case layout.Tack:
		sides, mark = 4, tackMark
	case layout.Released:
		mark = freedMark
	}
	var points [][3]float32
	for _, z := range []float64{-d.height / 2, d.height / 2} {
		points = append(points, [3]float32{0, 0, float32(z)})
		for i := range sides {
			sin, cos := math.Sincos(2 * math.Pi * (float64(i) + 0.5) / float64(sides))
			points = append(points, [3]float32{float32(d.diameter / 2 * cos), float32(d.diameter / 2 * sin), float32(z)})
		}
	}
	var indices []uint32
	n := uint32(sides)
	for i := range n {
		a, b := 1+i, 1+(i+1)%n
		up := n + 1
		indices = append(indices, 0, b, a, up, up+a, up+b, a, b, up+b, a, up+b, up+a)
	}
	s.discs[d] = s.mesh(fmt.Sprintf("%s weld %g", d.step, d.diameter), points, indices, triangles, mark)
	return s.discs[d]
}

// rollers adds the roller seams as lines.
func (s *scene) rollers() {
	for _, r := range s.plan.Seams {
		points := make([][3]float32, len(r.Path))
		for i, p := range r.Path {
			points[i] = single(p.R3())
		}
		mode := lineStrip
		if r.Closed {
			mode = lineLoop
		}
		mesh := s.mesh("roller seam "+r.ID, points, nil, mode, seamMark)
		s.parts[2] = append(s.parts[2], s.node(node{
			Name: "roller seam " + r.ID, Mesh: &mesh, Extras: seamExtras{r.Station, r.Joint, r.Flange, r.Roller, r.Setting, r.Length},
		}))
	}
}

// arrange adds the groups and the shell's frame: x stays, y becomes -z and z becomes y, and 1 mm 0.001 m.
func (s *scene) arrange() {
	half := float32(math.Sqrt(0.5))
	root := node{Name: s.plan.Shell.Name, Rotation: &[4]float32{-half, 0, 0, half}, Scale: &[3]float32{0.001, 0.001, 0.001}}
	for i, name := range []string{"panels", "welds", "roller seams"} {
		if len(s.parts[i]) > 0 {
			root.Children = append(root.Children, s.node(node{Name: name, Children: s.parts[i]}))
		}
	}
	s.doc.Scenes = []gltfScene{{Name: s.plan.Shell.Name, Nodes: []int{s.node(root)}, Extras: shellExtras{s.plan.Shell.Number,
		s.plan.Shell.Revision, s.plan.Shell.Input}}}
}

func single(v r3.Vector) [3]float32 {
	return [3]float32{float32(v.X), float32(v.Y), float32(v.Z)}
}

// fromZ is the quaternion (x, y, z, w) of the shortest turn from the z axis to a unit vector.
func fromZ(to r3.Vector) [4]float32 {
	to = to.Normalize()
	// Half-way between: the turn's axis is z x to, and 1 + cos is twice the square of the half angle's cosine.
	x, y, w := -to.Y, to.X, 1+to.Z
	n := math.Sqrt(float64(x*x) + float64(y*y) + float64(w*w))
	if n == 0 { // downwards: half a turn about x
		return [4]float32{1, 0, 0, 0}
	}
	return [4]float32{float32(x / n), float32(y / n), 0, float32(w / n)}
}

// write puts the two chunks together: JSON padded with spaces, binary with zeros, each to four bytes.
func (s *scene) write(w io.Writer) error {
	if s.bin.Len() > 0 {
		s.doc.Buffers = []buffer{{ByteLength: s.bin.Len()}}
	}
	text, err := json.Marshal(s.doc)
	if err != nil {
		return fmt.Errorf("GLB: %w", err)
	}
	for len(text)%4 > 0 {
		text = append(text, ' ')
	}
	total := 12 + 8 + len(text)
	if s.bin.Len() > 0 {
		total += 8 + s.bin.Len()
	}
	if uint64(total) > math.MaxUint32 {
		return fmt.Errorf("GLB: %d bytes are more than the format holds: leave out panels", total)
	}
	var out bytes.Buffer
	word := func(v int) { out.Write(binary.LittleEndian.AppendUint32(nil, uint32(v))) }
	out.WriteString("glTF")
	word(2)
	word(total)
	word(len(text))
	out.WriteString("JSON")
	out.Write(text)
	if s.bin.Len() > 0 {
		word(s.bin.Len())
		out.WriteString("BIN\x00")
		out.Write(s.bin.Bytes())
	}
	if _, err := w.Write(out.Bytes()); err != nil {
		return fmt.Errorf("GLB: %w", err)
	}
	return nil
}
