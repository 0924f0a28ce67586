package planner

import (
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/seams/rule"
)

// mirrorOff is how far in mm a weld may stand off the mirrored place of its twin before it is said. Chosen: what a hand-held gun
// is placed to.
const mirrorOff = 0.5

// followTwins lays the strips of joints with mirror_of at the mirrored places of their twins' welds: on the nearest of the
// joint's lines, as far along it as what is in the way lets it. Where that is not the twin's place it is said. It reports
// whether there are any such joints.
func (x *laying) followTwins(lines []line) (bool, error) {
	any := false
	for joint := range x.joints {
		of := x.shell.Joints[joint].MirrorOf
		if of == "" {
			continue
		}
		twin := slices.IndexFunc(x.joints, func(j layout.Joint) bool { return j.ID == of })
		var own, other []*line
		for i := range lines {
			switch lines[i].strip.joint {
			case joint:
				own = append(own, &lines[i])
			case twin:
				other = append(other, &lines[i])
			}
		}
		if len(own) == 0 || len(other) == 0 {
			continue // that the joint has no flange is said
		}
		any = true
		if err := x.followTwin(joint, of, own, other); err != nil {
			return false, err
		}
	}
	return any, nil
}

func (x *laying) followTwin(joint int, of string, own, other []*line) error {
	across := mirrorBetween(own, other)
	var welds []r3.Vector // mirrored
	rows := false
	for _, l := range other {
		for _, w := range l.laid.Welds {
			welds, rows = append(welds, across.image(w.Position)), rows || w.Row > 0
		}
	}
	if rows {
		takeRows(own, other)
	} else {
		takePlaces(own, welds)
	}
	for _, l := range own {
		if err := l.lay(); err != nil {
			return err
		}
	}
	return x.tellTwin(joint, of, own, welds)
}

// takePlaces asks for welds at the places of lines nearest to mirrored ones, as far along as what is in the way lets them.
func takePlaces(own []*line, welds []r3.Vector) {
	for _, l := range own {
		l.request.Places, l.adopted = []float64{}, true
	}
	for _, at := range welds {
		var best *line
		along, least := 0.0, math.Inf(1)
		for _, l := range own {
			if s, d := l.request.Line.Nearest(at); d < least {
				best, along, least = l, s, d
			}
		}
		limits := best.strip.limits
		to, ok := best.request.Free(along)
		moved := math.Abs(to - along)
		tooNear := slices.ContainsFunc(best.request.Places, func(s float64) bool { return math.Abs(s-to) < limits.LeastPitch.Value })
		if !ok || least > limits.LeastPitch.Value || moved > limits.GreatestPitch.Value/2 || moved > mirrorOff && tooNear {
			continue
		}
		best.request.Places = append(best.request.Places, to)
	}
	for _, l := range own {
		slices.Sort(l.request.Places)
	}
}

// takeRows asks for the twin's rows and number of welds.
func takeRows(own, other []*line) {
	for k, l := range own {
		from := other[min(k, len(other)-1)]
		l.request.Rows, l.request.RowCount, l.request.RowApart = from.request.Rows, from.request.RowCount, from.request.RowApart
		l.request.Count = len(from.laid.Welds)
	}
}

// tellTwin says where a joint is not welded as its twin is.
func (x *laying) tellTwin(joint int, of string, own []*line, welds []r3.Vector) error {
	moved, missing, worst := 0, 0, 0.0
	var at r3.Vector
	for _, place := range welds {
		off, reach := math.Inf(1), 0.0
		for _, l := range own {
			for _, w := range l.laid.Welds {
				if d := w.Position.Distance(place); d < off {
					off, reach = d, l.strip.limits.GreatestPitch.Value/2
				}
			}
		}
		switch {
		case off <= mirrorOff:
			continue
		case off > reach:
			missing++
		default:
			moved++
			worst = math.Max(worst, off)
		}
		if missing+moved == 1 {
			at = place
		}
	}
	if missing+moved == 0 {
		return nil
	}
	var words []string
	if missing > 0 {
		words = append(words, fmt.Sprintf("%d have no place here", missing))
	}
	if moved > 0 {
		words = append(words, fmt.Sprintf("%d stand off the mirrored place, by up to %.1f mm", moved, worst))
	}
	x.find(rule.Problem{Rule: "joint.mirror", Value: float64(missing + moved)}, finding.About{Joint: x.joints[joint].ID, At: vec(at)},
		fmt.Sprintf("joint %s: of the %d welds of its twin %s %s", x.joints[joint].ID, len(welds), of, strings.Join(words, ", and ")))
	return nil
}

// mirror is a plane across an axis of the shell's frame.
type mirror struct {
	axis int // 0, 1, 2: x, y, z
	at   float64
}

func (m mirror) image(p r3.Vector) r3.Vector {
	switch m.axis {
	case 0:
		p.X = 2*m.at - p.X
	case 1:
		p.Y = 2*m.at - p.Y
	default:
		p.Z = 2*m.at - p.Z
	}
	return p
}

// mirrorBetween is the plane square to an axis, halfway between two joints' lines, that brings the one's line nearest to the
// other's.
func mirrorBetween(own, other []*line) mirror {
	a, b := middleOf(own), middleOf(other)
	best, least := mirror{}, math.Inf(1)
	for axis, at := range []float64{(a.X + b.X) / 2, (a.Y + b.Y) / 2, (a.Z + b.Z) / 2} {
		m := mirror{axis, at}
		worst := 0.0
		for _, l := range other {
			for _, st := range l.request.Line.Points {
				near := math.Inf(1)
				for _, o := range own {
					_, d := o.request.Line.Nearest(m.image(st.Point))
					near = math.Min(near, d)
				}
				worst = math.Max(worst, near)
			}
		}
		if worst < least-1e-9 {
			best, least = m, worst
		}
	}
	return best
}

// middleOf is the middle of the box about lines, which a mirror maps to that of the mirrored ones.
func middleOf(lines []*line) r3.Vector {
	low := r3.Vector{X: math.Inf(1), Y: math.Inf(1), Z: math.Inf(1)}
	high := low.Mul(-1)
	for _, l := range lines {
		for _, st := range l.request.Line.Points {
			p := st.Point
			low = r3.Vector{X: math.Min(low.X, p.X), Y: math.Min(low.Y, p.Y), Z: math.Min(low.Z, p.Z)}
			high = r3.Vector{X: math.Max(high.X, p.X), Y: math.Max(high.Y, p.Y), Z: math.Max(high.Z, p.Z)}
		}
	}
	return low.Add(high).Mul(0.5)
}
