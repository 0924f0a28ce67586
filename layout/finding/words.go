package finding

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// Brief prints a number with as many digits as a reader needs.
func Brief(v float64) string {
	if math.Abs(v) >= 100 {
		return strconv.FormatFloat(math.Round(v), 'f', -1, 64)
	}
	return strconv.FormatFloat(math.Round(v*100)/100, 'f', -1, 64)
}

// Tenths prints a length in mm.
func Tenths(v float64) string { return strconv.FormatFloat(v, 'f', 1, 64) }

// Some names a few of several ids.
func Some(ids []string) string {
	const most = 4
	if len(ids) > most {
		return fmt.Sprintf("%s and %d more", strings.Join(ids[:most], ", "), len(ids)-most)
	}
	return strings.Join(ids, ", ")
}
