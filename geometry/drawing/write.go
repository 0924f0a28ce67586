package drawing

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Write writes a drawing as text DXF, R2000, in millimetres ($INSUNITS 4), every layer declared. A path of
// two points becomes a LINE, a path at one height an LWPOLYLINE with that elevation, any other a 3-D
// POLYLINE; a mark becomes a POINT, shown as a cross in a circle, or a TEXT. Points are written to the last
// digit, so that reading the file gives them back. The same drawing gives the same bytes.
func Write(w io.Writer, d Drawing) error {
	for _, err := range []error{writable(d.Paths), writableMarks(d.Marks)} {
		if err != nil {
			return fmt.Errorf("write drawing %s: %w", d.Name, err)
		}
	}
	body := &dxfWriter{handle: firstFree}
	body.tables(layersOf(d))
	body.blocks()
	body.section("ENTITIES")
	for _, p := range d.Paths {
		body.path(p)
	}
	for _, m := range d.Marks {
		body.mark(m)
	}
	body.end()
	body.objects()
	body.text(0, "EOF")
	head := &dxfWriter{}
	head.header(d, body.handle)
	for _, part := range []*dxfWriter{head, body} {
		if _, err := w.Write(part.buffer.Bytes()); err != nil {
			return fmt.Errorf("write drawing %s: %w", d.Name, err)
		}
	}
	return nil
}

// writable checks what a DXF file cannot hold.
func writable(paths []Path) error {
	for i, p := range paths {
		switch {
		case len(p.Points) < 2:
			return fmt.Errorf("path %d has %d points: it needs two or more", i+1, len(p.Points))
		case !usable(p.Points, 0):
			return fmt.Errorf("path %d has a point that is not a number or beyond %v mm", i+1, maxCoordinate)
		case badLayer(p.Layer):
			return fmt.Errorf("path %d: layer %s: leave out control characters and < > / \\ \" : ; ? * | = `", i+1, shown(p.Layer))
		}
	}
	return nil
}

// badLayer reports whether a name holds letters that R2000 does not allow in a layer's name (DXF reference;
// from memory).
func badLayer(name string) bool {
	return strings.ContainsFunc(name, func(r rune) bool {
		return r < ' ' || r == 0x7f || r > 0xffff || strings.ContainsRune("<>/\\\":;?*|=`\ufffd", r)
	})
}

// layerOf is the layer that a path is written on.
func layerOf(p Path) string { return layerName(p.Layer) }

func layerName(name string) string {
	if name := strings.TrimSpace(name); name != "" {
		return name
	}
	return "0"
}

// layersOf lists the layers in the order of the paths and marks, 0 first as DXF wants it; names that differ
// in case only are one layer.
func layersOf(d Drawing) []string {
	names := []string{"0"}
	add := func(name string) {
		if !slices.ContainsFunc(names, func(n string) bool { return folded(n) == folded(name) }) {
			names = append(names, name)
		}
	}
	for _, p := range d.Paths {
		add(layerOf(p))
	}
	for _, m := range d.Marks {
		add(layerName(m.Layer))
	}
	return names
}

// Handles of the objects that others refer to; the rest are numbered from firstFree.
const (
	handleModel     = 0x10
	handlePaper     = 0x11
	handleTables    = 0x12 // BLOCK_RECORD table
	handleRoot      = 0x13
	handleGroups    = 0x14
	firstFree       = 0x20
	noOwner         = 0
	millimetreUnits = 4
)

// dxfWriter writes groups into memory and numbers handles.
type dxfWriter struct {
	buffer bytes.Buffer
	handle int
}

func (w *dxfWriter) text(code int, value string) { fmt.Fprintf(&w.buffer, "%3d\n%s\n", code, value) }

func (w *dxfWriter) whole(code, value int) { w.text(code, strconv.Itoa(value)) }

func (w *dxfWriter) hex(code, handle int) { w.text(code, fmt.Sprintf("%X", handle)) }

func (w *dxfWriter) number(code int, value float64) {
	s := strconv.FormatFloat(value, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	w.text(code, s)
}

func (w *dxfWriter) point(code int, p r3.Vector) {
	w.number(code, p.X)
	w.number(code+10, p.Y)
	w.number(code+20, p.Z)
}

// name writes a name with letters beyond ASCII escaped.
func (w *dxfWriter) name(code int, name string) {
	var b strings.Builder
	for _, r := range name {
		if r < 0x80 {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, `\U+%04X`, r)
		}
	}
	w.text(code, b.String())
}

