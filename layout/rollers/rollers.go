// Package rollers lays the paths of roller seams along weld lines.
//
// # Rules
//
// Across the strip, the middle of the wheel keeps half its width and the bend clearance from a bend, half
// its width from a side where the sheets part or the strip goes on with other sheets, and from a free edge
// half its width or the edge distance, whichever is more. Between these bounds the path follows the weld
// line, smoothed: ripples shorter than the smoothing length, which a hand could not follow and which come
// from the triangles of the panels, are taken out, while straights and arcs stay where they are (where one
// passes into the other the path turns up to 8 % tighter than the line). Where the
// strip is too narrow, the shortage is shared between the two sides and said (Narrow).
//
// Along the line, the seam runs from end to end unless distances from the ends are asked for. A closed seam
// may run on over its start; that length is rolled but not counted as seam.
//
// A roller is steered in the plane of the sheets: where the path turns tighter there than the roller's least
// radius, it cannot be rolled (Turn). Out of that plane the wheel must fit into the hollow: where the path
// bends with less than the wheel's radius to either side, one of the two wheels does not (Hollow). Past what
// stands on the seam, such as a dowel or a clamp that stays shut, it does not get either (InTheWay). The
// stretches that remain, and are worth starting on, are returned, so that the others can be spotted: Part is
// the path over one of them, Unrolled is what lies between, and Cut the weld line there.
//
//	path, err := rollers.Lay(rollers.Request{
//		Line: rollers.Line{ID: "f3", Stations: flange.Line}, Wheel: 6, LeastRadius: 60, Speed: 30, Edge: 6, Bend: 1,
//	})
//	fmt.Println(path.Length, path.Seconds, path.Problems)
package rollers

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
)

// Line is the weld line to roll along.
type Line struct {
	ID       string
	Stations []flange.LinePoint // with growing S; a closed line does not repeat its first station
	Closed   bool
}

// Request is one seam. Lengths in mm; zeros mean what is said beside them.
type Request struct {
	Line        Line
	Wheel       float64 // width of the wheel's face
	Diameter    float64 // of the wheel; 0: not known, hollows are not judged
	LeastRadius float64 // of the path in the plane of the sheets; 0: not judged
	Edge        float64 // middle of the seam to a free edge
	Bend        float64 // side of the wheel to the start of a bend
	Start, End  float64 // kept from the ends of an open line; 0: none
	Overlap     float64 // run on over the start of a closed seam; 0: none
	Speed       float64 // mm/s; 0: not known, the time is 0
	Smooth      float64 // smoothing length; 0: DefaultSmooth
	LeastRun    float64 // shorter stretches are not rolled; 0: any length is
	KeepOuts    []KeepOut
}

// KeepOut is a ball that the wheel does not get past, in the frame of the stations.
type KeepOut struct {
	ID     string
	At     r3.Vector
	Radius float64 // mm
}

// DefaultSmooth is the length in mm of the ripples that are halved; shorter ones vanish, longer ones stay.
// Common practice, no source: about the length of wheel and hand guide on the sheet.
const DefaultSmooth = 40.0

// span is the distance in mm before and behind at which a path's radius is measured, so that the facets of
// a mesh do not count as turns. The same as the seam rules use.
const span = 10.0

// slack is the width in mm by which a strip may fall short before it is said; see the spots' rule.
const slack = 0.05

// Stretch is a part of the weld line, mm along it. On a closed line To may lie below From: it then goes on
// over the closing point.
type Stretch struct{ From, To float64 }

// Bow is the tightest place of a path.
type Bow struct {
	Radius float64 // mm; +Inf on a straight path
	S      float64 // mm along the weld line
	At     r3.Vector
}

// Path is a roller seam.
type Path struct {
	Points   []r3.Vector
	Normals  []r3.Vector // the sheets' common normal at each point
	S        []float64   // mm along the weld line at each point
	Offset   []float64   // mm off the weld line at each point, to the left
	Closed   bool
	Length   float64 // mm of seam
	Rolled   float64 // mm, with the overlap of a closed seam
	Seconds  float64 // of rolling
	InPlane  Bow     // tightest turn in the plane of the sheets
	Total    Bow     // tightest turn in space
	Rollable []Stretch
	Whole    bool // all of it can be rolled
	Problems []Problem
}

