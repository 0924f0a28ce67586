package tarn

import (
	"fmt"
	"math"
	"strings"
)

// The floor is a flat blank, drawn in plan in the cab's frame and at its height.

// node is a corner of a drawn outline; bulge is the tangent of a quarter of the angle of the arc to the next
// corner, positive for an arc to the left, as in DXF.
type node struct{ x, y, bulge float64 }

// blank is what the floor's drawing holds.
type blank struct {
	outline []node
	slots   [][]node // closed openings
	holes   []circle
	keepOut [][]node // fields where something else will sit
}

type circle struct{ x, y, radius float64 }

const (
	floorSide = 506.0 // half width between the sides
	floorWell = 441.0 // half width between the wheelhouses
	floorEdge = 10.0  // mm from a weld line at the front and rear to the blank's edge
)

func floorBlank() blank {
	front, rear := frontRound+pinchStand+floorEdge, rearRound+pinchStand+floorEdge
	const nose = 496.0
	noseX := frontNose - frontRound + math.Sqrt(front*front-nose*nose)
	tailX := rearTail + rearRound - math.Sqrt(rear*rear-floorWell*floorWell)
	half := []node{ // the left edge, from the front to the rear
		{noseX, nose, 0}, {1450, floorSide, 0}, {684, floorSide, quarterBulge(1)}, {674, floorSide - 10, 0},
		{674, floorWell + 10, quarterBulge(-1)}, {664, floorWell, 0}, {tailX, floorWell, 0},
	}
	var b blank
	for i := len(half) - 1; i >= 0; i-- {
		n := node{half[i].x, -half[i].y, 0}
		if i > 0 {
			n.bulge = half[i-1].bulge
		}
		b.outline = append(b.outline, n)
	}
	b.outline[len(half)-1].bulge = math.Tan(math.Asin(nose/front) / 2)
	b.outline = append(b.outline, half...)
	b.outline[len(b.outline)-1].bulge = math.Tan(math.Asin(floorWell/rear) / 2)
	b.slots = [][]node{slot(930, 60, 150, 28)}
	b.holes = []circle{
		{1215, 0, 45},                                                      // steering column
		{230, 300, 10}, {230, -300, 10}, {1240, 330, 10}, {1240, -330, 10}, // drains
		{560, 0, 22}, {430, 210, 12}, {430, -210, 12}, // cables and hoses
	}
	b.keepOut = [][]node{
		box(729, 0, 130, 90),    // seat post on the middle cross-member
		box(1369, 318, 110, 64), // pedal bracket on the front cross-member
	}
	return b
}

// quarterBulge is the bulge of a quarter circle to the left (1) or to the right (-1).
func quarterBulge(side float64) float64 { return side * math.Tan(math.Pi/8) }

// slot is a long hole along x with round ends.
func slot(x, y, length, width float64) []node {
	l, r := (length-width)/2, width/2
	return []node{{x - l, y - r, 0}, {x + l, y - r, 1}, {x + l, y + r, 0}, {x - l, y + r, 1}}
}

func box(x, y, long, wide float64) []node {
	l, w := long/2, wide/2
	return []node{{x - l, y - w, 0}, {x + l, y - w, 0}, {x + l, y + w, 0}, {x - l, y + w, 0}}
}

// drawing writes groups of a DXF file (ASCII, AC1015), each a code and a value.
type drawing struct {
	strings.Builder
	handle int
}

func (d *drawing) put(code int, value any) {
	switch v := value.(type) {
	case float64:
		fmt.Fprintf(d, "%d\n%.6f\n", code, v+0)
	default:
		fmt.Fprintf(d, "%d\n%v\n", code, v)
	}
}

// The layers that the shell file gives roles to.
const (
	outlineLayer = "FLOOR-EDGE"
	holeLayer    = "HOLES"
	keepOutLayer = "KEEP-OUT"
	noteLayer    = "NOTES"
)

func (d *drawing) entity(kind, layer, class string) {
	d.handle++
	d.put(0, kind)
	d.put(5, fmt.Sprintf("%X", 0x100+d.handle))
	d.put(100, "AcDbEntity")
	d.put(8, layer)
	d.put(100, class)
}

func (d *drawing) loop(layer string, nodes []node) {
	d.entity("LWPOLYLINE", layer, "AcDbPolyline")
	d.put(90, len(nodes))
	d.put(70, 1)
	d.put(38, floorHeight)
	for _, n := range nodes {
		d.put(10, n.x)
		d.put(20, n.y)
		if n.bulge != 0 {
			d.put(42, n.bulge)
		}
	}
}

func (d *drawing) section(name string, body func()) {
	d.put(0, "SECTION")
	d.put(2, name)
	body()
	d.put(0, "ENDSEC")
}

// dxf writes the blank in millimetres.
func (b blank) dxf() []byte {
	d := &drawing{}
	d.section("HEADER", func() {
		d.put(9, "$ACADVER")
		d.put(1, "AC1015")
		d.put(9, "$INSUNITS")
		d.put(70, 4) // millimetres
	})
	d.section("TABLES", func() {
		d.put(0, "TABLE")
		d.put(2, "LAYER")
		d.put(70, 4)
		for i, name := range []string{outlineLayer, holeLayer, keepOutLayer, noteLayer} {
			d.put(0, "LAYER")
			d.put(2, name)
			d.put(70, 0)
			d.put(62, i+1)
			d.put(6, "CONTINUOUS")
		}
		d.put(0, "ENDTAB")
	})
	d.section("ENTITIES", func() { b.entities(d) })
	d.put(0, "EOF")
	return []byte(d.String())
}

func (b blank) entities(d *drawing) {
	d.loop(outlineLayer, b.outline)
	for _, s := range b.slots {
		d.loop(holeLayer, s)
	}
	for _, c := range b.holes {
		d.entity("CIRCLE", holeLayer, "AcDbCircle")
		d.put(10, c.x)
		d.put(20, c.y)
		d.put(30, floorHeight)
		d.put(40, c.radius)
	}
	for _, k := range b.keepOut {
		d.loop(keepOutLayer, k)
	}
	d.entity("TEXT", noteLayer, "AcDbText")
	d.put(10, 120.0)
	d.put(20, -20.0)
	d.put(40, 25.0)
	d.put(1, "TARN FLOOR BLANK, 1.5 MM, SEEN FROM ABOVE, FRONT TO THE RIGHT")
}
