package drawing

import (
	"fmt"
	"math"
	"strings"

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
	binary := strings.HasPrefix(text, binarySentinel)
	d, err := readDXF(text, binary, chord, opt)
	if err != nil {
		return nil, inFile(err, name, binary)
	}
	d.Name = name
	return d, nil
}

func readDXF(text string, binary bool, chord float64, opt Options) (*Drawing, error) {
	src, err := openTags(text, binary)
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
		return problemAt(0, "drawing is %.4g × %.4g × %.4g mm, more than %g mm: check its unit, take out what lies far off, or allow more",
			size.X,
			size.Y, size.Z, most)
	}
	return nil
}

// openTags picks the reader for the file's flavour and turns away what only looks like a drawing.
func openTags(text string, binary bool) (source, error) {
	if binary {
		return newBinaryTags(text)
	}
	switch {
	case strings.Trim(text, padding) == "":
		return nil, problemAt(0, "file is empty: export the drawing again")
	case strings.HasPrefix(text, "AC10") && !strings.ContainsAny(text[:min(len(text), 12)], "\r\n"):
		return nil, problemAt(0, "is a drawing in a program's own format, not DXF: save it as DXF, R12 to 2018")
	case strings.HasPrefix(text, "\xff\xfe"), strings.HasPrefix(text, "\xfe\xff"):
		return nil, problemAt(0, "is UTF-16 text: save it as DXF, which is ASCII or UTF-8")
	}
	return newTextTags(strings.TrimPrefix(text, "\ufeff")), nil
}
