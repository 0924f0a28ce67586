// Package assign pairs things of two lists so that the total cost is least: the assignment problem, solved exactly by
// shortest augmenting paths with potentials (Kuhn 1955, Munkres 1957, Jonker and Volgenant 1987: memory).
//
//	pair := assign.Match(len(old), len(new), 15, func(i, j int) float64 { return old[i].Distance(new[j]) })
package assign

import (
	"math"
)

// None marks what has no partner.
const None = -1

// solve assigns n rows to m >= n columns. One row after the other is put in along the path of least reduced cost.
func solve(n, m int, cost func(i, j int) float64) (column []int, ok bool) {
	s := search{n: n, m: m, cost: cost, u: make([]float64, n), v: make([]float64, m), row: make([]int, m)}
	for j := range s.row {
		s.row[j] = None
	}
	ok = true
	for i := range n {
		ok = s.insert(i) && ok
	}
	column = make([]int, n)
	for i := range column {
		column[i] = None
	}
	for j, i := range s.row {
		if i != None {
			column[i] = j
		}
	}
	return column, ok
}

// search is the state: potentials of rows and columns, and the row of each column.
type search struct {
	n, m int
	cost func(i, j int) float64
	u, v []float64
	row  []int
}

// insert puts row i in by a shortest augmenting path; false when no column can be reached.
func (s *search) insert(i int) bool {
	least := make([]float64, s.m) // reduced cost of the way to each column
	from := make([]int, s.m)      // column before it on the way; None: row i itself
	done := make([]bool, s.m)
	for j := range least {
		least[j], from[j] = math.Inf(1), None
	}
	at, last, far := i, None, 0.0
	var seen []int
	for {
		next, best := None, math.Inf(1)
		for j := range s.m {
			if done[j] {
				continue
			}
			if d := far + s.cost(at, j) - s.u[at] - s.v[j]; d < least[j] {
				least[j], from[j] = d, last
			}
			if least[j] < best {
				next, best = j, least[j]
			}
		}
		if next == None {
			return false
		}
		far, last = best, next
		done[next] = true
		if s.row[next] == None {
			break
		}
		seen = append(seen, next)
		at = s.row[next]
	}
	s.u[i] += far
	for _, j := range seen {
		s.u[s.row[j]] += far - least[j]
		s.v[j] -= far - least[j]
	}
	for last != None {
		before := from[last]
		if before == None {
			s.row[last] = i
		} else {
			s.row[last] = s.row[before]
		}
		last = before
	}
	return true
}

// Match pairs n things with m others that are no further apart than reach. Leaving a pair apart costs as much as a pair at
// the reach, and distances count squared, so that along a row each thing keeps its place rather than all being shifted.
// It returns for each of the n its partner or None. Distances must be numbers of zero or above.
func Match(n, m int, reach float64, distance func(i, j int) float64) []int {
	alone := reach * reach
	out, ok := solve(n, m+n, func(i, j int) float64 {
		switch {
		case j >= m:
			if j-m == i {
				return alone
			}
			return math.Inf(1)
		}
		if d := distance(i, j); d <= reach {
			return d * d
		}
		return math.Inf(1)
	})
	for i, j := range out {
		if !ok || j >= m {
			out[i] = None
		}
	}
	return out
}
