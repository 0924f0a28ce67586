package mesh

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"path/filepath"
	"strings"

	"seamwright/geometry/intake"
	"seamwright/geometry/space"
	"seamwright/geometry/stl"
)

// DefaultMaxTriangles is how many triangles Read takes when Options does not say.
const DefaultMaxTriangles = stl.DefaultMaxTriangles

// Options steer ReadFile and Read. Every zero value means the default beside it.
type Options struct {
	Unit         space.Unit // unit of the file's numbers; not stated: millimetres, with a note
	Name         string     // the mesh's name; the file's name without its extension
	MaxTriangles int        // more triangles in the file are an error; DefaultMaxTriangles
	// mm; nearly equal vertices on free edges become one; DefaultMergeWithin, less in a mesh below 250 mm; below zero:
	// only equal ones
	MergeWithin float64
	Unsummed    bool // of ReadFile: nobody asks of which bytes the mesh was made, and Mesh.Source stays zero
}

// ReadFile reads an STL file, binary or ASCII, and mends it; see Read. A file that changes meanwhile is an error; the
// hash of the bytes that were read is in Mesh.Source, unless Options.Unsummed.
func ReadFile(path string, opt Options) (m *Mesh, notes []string, err error) {
	file, size, err := stl.Open(path)
	if err != nil {
		return nil, nil, err
	}
	once, err := intake.Of(file)
	if err != nil {
		file.Close()
		return nil, nil, fmt.Errorf("%s: %w", stl.Printable(path), err)
	}
	if opt.Unsummed {
		once.Unsummed()
	}
	m, notes, err = Read(once, size, path, opt)
	sum, changed := once.Close()
	if changed != nil { // the fault may come of it
		return nil, nil, fmt.Errorf("%s: %w", stl.Printable(path), changed)
	}
	if err != nil {
		return nil, nil, err
	}
	m.Source = sum
	return m, notes, nil
}

// ReadHeld is ReadFile for a file whose bytes and sum are at hand.
func ReadHeld(data []byte, sum intake.Sum, path string, opt Options) (*Mesh, []string, error) {
	m, notes, err := Read(bytes.NewReader(data), int64(len(data)), path, opt)
	if err != nil {
		return nil, nil, err
	}
	m.Source = sum
	return m, notes, nil
}

// Read reads one panel from size bytes of STL. Whether they are binary or ASCII is told from the bytes, not
// from the name: 84 + 50·count bytes are binary even when they begin with "solid". Coordinates are
// the file's 32-bit floats, scaled to millimetres in 64 bits.
//
// What can be mended without a guess is mended, counted and said in the notes (which do not repeat the
// file's name): vertices that should be one, triangles without area, triangles given twice, T-junctions, triangles
// turned against their neighbours, several solids in one file, bytes after the last triangle. A size
// that no pressed panel has is only said, with the units that would make it plausible.
//
// Anything else is an error in one line: the file's name, the triangle or line, the fault and the remedy.
func Read(r io.ReaderAt, size int64, name string, opt Options) (*Mesh, []string, error) {
	m, notes, err := read(r, size, opt)
	if err != nil {
		return nil, nil, fmt.Errorf("%s: %w", stl.Printable(name), err)
	}
	if m.Name = opt.Name; m.Name == "" && name != "" {
		m.Name = strings.TrimSuffix(filepath.Base(name), filepath.Ext(name))
	}
	return m, notes, nil
}

func read(r io.ReaderAt, size int64, opt Options) (*Mesh, []string, error) {
	unit, err := space.ParseUnit(string(opt.Unit))
	if err != nil {
		return nil, nil, err
	}
	if math.IsNaN(opt.MergeWithin) || math.IsInf(opt.MergeWithin, 0) {
		return nil, nil, errors.New("the merge distance is not a number: write millimetres")
	}
	var notes []string
	if unit == space.Unstated {
		notes = append(notes, "unit not stated: numbers taken as millimetres")
	}
	var g gather
	said, err := stl.Each(r, size, stl.Options{Unit: unit, MaxTriangles: opt.MaxTriangles}, g.take)
	if err != nil {
		return nil, nil, err
	}
	notes = append(notes, said...)
	m, box := g.mesh(unit.Millimetres())
	given, repeated := len(m.Triangles)+g.repeated, g.repeated
	g = gather{} // what it holds may go while the mesh is mended
	said, extent := mend(m, box, repeated, opt.MergeWithin)
	notes = append(notes, said...)
	if len(m.Triangles) == 0 {
		return nil, nil, fmt.Errorf("none of its %s has an area: export the panel again", plural(given, "triangle"))
	}
	if note := implausible(extent, unit); note != "" {
		notes = append(notes, note)
	}
	return m, notes, nil
}

// plural writes a number with its noun.
func plural(n int, noun string) string {
	switch {
	case n == 1:
		return "1 " + noun
	case strings.HasSuffix(noun, "ex"): // vertex
		return fmt.Sprintf("%d %sices", n, strings.TrimSuffix(noun, "ex"))
	}
	return fmt.Sprintf("%d %ss", n, noun)
}
