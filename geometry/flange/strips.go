package flange

import (
	"math"
	"slices"

	"github.com/golang/geo/r3"

	"seamwright/geometry/centreline"
	"seamwright/geometry/contact"
	"seamwright/geometry/curve"
	"seamwright/geometry/kit"
	"seamwright/geometry/stackup"
	"seamwright/internal/work"
)

// onHost finds the flanges of one host.
type onHost struct {
	*stackup.Host
	opt   Options
	crew  *work.Crew // who helps; nil: nobody
	small []Small    // contacts that are no flanges
}

// canBeClosed says whether clamps draw an end together whose gap rises so far over a length, though it does not end within
// their limits.
func (f *onHost) canBeClosed(rise, length float64) bool {
	return f.AnyOpen() && rise > 0 && rise <= contact.SteepOpen*length
}

// endAhead is what ends the region ahead of a section.
func (f *onHost) endAhead(r *contact.Lap, s centreline.Section, dir r3.Vector) Edge {
	t := r.Trace(s.At, s.Across, dir, centreline.WidestTrace)
	if !t.Ok {
		return UnknownEnd
	}
	return r.End(t.Edge[0], t.Edge[1]).Why
}

// strips turns a region into the flanges that it is made of, or notes that there are none.
func (f *onHost) strips(r *contact.Lap) []Flange {
	area := r.Area()
	loops := r.Loops()
	if len(loops) == 0 {
		return nil
	}
	if area < f.leastLength(r)*f.opt.LeastWidth {
		f.noteSmall(r, loops, NoFreeEdge)
		return nil
	}
	if parts, nested := r.Flats(f.Host, false, f.crew); nested {
		return f.stripsOfParts(parts, RoundBends, f.stripsOf)
	}
	if !r.ReachesFreeEdge(loops) {
		f.noteSmall(r, loops, NoFreeEdge)
		return nil
	}
	small := len(f.small)
	out := f.stripsOf(r, loops)
	if slices.ContainsFunc(out, func(fl Flange) bool { return fl.Turn > roundTurn }) { // as if a bend lay in it
		if parts, nested := r.Flats(f.Host, true, f.crew); nested {
			f.small = f.small[:small]
			return f.stripsOfParts(parts, RoundBends, f.stripsOf)
		}
	}
	return out
}

// roundTurn is by how many degrees a strip turns across from which bends of all of its sheets are looked for in it, chosen.
const roundTurn = 10.

// stripsOfParts are the strips of those parts of a region that are large enough and reach a free edge; of the others it is noted why they
// have none.
func (f *onHost) stripsOfParts(parts []*contact.Lap, why Why, strips func(r *contact.Lap, loops [][]int32) []Flange) (out []Flange) {
	for _, r := range parts {
		loops := r.Loops()
		if len(loops) == 0 {
			continue
		}
		if r.Area() < f.leastLength(r)*f.opt.LeastWidth || !r.ReachesFreeEdge(loops) {
			f.noteSmall(r, loops, why)
			continue
		}
		out = append(out, strips(r, loops)...)
	}
	return out
}

// isWall says whether the sheets of a strip go on together round a bend beside it, and no free edge runs along it.
func (fl *Flange) isWall(sections []centreline.Section) bool {
	nested := 0
	for i := range sections {
		nested += kit.CountIf(sections[i].Nested)
	}
	return 2*nested > len(sections) && !fl.alongFreeEdge()
}

// stripsOf are the strips of a region without bends: where it has slivers, of what is left without them.
func (f *onHost) stripsOf(r *contact.Lap, loops [][]int32) []Flange {
	slivers, rest := r.Slivers(loops, f.opt.LeastWidth)
	if len(slivers) == 0 {
		return f.stripsAlong(r, loops)
	}
	for _, part := range r.Parts(slivers) {
		f.noteSmall(part, part.Loops(), TooSmall)
	}
	return f.stripsOfParts(r.Parts(rest), NoFreeEdge, f.stripsAlong)
}

