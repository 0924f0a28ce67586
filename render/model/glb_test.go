package model

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"io"
	"math"
	"slices"
	"testing"

	"pgregory.net/rapid"

	"github.com/golang/geo/r3"

	"seamwright/layout"
)

// unpack takes a GLB file apart by the rules of its container.
func unpack(t testing.TB, data []byte) (doc map[string]any, bin []byte) {
	t.Helper()
	word := func(at int) int { return int(binary.LittleEndian.Uint32(data[at:])) }
	if len(data) < 20 || string(data[:4]) != "glTF" || word(4) != 2 || word(8) != len(data) || len(data)%4 != 0 {
		t.Fatalf("head % x of %d bytes", data[:12], len(data))
	}
	n := word(12)
	if string(data[16:20]) != "JSON" || n%4 != 0 {
		t.Fatalf("first chunk % x", data[12:20])
	}
	d := json.NewDecoder(bytes.NewReader(data[20 : 20+n]))
	d.UseNumber()
	if err := d.Decode(&doc); err != nil {
		t.Fatal(err)
	}
	if rest := data[20+n:]; len(rest) > 0 {
		if int(binary.LittleEndian.Uint32(rest)) != len(rest)-8 || string(rest[4:8]) != "BIN\x00" {
			t.Fatalf("second chunk % x", rest[:8])
		}
		bin = rest[8:]
	}
	return doc, bin
}

func list(v any) []any {
	l, _ := v.([]any)
	return l
}

func whole(t testing.TB, v any) int {
	t.Helper()
	n, err := v.(json.Number).Int64()
	if err != nil {
		t.Fatal(err)
	}
	return int(n)
}

func floats(t testing.TB, v any) []float64 {
	t.Helper()
	var out []float64
	for _, x := range list(v) {
		f, err := x.(json.Number).Float64()
		if err != nil {
			t.Fatal(err)
		}
		out = append(out, f)
	}
	return out
}

// checkGLB holds a file to what glTF 2.0 demands of the parts that are in use.
func checkGLB(t testing.TB, data []byte) (doc map[string]any, bin []byte) {
	t.Helper()
	doc, bin = unpack(t, data)
	if v := doc["asset"].(map[string]any)["version"]; v != "2.0" {
		t.Errorf("version %v", v)
	}
	noEmptyLists(t, "", doc)
	checkTree(t, doc)
	for i, m := range list(doc["meshes"]) {
		for _, p := range list(m.(map[string]any)["primitives"]) {
			checkPrimitive(t, fmt.Sprintf("mesh %d", i), doc, bin, p.(map[string]any))
		}
	}
	if b := list(doc["buffers"]); len(b) > 0 {
		if n := whole(t, b[0].(map[string]any)["byteLength"]); n > len(bin) || n < len(bin)-3 {
			t.Errorf("buffer of %d bytes, chunk of %d", n, len(bin))
		}
	}
	return doc, bin
}

func noEmptyLists(t testing.TB, path string, v any) {
	switch v := v.(type) {
	case map[string]any:
		for k, x := range v {
			if k != "extras" {
				noEmptyLists(t, path+"/"+k, x)
			}
		}
	case []any:
		if len(v) == 0 {
			t.Errorf("%s is empty", path)
		}
		for i, x := range v {
			noEmptyLists(t, fmt.Sprintf("%s/%d", path, i), x)
		}
	}
}

// checkTree wants every node but the scene's once as a child, and every turn a unit quaternion.
func checkTree(t testing.TB, doc map[string]any) {
	t.Helper()
	nodes := list(doc["nodes"])
	parents := make([]int, len(nodes))
	for _, n := range nodes {
		m := n.(map[string]any)
		for _, c := range list(m["children"]) {
			parents[whole(t, c)]++
		}
		if mesh, ok := m["mesh"]; ok && whole(t, mesh) >= len(list(doc["meshes"])) {
			t.Errorf("node %v: mesh %v", m["name"], mesh)
		}
		if q := floats(t, m["rotation"]); len(q) > 0 && !(math.Abs(q[0]*q[0]+q[1]*q[1]+q[2]*q[2]+q[3]*q[3]-1) <= 1e-6) {
			t.Errorf("node %v: rotation %v", m["name"], q)
		}
	}
	scene := list(doc["scenes"])[whole(t, doc["scene"])].(map[string]any)
	for _, r := range list(scene["nodes"]) {
		parents[whole(t, r)]++
	}
	for i, n := range parents {
		if n != 1 {
			t.Errorf("node %d has %d parents", i, n)
		}
	}
}

// sizes are the bytes of a component, and the components of an element.
var sizes = map[int]int{unsignedShort: 2, unsignedInt: 4, float: 4}
var elements = map[string]int{"SCALAR": 1, "VEC3": 3}

