package words

import "seamwright/seams/shell"

// Mover is in a few words what an input of the cost is, by its id in the plan's spread: what moves the cost most is named so.
func Mover(id string) string { return shell.SpreadName(id) }
