package assign

import (
	"fmt"
	"math"
)

// Solve gives every row a column of its own, or, with more rows than columns, every column a row of its own, at the
// least total cost. An infinite cost forbids a pair; ErrForbidden when no full assignment is left. Of equally cheap
// assignments always the same one is taken. It takes time in proportion to rows x columns x the lesser of both.
func Solve(cost [][]float64) (column []int, total float64, err error) {
	n := len(cost)
	if n == 0 {
		return nil, 0, nil
	}
	m := len(cost[0])
	for i, row := range cost {
		if len(row) != m {
			return nil, 0, fmt.Errorf("assignment: row %d has %d columns, row 0 has %d", i, len(row), m)
		}
		for j, c := range row {
			if math.IsNaN(c) || math.IsInf(c, -1) {
				return nil, 0, fmt.Errorf("assignment: the cost of row %d, column %d is %v", i, j, c)
			}
		}
	}
	at := func(i, j int) float64 { return cost[i][j] }
	if n > m {
		rows, ok := solve(m, n, func(i, j int) float64 { return cost[j][i] })
		column = invert(rows, n)
		return column, sum(column, at), forbidden(ok)
	}
	column, ok := solve(n, m, at)
	return column, sum(column, at), forbidden(ok)
}

// ErrForbidden says that the pairs allowed do not make a full assignment.
var ErrForbidden = fmt.Errorf("assignment: too many pairs are forbidden")

func forbidden(ok bool) error {
	if ok {
		return nil
	}
	return ErrForbidden
}

func invert(rows []int, n int) []int {
	out := make([]int, n)
	for i := range out {
		out[i] = None
	}
	for j, i := range rows {
		if i != None {
			out[i] = j
		}
	}
	return out
}

func sum(column []int, cost func(i, j int) float64) float64 {
	total := 0.0
	for i, j := range column {
		if j != None {
			total += cost(i, j)
		}
	}
	return total
}