func (w *dxfWriter) section(name string) {
	w.text(0, "SECTION")
	w.text(2, name)
}

func (w *dxfWriter) end() { w.text(0, "ENDSEC") }

// next returns a fresh handle.
func (w *dxfWriter) next() int {
	w.handle++
	return w.handle - 1
}

// object starts a record with its handle, its owner and its class markers.
func (w *dxfWriter) object(kind string, handle, owner int, classes ...string) {
	w.text(0, kind)
	handleCode := 5
	if kind == "DIMSTYLE" {
		handleCode = 105
	}
	w.hex(handleCode, handle)
	w.hex(330, owner)
	for _, c := range classes {
		w.text(100, c)
	}
}

func (w *dxfWriter) header(d Drawing, seed int) {
	box := space.EmptyBox()
	for _, p := range d.Paths {
		for _, v := range p.Points {
			box = box.Add(v)
		}
	}
	for _, m := range d.Marks {
		box = box.Add(m.At)
	}
	if box.IsEmpty() {
		box = space.Box{}
	}
	w.section("HEADER")
	w.text(9, "$ACADVER")
	w.text(1, "AC1015")
	w.text(9, "$DWGCODEPAGE")
	w.text(3, "ANSI_1252")
	w.text(9, "$EXTMIN")
	w.point(10, box.Min)
	w.text(9, "$EXTMAX")
	w.point(10, box.Max)
	w.text(9, "$INSUNITS")
	w.whole(70, millimetreUnits)
	w.text(9, "$MEASUREMENT")
	w.whole(70, 1)
	if len(d.Marks) > 0 {
		w.pointStyle()
	}
	w.text(9, "$HANDSEED")
	w.hex(5, seed)
	w.end()
	w.section("CLASSES")
	w.end()
}

// table writes a table; entries writes its records, which belong to the owner given.
func (w *dxfWriter) table(name string, handle, count int, entries func(owner int)) {
	w.text(0, "TABLE")
	w.text(2, name)
	w.hex(5, handle)
	w.hex(330, noOwner)
	w.text(100, "AcDbSymbolTable")
	w.whole(70, count)
	if name == "DIMSTYLE" {
		w.text(100, "AcDbDimStyleTable")
	}
	if entries != nil {
		entries(handle)
	}
	w.text(0, "ENDTAB")
}

// entry starts a table record with its name and flags.
func (w *dxfWriter) entry(kind, class, name string, handle, owner int) {
	w.object(kind, handle, owner, "AcDbSymbolTableRecord", class)
	w.name(2, name)
	w.whole(70, 0)
}

func (w *dxfWriter) tables(layers []string) {
	w.section("TABLES")
	w.table("VPORT", w.next(), 1, w.viewport)
	w.table("LTYPE", w.next(), 3, func(owner int) {
		for _, name := range []string{"ByBlock", "ByLayer", "Continuous"} {
			w.entry("LTYPE", "AcDbLinetypeTableRecord", name, w.next(), owner)
			w.text(3, "")
			w.whole(72, 65)
			w.whole(73, 0)
			w.number(40, 0)
		}
	})
	w.table("LAYER", w.next(), len(layers), func(owner int) {
		for _, name := range layers {
			w.entry("LAYER", "AcDbLayerTableRecord", name, w.next(), owner)
			w.whole(62, 7)
			w.text(6, "Continuous")
		}
	})
	w.table("STYLE", w.next(), 1, w.textStyle)
	w.table("VIEW", w.next(), 0, nil)
	w.table("UCS", w.next(), 0, nil)
	w.table("APPID", w.next(), 1, func(owner int) { w.entry("APPID", "AcDbRegAppTableRecord", "ACAD", w.next(), owner) })
	w.table("DIMSTYLE", w.next(), 1, func(owner int) { w.entry("DIMSTYLE", "AcDbDimStyleTableRecord", "Standard", w.next(), owner) })
	w.table("BLOCK_RECORD", handleTables, 2, func(owner int) {
		for _, b := range spaces {
			w.object("BLOCK_RECORD", b.record, owner, "AcDbSymbolTableRecord", "AcDbBlockTableRecord")
			w.text(2, b.name)
		}
	})
	w.end()
}

