package layout

import (
	"math"
	"strconv"
)

// Cents rounds an amount of money to whole cents, halves up. It is the one rule by which money is shown: figures are kept
// to 0.0001 of the currency, a shell's amount is rounded from that once, and a batch's is the shell's times the batch.
func Cents(v float64) float64 {
	return Whole(Whole(v*1e4)/100)/100 + 0 // + 0 turns minus zero into zero
}

// Whole is the nearest whole number, halves up; what is a half but for a ten-millionth, as floating point leaves it, is a half, so that
// a spreadsheet comes to the same.
func Whole(v float64) float64 { return math.Round(v + 1e-7) }

// Money writes an amount in whole cents.
func Money(v float64) string { return strconv.FormatFloat(Cents(v), 'f', 2, 64) }

// Times is the amount of so many of what is priced in whole cents.
func Times(each float64, n int) float64 { return Cents(Cents(each) * float64(n)) }
