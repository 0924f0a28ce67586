package intake

import "strings"

// Separator is the sign that parts the cells of a text of rows: a comma, or the semicolon or tabulator of which the first line
// that is no remark (#) has more.
func Separator(text string) rune {
	for line := range strings.Lines(text) {
		line = strings.TrimSpace(line)
		if line == "" || line[0] == '#' {
			continue
		}
		best := ','
		for _, r := range []rune{';', '\t'} {
			if strings.Count(line, string(r)) > strings.Count(line, string(best)) {
				best = r
			}
		}
		return best
	}
	return ','
}
