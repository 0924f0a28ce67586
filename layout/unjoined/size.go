package unjoined

import (
	"fmt"
	"strings"

	"seamwright/geometry/space"
)

// unit is another unit that a file may be in than the one it was read in, and how much larger that makes it.
type unit struct {
	name   string
	factor float64
}

// otherUnits are those that a file read in one unit may be in instead.
func otherUnits(read space.Unit) []unit {
	var out []unit
	for _, u := range []space.Unit{space.Metre, space.Inch, space.Centimetre, space.Foot, space.Millimetre} {
		if factor := u.Millimetres() / read.Millimetres(); factor != 1 {
			out = append(out, unit{string(u), factor})
		}
	}
	return out
}

// whole says of all panels together that they are too small or too large for a body shell, which no panel shows beside the others
// where all are in the same wrong unit; it reports whether it did.
func (j *judge) whole() (said bool) {
	all := make([]int, len(j.panels))
	box := space.EmptyBox()
	for i, p := range j.panels {
		all[i] = i
		if len(p.Sheet.Mesh.Triangles) > 0 {
			box = box.Union(p.Shape.Box())
		}
	}
	if box.IsEmpty() {
		return false
	}
	size := longest(box)
	for _, id := range []string{"shell.size.least", "shell.size.greatest"} {
		if p, off := j.by.Exceeds(id, nil, size); off {
			j.add(p, all, box.Center(), fmt.Sprintf("all panels together are %.3g mm long%s", size, j.inUnits(size)))
			said = true
		}
	}
	return said
}

// inUnits asks for the units that would give a shell of a usual size.
func (j *judge) inUnits(size float64) string {
	var may []string
	for _, u := range otherUnits(j.panels[0].Unit) {
		_, small := j.by.Exceeds("shell.size.least", nil, size*u.factor)
		_, large := j.by.Exceeds("shell.size.greatest", nil, size*u.factor)
		if !small && !large {
			may = append(may, fmt.Sprintf("%s (it is then %.3g m long)", u.name, size*u.factor/1000))
		}
	}
	if len(may) == 0 {
		return ""
	}
	return ": are the files in " + strings.Join(may, " or ") + "?"
}
