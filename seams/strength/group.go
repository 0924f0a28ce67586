package strength

import (
	"fmt"
	"math"

	"github.com/golang/geo/r3"
	"gonum.org/v1/gonum/mat"
)

// Place is one weld of a group.
type Place struct {
	At   r3.Vector // mm
	Axis r3.Vector // normal of the sheets; any length; it points to the sheet that the load pulls on
}

// Load is a force and a moment on a group of welds, acting at a point.
type Load struct {
	Force  r3.Vector // N
	Moment r3.Vector // N·mm
	At     r3.Vector // mm, where the force acts
}

// Force is what one weld of a group carries.
type Force struct {
	Vector  r3.Vector // N
	Shear   float64   // N across the axis
	Tension float64   // N along the axis, pulling the sheets apart; negative pushes them together
}

// GroupForces is the result for a group.
type GroupForces struct {
	Centroid r3.Vector
	Each     []Force   // in the order of the welds
	Free     r3.Vector // N·mm about the centroid that the group cannot resist: about the line of a straight row
}

// Group shares a force and a moment over a group of welds by elastic analysis about the centroid, in three dimensions:
// every weld is equally stiff in every direction and the sheets between them are rigid, so that the force on weld i is
// F/n + w x r_i, with r_i from the centroid and w from M = J w, J = sum(|r|² I - r r'). It is the textbook method for
// bolt groups under torsion (T r / sum r²) and out-of-plane bending (M y / sum y²) made one. Welds on one line resist
// no moment about that line: what is left over comes back in Free and is the caller's to judge.
func Group(welds []Place, load Load) (GroupForces, error) {
	if len(welds) == 0 {
		return GroupForces{}, fmt.Errorf("weld group: no welds")
	}
	for i, w := range welds {
		if !finite(w.At) || !finite(w.Axis) || w.Axis.Norm2() == 0 {
			return GroupForces{}, fmt.Errorf("weld group: weld %d: place and axis must be numbers, and the axis not zero", i+1)
		}
	}
	if !finite(load.Force) || !finite(load.Moment) || !finite(load.At) {
		return GroupForces{}, fmt.Errorf("weld group: force, moment and place of the load must be numbers")
	}
	g := GroupForces{Centroid: centroid(welds)}
	moment := load.Moment.Add(load.At.Sub(g.Centroid).Cross(load.Force))
	turn, free, err := rotation(welds, g.Centroid, moment)
	if err != nil {
		return GroupForces{}, err
	}
	g.Free = free
	share := load.Force.Mul(1 / float64(len(welds)))
	for _, w := range welds {
		g.Each = append(g.Each, resolve(share.Add(turn.Cross(w.At.Sub(g.Centroid))), w.Axis))
	}
	return g, nil
}

func finite(v r3.Vector) bool {
	s := v.X + v.Y + v.Z
	return !math.IsNaN(s) && !math.IsInf(s, 0)
}

func centroid(welds []Place) r3.Vector {
	var sum r3.Vector
	for _, w := range welds {
		sum = sum.Add(w.At)
	}
	return sum.Mul(1 / float64(len(welds)))
}

// onePlace is how near to each other welds are one weld to a moment, in mm: what they would carry of it is a digit of their places.
const onePlace = 0.01

// rotation solves J w = M within the directions that the group resists, and returns the moment left over.
func rotation(welds []Place, center, moment r3.Vector) (turn, free r3.Vector, err error) {
	j := mat.NewSymDense(3, nil)
	for _, w := range welds {
		r := w.At.Sub(center)
		c := [3]float64{r.X, r.Y, r.Z}
		for a := range 3 {
			for b := a; b < 3; b++ {
				v := -float64(c[a] * c[b])
				if a == b {
					v += r.Norm2()
				}
				j.SetSym(a, b, j.At(a, b)+v)
			}
		}
	}
	var eigen mat.EigenSym
	if !eigen.Factorize(j, true) {
		return turn, free, fmt.Errorf("weld group: its second moments could not be resolved; look at the places of the welds")
	}
	values := eigen.Values(nil) // rising
	var vectors mat.Dense
	eigen.VectorsTo(&vectors)
	free = moment
	for k, value := range values {
		axis := r3.Vector{X: vectors.At(0, k), Y: vectors.At(1, k), Z: vectors.At(2, k)}
		// About this axis all welds lie on one line, to a millionth of the group's size, or at one place.
		if value <= max(1e-12*values[2], onePlace*onePlace) {
			continue
		}
		about := axis.Dot(moment)
		turn = turn.Add(axis.Mul(about / value))
		free = free.Sub(axis.Mul(about))
	}
	return turn, free, nil
}

// resolve splits a force into shear and tension.
func resolve(f, axis r3.Vector) Force {
	n := axis.Mul(1 / axis.Norm())
	along := f.Dot(n)
	return Force{Vector: f, Shear: f.Sub(n.Mul(along)).Norm(), Tension: along}
}
