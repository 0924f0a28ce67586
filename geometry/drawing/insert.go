package drawing

import (
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/dxf"
	"seamwright/geometry/intake"
	"seamwright/geometry/segment"
)

// insertion is an INSERT: a block to be copied once, or in rows and columns.
type insertion struct {
	block         string
	frame         segment.Affine // the insert's own system to the world
	at            r3.Vector
	scale         r3.Vector
	turn          float64 // radians
	columns, rows int
	step          r3.Vector // between columns (X) and rows (Y), before the turn
	note          string
}

// insertion reads an INSERT.
func (p *parser) insertion(r dxf.Record) (*insertion, error) {
	const blockName = 2
	in := &insertion{block: p.file.names.Decode(r.Text(blockName))}
	if in.block == "" {
		return nil, intake.FaultAt(r.At, "INSERT names no block (group 2): export the drawing again")
	}
	var err error
	if in.at, err = r.NeedPoint(10, "insertion point"); err != nil {
		return nil, err
	}
	if in.frame, err = frameOf(r); err != nil {
		return nil, err
	}
	degrees, err := r.Number(50, 0)
	if err != nil {
		return nil, err
	}
	in.turn = radians(math.Mod(degrees, 360))
	if err := in.readScale(r); err != nil {
		return nil, err
	}
	return in, in.readArray(r)
}

// readScale reads the three scales; a scale of zero would leave nothing and is taken as 1.
func (in *insertion) readScale(r dxf.Record) error {
	in.scale = r3.Vector{X: 1, Y: 1, Z: 1}
	for axis, code := range [3]int{41, 42, 43} {
		t, ok := r.Find(code)
		if !ok {
			continue
		}
		v, err := t.Coordinate()
		if err != nil {
			return err
		}
		if v == 0 {
			v, in.note = 1, "INSERT with a scale of zero: taken as 1"
		}
		*dxf.Component(&in.scale, axis) = v
	}
	return nil
}

// readArray reads the numbers of columns and rows, 1 where they are missing or below 1, and their distances.
func (in *insertion) readArray(r dxf.Record) error {
	counts := [2]*int{&in.columns, &in.rows}
	for i, code := range [2]int{70, 71} {
		n, err := r.Whole(code, 1)
		if err != nil {
			return err
		}
		*counts[i] = max(1, n)
	}
	for axis, code := range [2]int{44, 45} {
		t, ok := r.Find(code)
		if !ok {
			continue
		}
		v, err := t.Coordinate()
		if err != nil {
			return err
		}
		*dxf.Component(&in.step, axis) = v
	}
	return nil
}

// place maps the block, whose base point is given, to the copy in the column and row given.
func (in *insertion) place(base r3.Vector, column, row int) segment.Affine {
	sin, cos := math.Sincos(in.turn)
	turn := segment.Affine{X: r3.Vector{X: cos, Y: sin}, Y: r3.Vector{X: -sin, Y: cos}, Z: r3.Vector{Z: 1}}
	scale := segment.Affine{X: r3.Vector{X: in.scale.X}, Y: r3.Vector{Y: in.scale.Y}, Z: r3.Vector{Z: in.scale.Z}}
	offset := r3.Vector{X: float64(float64(column) * in.step.X), Y: float64(float64(row) * in.step.Y)}
	m := scale.After(segment.Moving(base.Mul(-1)))
	m = turn.After(segment.Moving(offset)).After(m)
	return in.frame.After(segment.Moving(in.at)).After(m)
}

// expander turns entities into paths, blocks inserted.
type expander struct {
	file   *content
	chord  float64 // mm
	opt    Options
	points int // given out so far
	copies int // of blocks so far
	met    int // entities so far, those that are skipped too
	nest   []string
	unseen []bool // of the inserts being expanded: marked invisible, or on a frozen layer
	paths  []Path
	tally  tally
}

// all expands the entities given under the map; those on layer 0 of a block take the layer of its insert.
func (x *expander) all(entities []entity, m segment.Affine, insertLayer string) error {
	for i := range entities {
		e := &entities[i]
		layer := e.layer
		if len(x.nest) > 0 && layer == "0" {
			layer = insertLayer
		}
		if x.met++; x.met > x.opt.mostEntities() {
			return intake.FaultAt(e.at, "drawing has more than %d entities once its blocks are inserted: draw the outline once, or allow more",
				x.opt.mostEntities())
		}
		if err := x.one(e, m, layer); err != nil {
			return err
		}
	}
	return nil
}

