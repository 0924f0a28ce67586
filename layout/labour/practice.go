package labour

import (
	"fmt"

	"seamwright/layout"
	"seamwright/seams/shell"
)

// Practice is how hand work gets shorter from shell to shell.
type Practice = layout.Practice

// PracticeOf is that of a shell file.
func PracticeOf(sh *shell.Shell) Practice {
	a := sh.Allowances
	return Practice{Rate: a.Learning, Before: a.ShellsBefore, Plateau: a.Plateau}
}

// wordsOf says where the factor for a batch comes from.
func wordsOf(p Practice, batch int) string {
	if p.None() {
		return "shell file: allowances.learning asks for none"
	}
	text := fmt.Sprintf("batch %d ^ log2(%v)", batch, p.Rate)
	if p.Before > 0 {
		text = fmt.Sprintf("shells %d to %d at log2(%v)", p.Before+1, p.Before+batch, p.Rate)
	}
	text += ": cumulative average (Wright 1936) on hand work; element times are those of the very first shell"
	if p.Plateau > 0 {
		text += fmt.Sprintf("; no shorter from shell %d on", p.Plateau)
	}
	return text
}
