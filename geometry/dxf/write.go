package dxf

import (
	"bytes"
	"fmt"
	"io"
	"strconv"
	"strings"
	"unicode"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// BadLayer reports whether a name holds letters that R2000 does not allow in a layer's name (DXF reference;
// from memory).
func BadLayer(name string) bool {
	return strings.ContainsFunc(name, func(r rune) bool {
		return r < ' ' || r == 0x7f || r > 0xffff || strings.ContainsRune("<>/\\\":;?*|=`\ufffd", r)
	})
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

// Writer writes a drawing's file in memory, in millimetres ($INSUNITS 4): the entities that it is given and, before and after them, the
// tables, blocks and objects that programs want. The same calls give the same bytes.
type Writer struct {
	buffer bytes.Buffer
	handle int // the next to be given
}

// NewWriter begins a file with the layers given, of which 0 is the first. Entities are next.
func NewWriter(layers []string) *Writer {
	w := &Writer{handle: firstFree}
	w.tables(layers)
	w.blocks()
	w.section("ENTITIES")
	return w
}

// Entity begins an entity of the model, of which Text, Number and the like write the groups, and returns its handle.
func (w *Writer) Entity(kind, layer, class string) int {
	return w.Part(handleModel, kind, layer, class)
}

// Part begins an entity that belongs to the one with a handle, such as a vertex.
func (w *Writer) Part(owner int, kind, layer string, classes ...string) int {
	handle := w.next()
	w.object(kind, handle, owner, "AcDbEntity")
	w.Name(8, layer)
	for _, c := range classes {
		w.Text(100, c)
	}
	return handle
}

// Head is what the beginning of a file says of its entities.
type Head struct {
	Box       space.Box // about all of them
	PointMode int       // how points are shown ($PDMODE); 0: nothing is said of them
	PointSize float64   // mm
}

// Finish ends the file and writes it.
func (w *Writer) Finish(out io.Writer, h Head) error {
	w.end()
	w.objects()
	w.Text(0, "EOF")
	head := &Writer{}
	head.header(h, w.handle)
	for _, part := range []*Writer{head, w} {
		if _, err := out.Write(part.buffer.Bytes()); err != nil {
			return err
		}
	}
	return nil
}

// Text writes a group.
func (w *Writer) Text(code int, value string) { fmt.Fprintf(&w.buffer, "%3d\n%s\n", code, value) }

// Whole writes a whole number.
func (w *Writer) Whole(code, value int) { w.Text(code, strconv.Itoa(value)) }

func (w *Writer) hex(code, handle int) { w.Text(code, fmt.Sprintf("%X", handle)) }

// Number writes a number to its last digit.
func (w *Writer) Number(code int, value float64) {
	s := strconv.FormatFloat(value, 'f', -1, 64)
	if !strings.Contains(s, ".") {
		s += ".0"
	}
	w.Text(code, s)
}

// Point writes a point, its x with the code given.
func (w *Writer) Point(code int, p r3.Vector) {
	w.Number(code, p.X)
	w.Number(code+10, p.Y)
	w.Number(code+20, p.Z)
}

// Name writes a name with letters beyond ASCII escaped.
func (w *Writer) Name(code int, name string) {
	var b strings.Builder
	for _, r := range name {
		if r < 0x80 {
			b.WriteRune(r)
		} else {
			fmt.Fprintf(&b, `\U+%04X`, r)
		}
	}
	w.Text(code, b.String())
}

// Words writes a line of words: a space stands for what would end the line or begin a control code (%%d is a degree sign), and a
// question mark for what R2000 has no escape for.
func (w *Writer) Words(code int, text string) {
	for strings.Contains(text, "%%") {
		text = strings.ReplaceAll(text, "%%", "% %")
	}
	w.Name(code, strings.Map(func(r rune) rune {
		switch {
		case unicode.IsControl(r):
			return ' '
		case r > 0xffff:
			return '?'
		}
		return r
	}, text))
}

func (w *Writer) section(name string) {
	w.Text(0, "SECTION")
	w.Text(2, name)
}

func (w *Writer) end() { w.Text(0, "ENDSEC") }

// next returns a fresh handle.
func (w *Writer) next() int {
	w.handle++
	return w.handle - 1
}

// object starts a record with its handle, its owner and its class markers.
func (w *Writer) object(kind string, handle, owner int, classes ...string) {
	w.Text(0, kind)
	handleCode := 5
	if kind == "DIMSTYLE" {
		handleCode = 105
	}
	w.hex(handleCode, handle)
	w.hex(330, owner)
	for _, c := range classes {
		w.Text(100, c)
	}
}

func (w *Writer) header(h Head, seed int) {
	box := h.Box
	if box.IsEmpty() {
		box = space.Box{}
	}
	w.section("HEADER")
	w.Text(9, "$ACADVER")
	w.Text(1, "AC1015")
	w.Text(9, "$DWGCODEPAGE")
	w.Text(3, "ANSI_1252")
	w.Text(9, "$EXTMIN")
	w.Point(10, box.Min)
	w.Text(9, "$EXTMAX")
	w.Point(10, box.Max)
	w.Text(9, "$INSUNITS")
	w.Whole(70, millimetreUnits)
	w.Text(9, "$MEASUREMENT")
	w.Whole(70, 1)
	if h.PointMode != 0 {
		w.Text(9, "$PDMODE")
		w.Whole(70, h.PointMode)
		w.Text(9, "$PDSIZE")
		w.Number(40, h.PointSize)
	}
	w.Text(9, "$HANDSEED")
	w.hex(5, seed)
	w.end()
	w.section("CLASSES")
	w.end()
}

// table writes a table; entries writes its records, which belong to the owner given.
func (w *Writer) table(name string, handle, count int, entries func(owner int)) {
	w.Text(0, "TABLE")
	w.Text(2, name)
	w.hex(5, handle)
	w.hex(330, noOwner)
	w.Text(100, "AcDbSymbolTable")
	w.Whole(70, count)
	if name == "DIMSTYLE" {
		w.Text(100, "AcDbDimStyleTable")
	}
	if entries != nil {
		entries(handle)
	}
	w.Text(0, "ENDTAB")
}

// entry starts a table record with its name and flags.
func (w *Writer) entry(kind, class, name string, handle, owner int) {
	w.object(kind, handle, owner, "AcDbSymbolTableRecord", class)
	w.Name(2, name)
	w.Whole(70, 0)
}

func (w *Writer) tables(layers []string) {
	w.section("TABLES")
	w.table("VPORT", w.next(), 1, w.viewport)
	w.table("LTYPE", w.next(), 3, func(owner int) {
		for _, name := range []string{"ByBlock", "ByLayer", "Continuous"} {
			w.entry("LTYPE", "AcDbLinetypeTableRecord", name, w.next(), owner)
			w.Text(3, "")
			w.Whole(72, 65)
			w.Whole(73, 0)
			w.Number(40, 0)
		}
	})
	w.table("LAYER", w.next(), len(layers), func(owner int) {
		for _, name := range layers {
			w.entry("LAYER", "AcDbLayerTableRecord", name, w.next(), owner)
			w.Whole(62, 7)
			w.Text(6, "Continuous")
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
			w.Text(2, b.name)
		}
	})
	w.end()
}

// viewport is the one view that a program opens the drawing with.
func (w *Writer) viewport(owner int) {
	w.entry("VPORT", "AcDbViewportTableRecord", "*Active", w.next(), owner)
	for _, corner := range []struct {
		code int
		x, y float64
	}{{10, 0, 0}, {11, 1, 1}, {12, 0, 0}, {13, 0, 0}, {14, 10, 10}, {15, 10, 10}} {
		w.Number(corner.code, corner.x)
		w.Number(corner.code+10, corner.y)
	}
	w.Point(16, r3.Vector{Z: 1})
	w.Point(17, r3.Vector{})
	w.Number(40, 1000)
	w.Number(41, 1.5)
}

func (w *Writer) textStyle(owner int) {
	w.entry("STYLE", "AcDbTextStyleTableRecord", "Standard", w.next(), owner)
	w.Number(40, 0)
	w.Number(41, 1)
	w.Number(50, 0)
	w.Whole(71, 0)
	w.Number(42, 2.5)
	w.Text(3, "txt")
	w.Text(4, "")
}

// spaces are the two blocks that every drawing has.
var spaces = []struct {
	name   string
	record int
}{{"*Model_Space", handleModel}, {"*Paper_Space", handlePaper}}

func (w *Writer) blocks() {
	w.section("BLOCKS")
	for _, b := range spaces {
		w.object("BLOCK", w.next(), b.record, "AcDbEntity")
		w.Text(8, "0")
		w.Text(100, "AcDbBlockBegin")
		w.Text(2, b.name)
		w.Whole(70, 0)
		w.Point(10, r3.Vector{})
		w.Text(3, b.name)
		w.Text(1, "")
		w.object("ENDBLK", w.next(), b.record, "AcDbEntity")
		w.Text(8, "0")
		w.Text(100, "AcDbBlockEnd")
	}
	w.end()
}

func (w *Writer) objects() {
	w.section("OBJECTS")
	w.object("DICTIONARY", handleRoot, noOwner, "AcDbDictionary")
	w.Text(3, "ACAD_GROUP")
	w.hex(350, handleGroups)
	w.object("DICTIONARY", handleGroups, handleRoot, "AcDbDictionary")
	w.end()
}
