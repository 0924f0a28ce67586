package shell

import (
	"regexp"
	"unicode"
)

// IDForm keeps ids usable as file names, in override keys and on maps.
var IDForm = regexp.MustCompile(`^[\p{L}\p{N}][\p{L}\p{M}\p{N}._+-]*$`)

const LongestID = 64

// Unprintable is what no name on a map may hold: control signs, and those that turn the direction of reading.
func Unprintable(r rune) bool {
	return unicode.IsControl(r) || r == unicode.ReplacementChar || unicode.Is(unicode.Bidi_Control, r) || r == '\u2028' || r == '\u2029'
}