func (x *expander) one(e *entity, m segment.Affine, layer string) error {
	switch {
	case e.paper && len(x.nest) == 0:
		x.tally.paper++
		return nil
	case e.err != nil:
		return e.err
	case e.skip != "":
		x.tally.skip(strings.TrimSpace(dxf.TypeName(e.kind) + " " + e.skip))
		return nil
	case e.insert != nil:
		return x.insert(e, m, layer)
	}
	return x.path(e, m, layer)
}

// insert expands all copies of an INSERT.
func (x *expander) insert(e *entity, m segment.Affine, layer string) error {
	in := e.insert
	b, ok := x.file.blocks[dxf.Folded(in.block)]
	switch {
	case !ok:
		x.tally.skip("INSERT of block " + intake.Quoted(in.block) + ", which the file does not hold")
		return nil
	case b.external && len(b.entities) == 0:
		x.tally.skip("INSERT of block " + intake.Quoted(in.block) + ", which is in another file")
		return nil
	case b.err != nil:
		return b.err
	}
	if err := x.mayInsert(e, dxf.Folded(in.block)); err != nil {
		return err
	}
	x.tally.mend(in.note)
	x.nest, x.unseen = append(x.nest, dxf.Folded(in.block)), append(x.unseen, e.hidden || x.layerState(layer).frozen)
	for row := range in.rows {
		for column := range in.columns {
			if err := x.all(b.entities, m.After(in.place(b.base, column, row)), layer); err != nil {
				return err
			}
		}
	}
	x.nest, x.unseen = x.nest[:len(x.nest)-1], x.unseen[:len(x.unseen)-1]
	return nil
}

// mayInsert keeps inserts from running away.
func (x *expander) mayInsert(e *entity, name string) error {
	for _, outer := range x.nest {
		if outer == name {
			return intake.FaultAt(e.at, "block %s inserts itself: mend the block in the drawing", intake.Quoted(e.insert.block))
		}
	}
	if len(x.nest) >= maxNesting {
		return intake.FaultAt(e.at, "blocks are nested more than %d deep: explode the inserts in the drawing", maxNesting)
	}
	copies := float64(e.insert.columns) * float64(e.insert.rows)
	if copies > float64(maxInserted-x.copies) {
		return intake.FaultAt(e.at, "drawing inserts more than %d copies of blocks: draw the outline once", maxInserted)
	}
	x.copies += int(copies)
	return nil
}

// path flattens an entity's curve.
func (x *expander) path(e *entity, m segment.Affine, layer string) error {
	points, length, ok := segment.Flatten(e.curve.segments, m, x.chord, x.opt.mostPoints()-x.points)
	if !ok {
		return intake.FaultAt(e.at, "drawing needs more than %d points to stay within %v mm of its curves: check its unit, or give a coarser "+
			"chord tolerance, or allow more", x.opt.mostPoints(), x.chord)
	}
	if !usable(points, length) {
		return intake.FaultAt(e.at, "%s reaches beyond %v mm: check the unit and the scales of inserts", e.kind, maxCoordinate)
	}
	path := Path{Layer: layer, Kind: e.kind, Length: length}
	path.Points, path.Closed = closedUp(points, e.curve.closed)
	x.points += len(path.Points)
	x.tally.read(e, x.layerState(layer), slices.Contains(x.unseen, true))
	x.paths = append(x.paths, path)
	return nil
}

// usable reports whether points and length are finite and within reach of exact arithmetic.
func usable(points []r3.Vector, length float64) bool {
	for _, p := range points {
		if !(math.Abs(p.X) <= maxCoordinate && math.Abs(p.Y) <= maxCoordinate && math.Abs(p.Z) <= maxCoordinate) {
			return false
		}
	}
	return !math.IsNaN(length) && !math.IsInf(length, 0)
}

// samePlace is the distance in mm within which the two ends of one entity count as one point. Files carry
// coordinates with six decimals as a rule, which is 1.3e-5 mm where the unit is the inch.
const samePlace = 2e-5

// closedUp drops the last point of a path that ends where it starts, and says whether the path is closed:
// because it was drawn so, or because its ends meet.
func closedUp(points []r3.Vector, closed bool) ([]r3.Vector, bool) {
	last := len(points) - 1
	meets := last > 0 && points[last].Sub(points[0]).Norm() <= samePlace
	if meets && (closed || last > 2) {
		return points[:last], true
	}
	return points, closed
}

func (x *expander) layerState(name string) layer { return x.file.layers[dxf.Folded(name)] }
