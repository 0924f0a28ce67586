package drawing

import (
	"fmt"
	"math"

	"seamwright/geometry/dxf"
	"seamwright/geometry/intake"
	"seamwright/geometry/segment"
	"seamwright/geometry/space"
)

// parseDXF reads a DXF drawing, text or binary, R12 to 2018. The name stands in errors and in Drawing.Name.
// Faults in the file are a *FileError that gives the line, or the byte in a binary file.
func parseDXF(text, name string, opt Options) (*Drawing, error) {
	chord, err := opt.chord()
	if err != nil {
		return nil, fmt.Errorf("drawing %s: %w", name, err)
	}
	binary := dxf.IsBinary(text)
	d, err := readDXF(text, chord, opt)
	if err != nil {
		return nil, inFile(err, name, binary)
	}
	d.Name = name
	return d, nil
}

func readDXF(text string, chord float64, opt Options) (*Drawing, error) {
	src, err := dxf.Open(text)
	if err != nil {
		return nil, err
	}
	file, err := parse(src, opt)
	if err != nil {
		return nil, err
	}
	factor, unit, notes := file.header.scale(opt.Unit)
	x := expander{file: file, chord: chord, opt: opt}
	if err := x.all(file.entities, segment.Scaling(factor), ""); err != nil {
		return nil, err
	}
	if err := checkSize(x.paths, opt.mostSize()); err != nil {
		return nil, err
	}
	notes = append(append(notes, firstOf(file.mended, "such notes")...), x.tally.notes()...)
	if len(x.paths) == 0 {
		notes = append(notes, "no lines or curves to read in model space")
	}
	return &Drawing{Unit: unit, Paths: x.paths, Notes: notes}, nil
}

// checkSize turns away a drawing that is larger than anything that is drawn: its unit is another, and everything done
// with it would take as much longer.
func checkSize(paths []Path, most float64) error {
	box := space.EmptyBox()
	for i := range paths {
		for _, v := range paths[i].Points {
			box = box.Add(v)
		}
	}
	if size := box.Size(); len(paths) > 0 && math.Max(size.X, math.Max(size.Y, size.Z)) > most {
		return intake.FaultAt(0, "drawing is %.4g × %.4g × %.4g mm, more than %g mm: check its unit, take out what lies far off, or allow more",
			size.X,
			size.Y, size.Z, most)
	}
	return nil
}
