package outline

import (
	"math"

	"github.com/golang/geo/r3"
)

// grid finds points near a place. Points are put into cubes of space several times as wide as the distance that is
// asked for, so that a search looks into one cube as a rule; cubes share buckets by a hash of their numbers, which
// keeps a million points in two flat lists.
type grid struct {
	size  float64 // of a cube
	at    []r3.Vector
	group []int32 // a search finds points of one group alone
	head  []int32 // the last point put into each bucket, -1 for none
	next  []int32 // the point put into the same bucket before
}

// cubesPerReach is the width of a cube in distances asked for.
const cubesPerReach = 8

// newGrid is a grid for about count points and searches up to reach.
func newGrid(count int, reach float64) *grid {
	buckets := 16
	for buckets < count {
		buckets *= 2
	}
	g := &grid{size: cubesPerReach * reach, head: make([]int32, buckets), at: make([]r3.Vector, 0, count)}
	for i := range g.head {
		g.head[i] = -1
	}
	return g
}

// cube is a cube of space by its whole numbers, which a float64 holds far out too.
type cube [3]float64

func (g *grid) cube(p r3.Vector) cube {
	return cube{math.Floor(p.X / g.size), math.Floor(p.Y / g.size), math.Floor(p.Z / g.size)}
}

// bucket mixes the cube's numbers by odd constants (any odd ones that spread the bits will do).
func (g *grid) bucket(c cube, group int) int {
	h := uint64(int64(c[0]))*0x9e3779b97f4a7c15 ^ uint64(int64(c[1]))*0xc2b2ae3d27d4eb4f ^ uint64(int64(c[2]))*0x165667b19e3779f9
	h ^= uint64(group) * 0xd6e8feb86659fd93
	h ^= h >> 32
	return int(h & uint64(len(g.head)-1))
}

// add puts a point in and returns its number.
func (g *grid) add(p r3.Vector, group int) int {
	n, b := len(g.at), g.bucket(g.cube(p), group)
	g.at, g.group, g.next = append(g.at, p), append(g.group, int32(group)), append(g.next, g.head[b])
	g.head[b] = int32(n)
	return n
}

// near visits the points of a group within reach of p until visit returns false.
func (g *grid) near(p r3.Vector, group int, reach float64, visit func(n int) bool) {
	r := r3.Vector{X: reach, Y: reach, Z: reach}
	low, high := g.cube(p.Sub(r)), g.cube(p.Add(r))
	for x := low[0]; x <= high[0]; x++ {
		for y := low[1]; y <= high[1]; y++ {
			for z := low[2]; z <= high[2]; z++ {
				c := cube{x, y, z}
				for n := g.head[g.bucket(c, group)]; n >= 0; n = g.next[n] {
					if int(g.group[n]) == group && within(g.at[n], p, reach) && g.cube(g.at[n]) == c && !visit(int(n)) {
						return
					}
				}
			}
		}
	}
}

func within(a, b r3.Vector, d float64) bool { return a.Sub(b).Norm2() <= d*d }