// read returns an accessor's numbers.
func read(t testing.TB, doc map[string]any, bin []byte, i, target int) (values []float64, a map[string]any) {
	t.Helper()
	a = list(doc["accessors"])[i].(map[string]any)
	v := list(doc["bufferViews"])[whole(t, a["bufferView"])].(map[string]any)
	kind := whole(t, a["componentType"])
	size, count := sizes[kind], whole(t, a["count"])*elements[a["type"].(string)]
	from, long := whole(t, v["byteOffset"]), whole(t, v["byteLength"])
	if size == 0 || count == 0 || from%4 != 0 || long != size*count || from+long > len(bin) || whole(t, v["target"]) != target {
		t.Fatalf("accessor %d: %v in %v of %d bytes", i, a, v, len(bin))
	}
	for k := range count {
		at := bin[from+k*size:]
		switch kind {
		case unsignedShort:
			values = append(values, float64(binary.LittleEndian.Uint16(at)))
		case unsignedInt:
			values = append(values, float64(binary.LittleEndian.Uint32(at)))
		case float:
			values = append(values, float64(math.Float32frombits(binary.LittleEndian.Uint32(at))))
		}
	}
	return values, a
}

func checkPrimitive(t testing.TB, where string, doc map[string]any, bin []byte, p map[string]any) {
	t.Helper()
	points, a := read(t, doc, bin, whole(t, p["attributes"].(map[string]any)["POSITION"]), vertexData)
	least, greatest := []float64{math.Inf(1), math.Inf(1), math.Inf(1)}, []float64{math.Inf(-1), math.Inf(-1), math.Inf(-1)}
	for i, x := range points {
		least[i%3], greatest[i%3] = math.Min(least[i%3], x), math.Max(greatest[i%3], x)
	}
	for k, bound := range map[string][]float64{"min": least, "max": greatest} {
		for i, x := range floats(t, a[k]) {
			if float32(x) != float32(bound[i]) {
				t.Errorf("%s: %s is %v, the points' is %v", where, k, floats(t, a[k]), bound)
			}
		}
	}
	if whole(t, p["material"]) >= len(list(doc["materials"])) {
		t.Errorf("%s: material %v", where, p["material"])
	}
	count, mode := len(points)/3, whole(t, p["mode"])
	if i, ok := p["indices"]; ok {
		indices, a := read(t, doc, bin, whole(t, i), indexData)
		restart := float64(math.MaxUint32)
		if whole(t, a["componentType"]) == unsignedShort {
			restart = math.MaxUint16
		}
		if len(indices)%3 != 0 || mode != triangles {
			t.Errorf("%s: %d indices in mode %d", where, len(indices), mode)
		}
		for _, x := range indices {
			if int(x) >= count || x == restart {
				t.Fatalf("%s: index %v of %d points", where, x, count)
			}
		}
	} else if mode != lineLoop && mode != lineStrip || count < 2 {
		t.Errorf("%s: %d points in mode %d without indices", where, count, mode)
	}
}

// turned turns a vector by a quaternion.
func turned(q []float64, v r3.Vector) r3.Vector {
	u := r3.Vector{X: q[0], Y: q[1], Z: q[2]}
	w := u.Cross(v).Mul(2)
	return v.Add(w.Mul(q[3])).Add(u.Cross(w))
}

