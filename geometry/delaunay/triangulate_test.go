package delaunay

import (
	"errors"
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"github.com/golang/geo/r2"
)

// whole says what is wrong with a triangulation of n points, or nothing: all faces turn left, neighbours name each other across the
// same edge, the face at a point has it, there are as many faces as Euler's formula wants, and no free edge could be flipped for a
// better one.
func whole(t *triangulation, n int) error {
	if want := 2*n + 1; len(t.faces) != want { // of n points in a triangle
		return fmt.Errorf("%d faces of %d points, want %d", len(t.faces), n, want)
	}
	for f, of := range t.faces {
		c := of.corner
		if !(t.orient(c[0], c[1], c[2]) > 0) {
			return fmt.Errorf("face %d of %v does not turn left", f, c)
		}
		for k, g := range of.across {
			a, b := c[(k+1)%3], c[(k+2)%3]
			if g < 0 {
				if int(a) < n || int(b) < n {
					return fmt.Errorf("face %d of %v ends at %d %d, which is not the rim", f, c, a, b)
				}
				continue
			}
			j := slices.Index(t.faces[g].across[:], int32(f))
			if j < 0 || t.faces[g].corner[(j+1)%3] != b || t.faces[g].corner[(j+2)%3] != a {
				return fmt.Errorf("face %d of %v has face %d of %v across from corner %d, which does not know of it", f, c, g, t.faces[g].corner, k)
			}
			if t.shouldFlip(int32(f), k) {
				return fmt.Errorf("the edge %d %d is not Delaunay", a, b)
			}
		}
	}
	for p, f := range t.at {
		if !slices.Contains(t.faces[f].corner[:], int32(p)) {
			return fmt.Errorf("face %d at point %d does not have it", f, p)
		}
	}
	return nil
}

// lattice draws points with whole coordinates, so that many lie on one line or one circle, each once.
func lattice(rng *rand.Rand, n, wide, high int) []r2.Point {
	var points []r2.Point
	for len(points) < n {
		if p := (r2.Point{X: float64(rng.IntN(wide)), Y: float64(rng.IntN(high))}); !slices.Contains(points, p) {
			points = append(points, p)
		}
	}
	return points
}

// Whatever the points, what is made of them is a triangulation, with the edges that must be in it and without.
func TestTriangulationHangsTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(31, 7))
	fixed, refused := 0, 0
	for try := range 400 {
		n := 3 + rng.IntN(30)
		points := lattice(rng, n, 4+rng.IntN(9), 9)
		tri := triangulate(points, 1e-6)
		if err := whole(tri, n); err != nil {
			t.Fatalf("try %d, %v: %v", try, points, err)
		}
		for range n / 3 {
			a, b := int32(rng.IntN(n)), int32(rng.IntN(n))
			if a == b {
				continue
			}
			var cross *Crossing
			err := tri.fix(a, b, 0)
			if errors.As(err, &cross) {
				refused++
				if !onFixed(tri, cross.Place) || DistanceToLine(cross.Place, points[a], points[b]) > 1e-9 {
					t.Fatalf("try %d: the line %v %v is said to cross at %v", try, points[a], points[b], cross.Place)
				}
				break // what was begun is left as it is
			}
			if err != nil {
				t.Fatalf("try %d: %v to %v: %v", try, points[a], points[b], err)
			}
			fixed++
		}
		tri.refine()
		if err := whole(tri, n); err != nil {
			t.Fatalf("try %d, with edges fixed: %v", try, err)
		}
		if err := hasFixed(tri); err != nil {
			t.Fatalf("try %d: %v", try, err)
		}
	}
	if fixed < 500 || refused < 50 {
		t.Errorf("%d edges fixed, %d refused: too few to tell", fixed, refused)
	}
}

// onFixed reports whether a place lies on a fixed edge.
func onFixed(t *triangulation, at r2.Point) bool {
	for e := range t.fixed {
		if DistanceToLine(at, t.points[e[0]], t.points[e[1]]) < 1e-9 {
			return true
		}
	}
	return false
}

// hasFixed says which fixed edge is none of a face, or runs over a point.
func hasFixed(t *triangulation) error {
	for e := range t.fixed {
		if _, _, err := t.faceAt(e); err != nil {
			return fmt.Errorf("the edge %v is not there: %w", e, err)
		}
		for p := range int32(len(t.points)) {
			if t.isOn(p, e[0], e[1]) {
				return fmt.Errorf("the edge %v runs over point %d", e, p)
			}
		}
	}
	return nil
}

// The walk to a point's face comes to the same place as looking at every face.
func TestLocate(t *testing.T) {
	rng := rand.New(rand.NewPCG(5, 5))
	points := lattice(rng, 60, 20, 20)
	tri := triangulate(points[:40], 1e-6)
	at := len(tri.points)
	tri.points = append(tri.points, points[40:]...)
	for p := at; p < len(tri.points); p++ {
		for _, from := range []int32{0, int32(len(tri.faces) / 2), int32(len(tri.faces) - 1)} {
			for _, f := range []int32{tri.locate(int32(p), from), tri.search(int32(p))} {
				c := tri.faces[f].corner
				for k := range 3 {
					if tri.orient(c[k], c[(k+1)%3], int32(p)) < 0 {
						t.Fatalf("point %v is not in face %v", tri.points[p], c)
					}
				}
			}
		}
	}
}
