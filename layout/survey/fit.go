package survey

import (
	"fmt"
	"math"
	"slices"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/mat"
)

// Pose moves points: turned about the origin, then moved.
type Pose struct {
	Turn [3][3]float64 // rotation matrix, rows
	Move r3.Vector     // mm
}

// Identity leaves points where they are.
func Identity() Pose { return Pose{Turn: [3][3]float64{{1, 0, 0}, {0, 1, 0}, {0, 0, 1}}} }

// Apply moves one point.
func (p Pose) Apply(v r3.Vector) r3.Vector { return p.turn(v).Add(p.Move) }

func (p Pose) turn(v r3.Vector) r3.Vector {
	row := func(r [3]float64) float64 { return float64(r[0]*v.X) + float64(r[1]*v.Y) + float64(r[2]*v.Z) }
	return r3.Vector{X: row(p.Turn[0]), Y: row(p.Turn[1]), Z: row(p.Turn[2])}
}

// Angle of the turn in degrees, 0 to 180.
func (p Pose) Angle() float64 {
	trace := p.Turn[0][0] + p.Turn[1][1] + p.Turn[2][2]
	return math.Acos(math.Max(-1, math.Min(1, (trace-1)/2))) * 180 / math.Pi
}

// Kabsch is the rigid motion (no mirror) that brings the points of from onto those of to with the least sum of squared
// distances (Kabsch 1976; the sign of the determinant after Umeyama 1991: memory). It needs at least three pairs that do
// not lie on one line; less leaves the turn open, and is an error.
func Kabsch(from, to []r3.Vector) (Pose, error) {
	if len(from) != len(to) || len(from) < 3 {
		return Pose{}, fmt.Errorf("rigid fit: %d points against %d: three pairs or more are needed", len(from), len(to))
	}
	a, b := mean(from), mean(to)
	cross := mat.NewDense(3, 3, nil)
	for i := range from {
		p, q := from[i].Sub(a), to[i].Sub(b)
		for r, x := range []float64{p.X, p.Y, p.Z} {
			for c, y := range []float64{q.X, q.Y, q.Z} {
				cross.Set(r, c, cross.At(r, c)+float64(x*y))
			}
		}
	}
	var svd mat.SVD
	if !svd.Factorize(cross, mat.SVDFull) {
		return Pose{}, fmt.Errorf("rigid fit: the points cannot be resolved: are they numbers?")
	}
	values := svd.Values(nil)
	// On one line the second singular value vanishes, and any turn about the line fits alike.
	if !(values[1] > 1e-9*values[0]) {
		return Pose{}, fmt.Errorf("rigid fit: the points lie on one line, so that the turn about it is open")
	}
	var u, v mat.Dense
	svd.UTo(&u)
	svd.VTo(&v)
	if mat.Det(&u)*mat.Det(&v) < 0 {
		for r := range 3 {
			v.Set(r, 2, -v.At(r, 2))
		}
	}
	var turn mat.Dense
	turn.Mul(&v, u.T())
	p := Pose{}
	for r := range 3 {
		for c := range 3 {
			p.Turn[r][c] = turn.At(r, c)
		}
	}
	p.Move = b.Sub(p.turn(a))
	return p, nil
}

func mean(points []r3.Vector) r3.Vector {
	var sum r3.Vector
	for _, p := range points {
		sum = sum.Add(p)
	}
	return sum.Mul(1 / float64(len(points)))
}

// robust is Kabsch without the pairs that do not belong: those further apart than three times the scatter of all, by the
// median (1.4826 times the median of the distances is the scatter where they are normal: memory), are left out and the
// fit is made again, until the same pairs stay. Pairs nearer than floor always stay. It returns which pairs were used.
func robust(from, to []r3.Vector, floor float64) (Pose, []bool, error) {
	used := make([]bool, len(from))
	for i := range used {
		used[i] = true
	}
	var pose Pose
	for range 30 {
		a, b := chosen(from, used), chosen(to, used)
		next, err := Kabsch(a, b)
		if err != nil {
			return pose, used, err
		}
		pose = next
		distances := make([]float64, len(from))
		for i := range from {
			distances[i] = pose.Apply(from[i]).Distance(to[i])
		}
		limit := math.Max(floor, 3*1.4826*median(distances))
		same := true
		for i, d := range distances {
			if keep := d <= limit; keep != used[i] {
				used[i], same = keep, false
			}
		}
		if same {
			break
		}
	}
	return pose, used, nil
}

func chosen(points []r3.Vector, used []bool) []r3.Vector {
	var out []r3.Vector
	for i, p := range points {
		if used[i] {
			out = append(out, p)
		}
	}
	return out
}

func median(v []float64) float64 {
	s := slices.Clone(v)
	slices.Sort(s)
	if n := len(s); n%2 == 0 {
		return (s[n/2-1] + s[n/2]) / 2
	}
	return s[len(s)/2]
}
