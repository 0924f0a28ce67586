package flange

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"

	"seamwright/geometry/curve"
	"seamwright/geometry/mesh"
	"seamwright/geometry/near"
)

// FromLine makes a flange of a drawn weld line of a stated width. The axis is the normal of the line's mean
// plane when host is nil, and the host's own normal where the line passes otherwise; the line then also
// moves onto the host.
func FromLine(points []r3.Vector, closed bool, width float64, host *mesh.Mesh, opt Options) (Flange, error) {
	opt = opt.withDefaults()
	line := curve.New(points, closed)
	if len(points) < 2 || line.Length() < opt.LeastLength {
		return Flange{}, fmt.Errorf("weld line of %d points is %.1f mm long: at least %g mm are needed", len(points), line.Length(),
			opt.LeastLength)
	}
	if width < opt.LeastWidth {
		return Flange{}, fmt.Errorf("weld line: a width of %g mm is below %g mm", width, opt.LeastWidth)
	}
	normal := meanNormal(points)
	var tree *near.Tree
	if host != nil {
		tree = near.New(host)
	}
	fl := Flange{ID: "f1", Closed: closed, Length: line.Length(), Area: width * line.Length()}
	n := max(2, int(math.Ceil(line.Length()/opt.Step)))
	for i := range n + 1 {
		if closed && i == n {
			break
		}
		s := line.Length() * float64(i) / float64(n)
		st := LinePoint{S: s, Point: line.At(s), Left: width / 2, Right: width / 2, LeftSheet: -1, RightSheet: -1, LeftEdge: FreeEdge,
			RightEdge: FreeEdge}
		axis := normal
		if tree != nil {
			if hit, ok := tree.Closest(st.Point, math.Inf(1)); ok {
				st.Point = hit.Point
				if axis = host.Normal(int(hit.Tri)); axis.Dot(normal) < 0 {
					axis = axis.Mul(-1)
				}
			}
		}
		along := line.At(s + opt.Step/2).Sub(line.At(s - opt.Step/2))
		st.Along = along.Sub(axis.Mul(along.Dot(axis))).Normalize()
		st.Axis, st.Across = axis, axis.Cross(st.Along)
		fl.Line = append(fl.Line, st)
	}
	fl.measure(opt.GapLimit, nil, false)
	fl.Outline = [][]r3.Vector{band(fl.Line, closed)}
	return fl, nil
}

// band is the outline of a line's width: down its left side and back up its right.
func band(line []LinePoint, closed bool) []r3.Vector {
	var out []r3.Vector
	for _, s := range line {
		out = append(out, s.Point.Add(s.Across.Mul(s.Left)))
	}
	if closed {
		return out
	}
	for i := len(line) - 1; i >= 0; i-- {
		out = append(out, line[i].Point.Sub(line[i].Across.Mul(line[i].Right)))
	}
	return out
}

// meanNormal is the normal of the plane that encloses the most of the line's sweep about its first point;
// for a straight line any normal will do, and one nearest to z is taken.
func meanNormal(points []r3.Vector) r3.Vector {
	sum := r3.Vector{}
	for i := 1; i+1 < len(points); i++ {
		n := points[i].Sub(points[0]).Cross(points[i+1].Sub(points[0]))
		if n.Dot(sum) < 0 {
			n = n.Mul(-1)
		}
		sum = sum.Add(n)
	}
	length := points[len(points)-1].Sub(points[0]).Norm()
	if sum.Norm() > 1e-9*(1+length*length) {
		return upward(sum.Normalize())
	}
	along := points[len(points)-1].Sub(points[0]).Normalize()
	z := r3.Vector{Z: 1}
	if math.Abs(along.Z) > 0.9 {
		z = r3.Vector{X: 1}
	}
	return z.Sub(along.Mul(z.Dot(along))).Normalize()
}

func upward(n r3.Vector) r3.Vector {
	if n.Z < 0 || n.Z == 0 && (n.Y < 0 || n.Y == 0 && n.X < 0) {
		return n.Mul(-1)
	}
	return n
}