func TestGLBHoldsThePlan(t *testing.T) {
	p := sample()
	var b bytes.Buffer
	if err := GLB(&b, p, panels()); err != nil {
		t.Fatal(err)
	}
	doc, bin := checkGLB(t, b.Bytes())
	nodes := map[string]map[string]any{}
	for _, n := range list(doc["nodes"]) {
		m := n.(map[string]any)
		nodes[m["name"].(string)] = m
	}
	frame := nodes[p.Shell.Name]
	for _, w := range p.Welds {
		m := nodes[name(w)]
		if m == nil {
			t.Fatalf("%s is not there", name(w))
		}
		at := floats(t, m["translation"])
		if d := (r3.Vector{X: at[0], Y: at[1], Z: at[2]}).Sub(w.Position.R3()).Norm(); d > 1e-4 {
			t.Errorf("%s is %g mm off", name(w), d)
		}
		if d := turned(floats(t, m["rotation"]), r3.Vector{Z: 1}).Sub(w.Axis.R3()).Norm(); d > 1e-6 {
			t.Errorf("%s: axis is %g off", name(w), d)
		}
		// The frame has y upwards and metres.
		world := turned(floats(t, frame["rotation"]), w.Position.R3()).Mul(floats(t, frame["scale"])[0])
		if want := (r3.Vector{X: w.Position[0], Y: w.Position[2], Z: -w.Position[1]}).Mul(0.001); !(world.Sub(want).Norm() <= 1e-6) {
			t.Errorf("%s: world %v, want %v", name(w), world, want)
		}
		if e := m["extras"].(map[string]any); whole(t, e["number"]) != w.Number || e["station"] != w.Station || e["joint"] != w.Joint {
			t.Errorf("%s: extras %v", name(w), e)
		}
	}
	for _, panel := range panels()[:2] {
		m := list(doc["meshes"])[whole(t, nodes[panel.ID]["mesh"])].(map[string]any)
		prim := list(m["primitives"])[0].(map[string]any)
		points, _ := read(t, doc, bin, whole(t, prim["attributes"].(map[string]any)["POSITION"]), vertexData)
		indices, _ := read(t, doc, bin, whole(t, prim["indices"]), indexData)
		if len(points) != 3*len(panel.Mesh.Vertices) || len(indices) != 3*len(panel.Mesh.Triangles) {
			t.Fatalf("panel %s: %d coordinates, %d indices", panel.ID, len(points), len(indices))
		}
		for i, v := range panel.Mesh.Vertices {
			if points[3*i] != float64(float32(v.X)) || points[3*i+2] != float64(float32(v.Z)) {
				t.Fatalf("panel %s: vertex %d at %v", panel.ID, i, points[3*i:3*i+3])
			}
		}
		for i, tri := range panel.Mesh.Triangles {
			if !slices.Equal(indices[3*i:3*i+3], []float64{float64(tri[0]), float64(tri[1]), float64(tri[2])}) {
				t.Fatalf("panel %s: triangle %d is %v", panel.ID, i, indices[3*i:3*i+3])
			}
		}
	}
	for seam, mode := range map[string]int{"roller seam gutter/1/roll": lineLoop, "roller seam seam 2": lineStrip} {
		m := list(doc["meshes"])[whole(t, nodes[seam]["mesh"])].(map[string]any)
		if got := whole(t, list(m["primitives"])[0].(map[string]any)["mode"]); got != mode {
			t.Errorf("%s: mode %d, want %d", seam, got, mode)
		}
	}
	if nodes["empty"] != nil || nodes["idle welds"] != nil {
		t.Error("a panel or station without anything has a node")
	}
}

// A disc is as wide as the weld and stands across its axis, its faces outwards.
func TestDiscs(t *testing.T) {
	var b bytes.Buffer
	if err := GLB(&b, sample(), nil); err != nil {
		t.Fatal(err)
	}
	doc, bin := checkGLB(t, b.Bytes())
	kinds := 0
	for i, m := range list(doc["meshes"]) {
		prim := list(m.(map[string]any)["primitives"])[0].(map[string]any)
		if whole(t, prim["mode"]) != triangles {
			continue
		}
		kinds++
		points, _ := read(t, doc, bin, whole(t, prim["attributes"].(map[string]any)["POSITION"]), vertexData)
		indices, _ := read(t, doc, bin, whole(t, prim["indices"]), indexData)
		at := func(k int) r3.Vector {
			v := 3 * int(indices[k])
			return r3.Vector{X: points[v], Y: points[v+1], Z: points[v+2]}
		}
		volume := 0.0
		for k := 0; k < len(indices); k += 3 {
			volume += at(k).Dot(at(k+1).Cross(at(k+2))) / 6
		}
		if !(volume > 0) {
			t.Errorf("mesh %d: volume %g: its faces look inwards", i, volume)
		}
	}
	if kinds != 4 { // a tack, and three sorts of sheets and steps
		t.Errorf("%d kinds of discs", kinds)
	}
}

// Any axis comes back from its turn.
func TestTurnFromZ(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle, z := rapid.Float64Range(-4, 4).Draw(t, "angle"), rapid.Float64Range(-1, 1).Draw(t, "z")
		if rapid.Bool().Draw(t, "nearly down") {
			z = -1 + math.Abs(z)*1e-9
		}
		r := math.Sqrt(math.Max(0, 1-z*z))
		axis := r3.Vector{X: r * math.Cos(angle), Y: r * math.Sin(angle), Z: z}
		q := fromZ(axis)
		if d := turned([]float64{float64(q[0]), float64(q[1]), float64(q[2]), float64(q[3])}, r3.Vector{Z: 1}).Sub(axis).Norm(); d > 1e-6 {
			t.Fatalf("%v became %g off", axis, d)
		}
	})
}

func TestGLBRefusesBadPanels(t *testing.T) {
	bad := panels()
	bad[0].Mesh.Vertices[2].Y = math.NaN()
	if err := GLB(io.Discard, &layout.Plan{}, bad); err == nil || err.Error() != "GLB: panel roof: vertex 2 is not a number" {
		t.Errorf("error %v", err)
	}
}

// The JSON part as text, for the eye.
func TestGLBGolden(t *testing.T) {
	var b, text bytes.Buffer
	if err := GLB(&b, sample(), panels()[:1]); err != nil {
		t.Fatal(err)
	}
	n := binary.LittleEndian.Uint32(b.Bytes()[12:])
	if err := json.Indent(&text, b.Bytes()[20:20+n], "", "  "); err != nil {
		t.Fatal(err)
	}
	golden(t, "sample.gltf.json", text.Bytes())
}