// stripsAlong are the strips along the lines of a region.
func (f *onHost) stripsAlong(r *contact.Lap, loops [][]int32) []Flange {
	lines := centreline.Lay(r.Region, loops, f.opt.Step)
	out, some := f.along(r, loops, lines)
	if some == noneLies {
		if straight, ok := lines.Straight(); ok {
			out, some = f.along(r, loops, straight)
		}
	}
	switch some {
	case noneStays:
		f.noteSmall(r, loops, StandsOpen)
	case noneLies:
		f.noteSmall(r, loops, NoLine)
	}
	return out
}

// some says what lines came to.
type some int

const (
	someStay  some = iota // flanges, or walls that were noted
	noneStays             // what they run along is too short, too narrow or open
	noneLies              // one was longer across than along, so that it says nothing of the region
)

// along are the strips along a region's lines.
func (f *onHost) along(r *contact.Lap, loops [][]int32, lines centreline.Lines) (out []Flange, came some) {
	wall, across := false, false
	for _, c := range lines.Runs {
		fl, kept, ok := f.flange(r, c.Sections, c.Closed)
		if !ok {
			across = across || fl.isAcross()
			continue
		}
		if fl.isWall(kept) {
			f.noteSmall(r, loops, RoundBends)
			wall = true
			continue
		}
		stretch := fl.Area
		fl.Area *= float64(c.Share * c.Kept)
		if k := slices.IndexFunc(out, func(o Flange) bool { return o.covers(fl, lines.Width/4) }); k >= 0 {
			out[k].Area += float64(c.Share*c.Kept) * stretch // the rough lines parted about a hole
			continue
		}
		if !f.onScan(fl.Sheets) { // there a corner is no more than noise
			widths := make([]float64, len(fl.Line))
			for i, p := range fl.Line {
				widths[i] = p.Left + p.Right
			}
			fl.Width.Least = min(fl.Width.Least, c.LeastAtCorners(widths, kept, loops))
		}
		fl.Outline = c.Outline(loops, kept, lines.Runs)
		fl.Holes = holesNear(lines.Holes, fl)
		fl.Notches = c.Notches(loops)
		fl.Notches = slices.DeleteFunc(fl.Notches, func(n Notch) bool { return lines.IsSide(n, fl.Width.Greatest) })
		if c.NormalNear(fl.Line[0].Point).Dot(fl.Line[0].Axis) < 0 {
			fl.turnNotches() // the stack's order runs against the normals by which they were found
		}
		out = append(out, fl)
	}
	switch {
	case len(out) > 0 || wall:
		return out, someStay
	case across:
		return out, noneLies
	}
	return out, noneStays
}

// leastLength is how long a strip of the region is at least. Where laps cross, or a further sheet lies on a flange, the
// strip is as short as the lap is wide, and the weld at that place goes through all of the sheets: there is no other
// place for it.
func (f *onHost) leastLength(r *contact.Lap) float64 {
	if r.Stack.N > 2 {
		return min(f.opt.LeastLength, f.opt.LeastWidth)
	}
	return f.opt.LeastLength
}

// covers says whether another line lies along this one.
func (fl *Flange) covers(other Flange, within float64) bool {
	line := curve.New(lineOf(fl.Line), fl.Closed)
	beside := 0
	for _, s := range other.Line {
		if _, d := line.Nearest(s.Point); d <= within {
			beside++
		}
	}
	return 10*beside >= 9*len(other.Line)
}

// holesNear keeps the holes that the flange's own line passes.
func holesNear(holes []Hole, fl Flange) []Hole {
	var out []Hole
	for _, h := range holes {
		for _, s := range fl.Line {
			if s.Point.Sub(h.Center).Norm() <= math.Max(s.Left, s.Right)+h.Radius {
				out = append(out, h)
				break
			}
		}
	}
	return out
}
