// Package spelling finds the known word that a mistyped one was probably meant to be.
//
//	spelling.Nearest("thicknes_mm", []string{"id", "grade", "thickness_mm"}) // "thickness_mm"
//	spelling.Nearest("depth", []string{"arm_mm", "throat_depth_mm"})         // "throat_depth_mm"
package spelling

import (
	"cmp"
	"slices"
	"strings"
)

// longest is where words are cut before they are compared: the work grows with the product of both lengths.
const longest = 80

// Nearest returns the known word that is nearest to word, letter case left aside; the first of several equally
// near ones, or "" when nothing is known. Near is a small Distance to the whole known word, or, one further away,
// to some piece of it: people drop the beginning or the unit of a long name.
func Nearest(word string, known []string) string {
	best, least := "", []int(nil)
	folded := strings.ToLower(word)
	for _, k := range known {
		whole, piece := distances(folded, strings.ToLower(k))
		score := []int{min(whole, piece+1), whole}
		if least == nil || slices.CompareFunc(score, least, cmp.Compare[int]) < 0 {
			best, least = k, score
		}
	}
	return best
}

// Distance counts the letters to add, drop, change or swap with their neighbour to make b from a (optimal
// string alignment; Damerau 1964, from memory). Only the first 80 letters count.
func Distance(a, b string) int {
	whole, _ := distances(a, b)
	return whole
}

// distances is the distance from a to b, and to the nearest piece of b (Sellers 1980, from memory: the same
// table, but beginning and ending anywhere in b costs nothing).
func distances(a, b string) (whole, piece int) {
	x, y := letters(a), letters(b)
	free := make([]int, len(y)+1)
	paid := make([]int, len(y)+1)
	for j := range paid {
		paid[j] = j
	}
	return lastRow(x, y, paid)[len(y)], slices.Min(lastRow(x, y, free))
}

// lastRow fills the table of distances row by row from the given first one.
func lastRow(x, y []rune, row []int) []int {
	var before []int
	for i := 1; i <= len(x); i++ {
		next := make([]int, len(y)+1)
		next[0] = i
		for j := 1; j <= len(y); j++ {
			change := row[j-1]
			if x[i-1] != y[j-1] {
				change++
			}
			next[j] = min(row[j]+1, next[j-1]+1, change)
			if i > 1 && j > 1 && x[i-1] == y[j-2] && x[i-2] == y[j-1] {
				next[j] = min(next[j], before[j-2]+1)
			}
		}
		before, row = row, next
	}
	return row
}

func letters(s string) []rune {
	r := []rune(s[:min(len(s), 4*longest)])
	return r[:min(len(r), longest)]
}