// viewport is the one view that a program opens the drawing with.
func (w *dxfWriter) viewport(owner int) {
	w.entry("VPORT", "AcDbViewportTableRecord", "*Active", w.next(), owner)
	for _, corner := range []struct {
		code int
		x, y float64
	}{{10, 0, 0}, {11, 1, 1}, {12, 0, 0}, {13, 0, 0}, {14, 10, 10}, {15, 10, 10}} {
		w.number(corner.code, corner.x)
		w.number(corner.code+10, corner.y)
	}
	w.point(16, r3.Vector{Z: 1})
	w.point(17, r3.Vector{})
	w.number(40, 1000)
	w.number(41, 1.5)
}

func (w *dxfWriter) textStyle(owner int) {
	w.entry("STYLE", "AcDbTextStyleTableRecord", "Standard", w.next(), owner)
	w.number(40, 0)
	w.number(41, 1)
	w.number(50, 0)
	w.whole(71, 0)
	w.number(42, 2.5)
	w.text(3, "txt")
	w.text(4, "")
}

// spaces are the two blocks that every drawing has.
var spaces = []struct {
	name   string
	record int
}{{"*Model_Space", handleModel}, {"*Paper_Space", handlePaper}}

func (w *dxfWriter) blocks() {
	w.section("BLOCKS")
	for _, b := range spaces {
		w.object("BLOCK", w.next(), b.record, "AcDbEntity")
		w.text(8, "0")
		w.text(100, "AcDbBlockBegin")
		w.text(2, b.name)
		w.whole(70, 0)
		w.point(10, r3.Vector{})
		w.text(3, b.name)
		w.text(1, "")
		w.object("ENDBLK", w.next(), b.record, "AcDbEntity")
		w.text(8, "0")
		w.text(100, "AcDbBlockEnd")
	}
	w.end()
}

func (w *dxfWriter) objects() {
	w.section("OBJECTS")
	w.object("DICTIONARY", handleRoot, noOwner, "AcDbDictionary")
	w.text(3, "ACAD_GROUP")
	w.hex(350, handleGroups)
	w.object("DICTIONARY", handleGroups, handleRoot, "AcDbDictionary")
	w.end()
}

// path writes one path as an entity of the model.
func (w *dxfWriter) path(p Path) {
	switch {
	case len(p.Points) == 2 && !p.Closed:
		w.entity("LINE", p, "AcDbLine")
		w.point(10, p.Points[0])
		w.point(11, p.Points[1])
	case sameHeight(p.Points):
		w.entity("LWPOLYLINE", p, "AcDbPolyline")
		w.whole(90, len(p.Points))
		w.whole(70, closedFlag(p))
		w.number(38, p.Points[0].Z)
		for _, v := range p.Points {
			w.number(10, v.X)
			w.number(20, v.Y)
		}
	default:
		w.spacePolyline(p)
	}
}

func (w *dxfWriter) entity(kind string, p Path, class string) int {
	handle := w.next()
	w.object(kind, handle, handleModel, "AcDbEntity")
	w.name(8, layerOf(p))
	w.text(100, class)
	return handle
}

func (w *dxfWriter) spacePolyline(p Path) {
	const ofSpace, vertexOfSpace = polyline3D, 32
	owner := w.entity("POLYLINE", p, "AcDb3dPolyline")
	w.whole(66, 1)
	w.point(10, r3.Vector{})
	w.whole(70, ofSpace|closedFlag(p))
	for _, v := range p.Points {
		w.object("VERTEX", w.next(), owner, "AcDbEntity")
		w.name(8, layerOf(p))
		w.text(100, "AcDbVertex")
		w.text(100, "AcDb3dPolylineVertex")
		w.point(10, v)
		w.whole(70, vertexOfSpace)
	}
	w.object("SEQEND", w.next(), owner, "AcDbEntity")
	w.name(8, layerOf(p))
}

func closedFlag(p Path) int {
	if p.Closed {
		return polylineClosed
	}
	return 0
}

// sameHeight reports whether all points are at one height.
func sameHeight(points []r3.Vector) bool {
	for _, p := range points {
		if p.Z != points[0].Z {
			return false
		}
	}
	return true
}
