// Package spelling finds the known word that a mistyped one was probably meant to be.
//
//	spelling.Nearest("thicknes_mm", []string{"id", "grade", "thickness_mm"}) // "thickness_mm"
package spelling

import "strings"

// longest is where words are cut before they are compared: the work grows with the product of both lengths.
const longest = 80

// Nearest returns the known word with the least Distance to word, letter case left aside; the first of several
// equally near ones. It returns "" when nothing is known.
func Nearest(word string, known []string) string {
	best, least := "", -1
	folded := strings.ToLower(word)
	for _, k := range known {
		if d := Distance(folded, strings.ToLower(k)); least < 0 || d < least {
			best, least = k, d
		}
	}
	return best
}

// Distance counts the letters to add, drop, change or swap with their neighbour to make b from a (optimal
// string alignment; Damerau 1964, from memory). Only the first 80 letters count.
func Distance(a, b string) int {
	x, y := letters(a), letters(b)
	before, row := make([]int, len(y)+1), make([]int, len(y)+1)
	for j := range row {
		row[j] = j
	}
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
	return row[len(y)]
}

func letters(s string) []rune {
	r := []rune(s)
	return r[:min(len(r), longest)]
}