// Kind is what a problem is about.
type Kind string

// What can be wrong with a roller seam.
const (
	Narrow Kind = "narrow" // Value: width of the strip; Limit: width needed
	Turn   Kind = "turn"   // Value: radius in the plane of the sheets; Limit: the roller's least
	Hollow Kind = "hollow" // Value: radius out of the plane; Limit: the wheel's radius
	Short  Kind = "short"  // Value: length of the line; Limit: the lengths kept from its ends

	InTheWay Kind = "in the way" // Value: from the middle of the path to KeepOut's; Limit: its radius and half the wheel
)

// Problem is one thing that a path could not keep, with its place.
type Problem struct {
	Kind     Kind
	Line     string
	From, To float64 // mm along the weld line
	Value    float64 // at the worst place
	Limit    float64
	At       r3.Vector
	KeepOut  string // InTheWay: what is
}

// String says the problem in one line of words.
func (p Problem) String() string {
	where := fmt.Sprintf("%s, %.1f to %.1f mm", p.Line, p.From, p.To)
	switch p.Kind {
	case Narrow:
		return fmt.Sprintf("%s: the strip is %.1f mm wide, %.1f mm too narrow for the wheel", where, p.Value, p.Limit-p.Value)
	case Turn:
		return fmt.Sprintf("%s: the path turns with a radius of %.1f mm, the roller needs %.1f mm", where, p.Value, p.Limit)
	case Hollow:
		return fmt.Sprintf("%s: the path bends with a radius of %.1f mm out of the sheets' plane, the wheel has %.1f mm", where, p.Value, p.Limit)
	case InTheWay:
		return fmt.Sprintf("%s: %s is in the way of the roller", where, p.KeepOut)
	}
	return fmt.Sprintf("%s: %.1f mm of line leave nothing to roll between its ends", p.Line, p.Value)
}

// Lay lays the path of one seam. It fails on input that is no line; whatever cannot be kept is in the path's
// problems.
func Lay(r Request) (Path, error) {
	if err := r.sound(); err != nil {
		return Path{}, fmt.Errorf("roller seam on %s: %w", r.Line.ID, err)
	}
	if r.Smooth == 0 {
		r.Smooth = DefaultSmooth
	}
	line := resample(r.Line)
	low, high, problems := r.bounds(line)
	offset := smoothed(line, low, high, r.Smooth)
	path := r.trimmed(line, offset)
	path.Problems = problems
	if len(path.Points) < 2 {
		first, last := line.stations[0], line.stations[len(line.stations)-1]
		path.Problems = append(path.Problems, Problem{Kind: Short, Line: r.Line.ID, From: first.S, To: last.S, Value: line.length,
			Limit: r.Start + r.End, At: first.Point})
		return path, nil
	}
	path.measure(r)
	path.judge(r)
	return path, nil
}

func (r Request) sound() error {
	if len(r.Line.Stations) < 2 || r.Line.Closed && len(r.Line.Stations) < 3 {
		return fmt.Errorf("%d stations are no line", len(r.Line.Stations))
	}
	for i, st := range r.Line.Stations {
		sum := st.Point.Norm() + st.Along.Norm() + st.Across.Norm() + st.Axis.Norm() + st.Left + st.Right + st.S
		if math.IsNaN(sum) || math.IsInf(sum, 0) {
			return fmt.Errorf("station %d is not finite", i)
		}
		if i > 0 && st.S <= r.Line.Stations[i-1].S {
			return fmt.Errorf("station %d at %g mm does not lie after the one before it at %g mm", i, st.S, r.Line.Stations[i-1].S)
		}
	}
	for _, v := range []float64{r.Wheel, r.Diameter, r.LeastRadius, r.Edge, r.Bend, r.Start, r.End, r.Overlap, r.Speed, r.Smooth} {
		if !(v >= 0) || math.IsInf(v, 1) {
			return fmt.Errorf("a length or speed of %g is none", v)
		}
	}
	return nil
}
