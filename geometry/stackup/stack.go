package stackup

import (
	"slices"

	"seamwright/geometry/region"
)

// MaxStack is the most sheets of a stack.
const MaxStack = region.MostLayers

// Stack names the sheets that lie on each other at a place, in order; the order that starts with the
// lower index is used, so that both sides of a sheet give the same stack. The zero stack is none.
type Stack struct {
	N int8
	S [MaxStack]int16
}

// Sheets are the sheets in order.
func (s Stack) Sheets() []int {
	out := make([]int, s.N)
	for i := range out {
		out[i] = int(s.S[i])
	}
	return out
}

// Has says whether a sheet is in it.
func (s Stack) Has(sheet int) bool { return slices.Contains(s.S[:s.N], int16(sheet)) }
