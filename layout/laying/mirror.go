package laying

import (
	"cmp"
	"fmt"
	"math"
	"slices"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/flange"
	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/layout/joining"
	"seamwright/layout/spots"
	"seamwright/seams/rule"
)

// mirrorOff is how far in mm a weld may stand off the mirrored place of its twin before it is said. Chosen: what a hand-held gun
// is placed to.
const mirrorOff = 0.5

// twins are a joint with mirror_of and the lines of both, and the mirror between them.
type twins struct {
	joint      int
	own, other []*line
	across     mirror
}

// images are the mirrored places of the other joint's welds as they are laid now.
func (t twins) images() []r3.Vector {
	var out []r3.Vector
	for _, l := range t.other {
		for _, w := range l.laid.Welds {
			out = append(out, t.across.image(w.Position))
		}
	}
	return out
}

// followTwins lays the strips of joints with mirror_of at the mirrored places of their twins' welds: on the nearest of the
// joint's lines, as far along it as what is in the way lets it. It returns these joints: where one is not welded as its twin
// is for tellTwin to say, once nothing moves any more.
func (x *laying) followTwins(lines []line) ([]twins, error) {
	var out []twins
	for joint := range x.Joints {
		of := x.Shell.Joints[joint].MirrorOf
		if of == "" {
			continue
		}
		twin := slices.IndexFunc(x.Joints, func(j layout.Joint) bool { return j.ID == of })
		var own, other []*line
		for i := range lines {
			switch lines[i].strip.Joint {
			case joint:
				own = append(own, &lines[i])
			case twin:
				other = append(other, &lines[i])
			}
		}
		if len(own) == 0 || len(other) == 0 {
			continue // that the joint has no flange is said
		}
		t := twins{joint, own, other, mirrorBetween(own, other)}
		if err := t.follow(); err != nil {
			return nil, err
		}
		out = append(out, t)
	}
	return out, nil
}

func (t twins) follow() error {
	inRows := func(w spots.Weld) bool { return w.Row > 0 }
	if slices.ContainsFunc(t.other, func(l *line) bool { return slices.ContainsFunc(l.laid.Welds, inRows) }) {
		t.takeRows()
	} else {
		takePlaces(t.own, t.images())
	}
	for _, l := range t.own {
		if err := l.lay(); err != nil {
			return err
		}
	}
	return nil
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
		limits := best.strip.Limits
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

// takeRows asks for welds at the mirrored places of a twin's rows, as far as what is in the way lets them. Which row is the rightmost
// is told by where they come to lie.
func (t twins) takeRows() {
	for _, l := range t.own {
		l.request.InRows, l.adopted = []spots.Place{}, true
	}
	for _, o := range t.other {
		for _, w := range o.laid.Welds {
			image := t.across.image(w.Position)
			var best *line
			var at spots.Place
			least := math.Inf(1)
			for _, l := range t.own {
				if s, offset, d := l.request.Line.Beside(image); d < least {
					best, least, at = l, d, spots.Place{S: s, Offset: offset, Row: w.Row}
				}
			}
			if width := widest(best.request.Line.Points); least <= width {
				best.request.InRows = append(best.request.InRows, at)
			}
		}
	}
	for _, l := range t.own {
		numberRows(l.request.InRows)
	}
}

// widest is the greatest width of a strip in mm.
func widest(points []flange.LinePoint) float64 {
	out := 0.0
	for _, p := range points {
		out = math.Max(out, p.Left+p.Right)
	}
	return out
}

// numberRows numbers rows from the right, where they were numbered by a twin that may run the other way.
func numberRows(all []spots.Place) {
	count, right := 0, map[int]float64{}
	n := map[int]int{}
	for _, p := range all {
		count = max(count, p.Row)
		right[p.Row] += p.Offset
		n[p.Row]++
	}
	mean := func(row int) float64 { return right[row] / float64(max(1, n[row])) }
	if count < 2 || n[1] == 0 || n[count] == 0 || mean(1) <= mean(count) {
		return
	}
	for i := range all {
		if all[i].Row > 0 {
			all[i].Row = count + 1 - all[i].Row
		}
	}
}

// tellTwin says where a joint is not welded as its twin is. A weld stands for one of the twin's, the nearest: the twin's others
// near it are missing here.
func (x *laying) tellTwin(t twins) {
	var welds []r3.Vector
	reach := 0.0
	for _, l := range t.own {
		reach = math.Max(reach, l.strip.Limits.GreatestPitch.Value/2)
		for _, w := range l.laid.Welds {
			welds = append(welds, w.Position)
		}
	}
	images := t.images()
	off := standIn(images, welds)
	moved, missing, worst := 0, 0, 0.0
	var at r3.Vector
	for i, place := range images {
		switch {
		case off[i] <= mirrorOff:
			continue
		case off[i] > reach:
			missing++
		default:
			moved++
			worst = math.Max(worst, off[i])
		}
		if missing+moved == 1 {
			at = place
		}
	}
	if missing+moved == 0 {
		return
	}
	var words []string
	if missing > 0 {
		words = append(words, fmt.Sprintf("%d have no place here", missing))
	}
	if moved > 0 {
		words = append(words, fmt.Sprintf("%d stand off the mirrored place, by up to %.1f mm", moved, worst))
	}
	id := x.Joints[t.joint].ID
	x.find(rule.Problem{Rule: "joint.mirror", Value: float64(missing + moved)}, finding.About{Joint: id, At: joining.Vec(at)},
		fmt.Sprintf("joint %s: of the %d welds of its twin %s %s", id, len(images), x.Shell.Joints[t.joint].MirrorOf,
			strings.Join(words, ", and ")))
}

// standIn gives each place a weld of its own, the nearest pairs first, and says how far off it is; +Inf where none is left.
func standIn(places, welds []r3.Vector) []float64 {
	type pair struct {
		place, weld int
		off         float64
	}
	var pairs []pair
	out := make([]float64, len(places))
	for i, p := range places {
		out[i] = math.Inf(1)
		for k, w := range welds {
			pairs = append(pairs, pair{i, k, p.Distance(w)})
		}
	}
	slices.SortStableFunc(pairs, func(a, b pair) int { return cmp.Compare(a.off, b.off) })
	taken := make([]bool, len(welds))
	for _, p := range pairs {
		if math.IsInf(out[p.place], 1) && !taken[p.weld] {
			out[p.place], taken[p.weld] = p.off, true
		}
	}
	return out
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
