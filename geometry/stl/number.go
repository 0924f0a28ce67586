package stl

import (
	"bytes"
	"encoding/binary"
	"math"
	"math/bits"
	"strconv"
)

// number reads a decimal number at the front of text: sign, digits with at most one point, exponent. It gives the
// float32 nearest to it, as strconv.ParseFloat does, and how many bytes it has; none where it is left to slowNumber:
// something else stands there, or the nearest float32 takes more than 64 bits to tell. What follows it
// is not looked at.
func number(text []byte) (x float32, length int) {
	i := 0
	negative := false
	if len(text) > 0 && (text[0] == '-' || text[0] == '+') {
		negative = text[0] == '-'
		i++
	}
	mantissa, from := uint64(0), i
	for ; i < len(text) && text[i]-'0' < 10; i++ { // few, as a rule
		mantissa = mantissa*10 + uint64(text[i]-'0')
	}
	count, exponent := i-from, 0
	if i < len(text) && text[i] == '.' {
		var end int
		mantissa, end = digitsAt(text, i+1, mantissa)
		exponent = i + 1 - end
		count += end - i - 1
		i = end
	}
	if count == 0 || count > 19 { // 19 digits are below 2^64
		return 0, 0
	}
	if i < len(text) && text[i]|0x20 == 'e' {
		power, end := exponentAt(text, i+1)
		if end == 0 {
			return 0, 0
		}
		exponent += power
		i = end
	}
	x, ok := nearest(mantissa, exponent)
	if !ok {
		return 0, 0
	}
	if negative {
		x = -x
	}
	return x, i
}

// digitsAt reads decimal digits from i on behind those already in mantissa, eight at a time while there are eight.
func digitsAt(text []byte, i int, mantissa uint64) (uint64, int) {
	for i+8 <= len(text) {
		word := binary.LittleEndian.Uint64(text[i:])
		n := leadingDigits(word)
		if n == 8 {
			mantissa = mantissa*100_000_000 + eightDigits(word)
			i += 8
			continue
		}
		// Zeros in front take the place of the digits that are missing.
		if n > 0 {
			mantissa = mantissa*tenTo[n] + eightDigits(word<<(8*(8-n))|zeroes>>(8*n))
		}
		return mantissa, i + n
	}
	for ; i < len(text) && text[i]-'0' < 10; i++ {
		mantissa = mantissa*10 + uint64(text[i]-'0')
	}
	return mantissa, i
}

const zeroes = 0x3030303030303030

var tenTo = [9]uint64{1, 10, 100, 1000, 10_000, 100_000, 1_000_000, 10_000_000, 100_000_000}

// leadingDigits is how many of eight characters, the first in the lowest byte, are digits before one that is not.
func leadingDigits(word uint64) int {
	// A digit's high half is 3, also after 6 is added. A carry comes only out of a byte that is no digit.
	odd := (word&0xF0F0F0F0F0F0F0F0 | (word+0x0606060606060606)&0xF0F0F0F0F0F0F0F0>>4) ^ 0x3333333333333333
	return bits.TrailingZeros64(odd) >> 3
}

// eightDigits is the number that eight digits write, the first in the lowest byte: pairs, fours, then all are put together
// in one word.
func eightDigits(word uint64) uint64 {
	word -= zeroes
	word = word*10 + word>>8
	return ((word&0x000000FF000000FF)*(100+1_000_000<<32) + (word>>16&0x000000FF000000FF)*(1+10_000<<32)) >> 32
}

// exponentAt reads sign and digits from i on; end is 0 where there are none or too many. Two digits are the rule.
func exponentAt(text []byte, i int) (power, end int) {
	if i+3 < len(text) && text[i+1]-'0' < 10 && text[i+2]-'0' < 10 && text[i+3]-'0' >= 10 {
		power = 10*int(text[i+1]-'0') + int(text[i+2]-'0')
		switch text[i] {
		case '+':
			return power, i + 3
		case '-':
			return -power, i + 3
		}
		power = 0
	}
	negative := false
	if i < len(text) && (text[i] == '-' || text[i] == '+') {
		negative = text[i] == '-'
		i++
	}
	from := i
	for ; i < len(text) && text[i]-'0' < 10; i++ {
		if i-from == 4 {
			return 0, 0
		}
		power = power*10 + int(text[i]-'0')
	}
	if i == from {
		return 0, 0
	}
	if negative {
		power = -power
	}
	return power, i
}

// nearest is the float32 nearest to mantissa · 10^exponent where one correctly rounded operation tells it.
func nearest(mantissa uint64, exponent int) (float32, bool) {
	if mantissa == 0 {
		return 0, true
	}
	if mantissa >= 1<<53 || exponent < -22 || exponent > 22 {
		return 0, false
	}
	// Both factors are exact, so the product or quotient is off by half its last bit at most
	// (W. D. Clinger, How to read floating point numbers accurately, PLDI 1990; from memory).
	x := float64(mantissa)
	if exponent < 0 {
		x /= powers[-exponent]
	} else {
		x *= powers[exponent]
	}
	// Rounded once more, to 24 bits, it is still the nearest unless it lies beside the middle between two float32.
	const below = 1<<29 - 1 // bits that a float32 does not have
	if rest := math.Float64bits(x) & below; rest-(1<<28-1) <= 2 {
		return 0, false
	}
	if x < 0x1p-126 || x > 0x1p127 {
		return 0, false // fewer bits than usual, or none
	}
	return float32(x), true
}

var powers = [23]float64{
	1, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11,
	1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20, 1e21, 1e22,
}

// slowNumber reads a whole word as number does, whatever its length. It is no number (decimal false) or too
// large for a float32 (ok false).
func slowNumber(word []byte) (x float32, decimal, ok bool) {
	if !isNumber(word) {
		return 0, false, false
	}
	f, err := strconv.ParseFloat(string(word), 32)
	return float32(f), true, err == nil
}

// isNumber reports whether the word is a decimal number: sign, digits with at most one point, exponent.
func isNumber(word []byte) bool {
	word = unsigned(word)
	mantissa, exponent := word, []byte(nil)
	if at := bytes.IndexAny(word, "eE"); at >= 0 {
		mantissa, exponent = word[:at], unsigned(word[at+1:])
		if len(exponent) == 0 {
			return false
		}
	}
	whole, part, _ := bytes.Cut(mantissa, []byte("."))
	return len(whole)+len(part) > 0 && digits(whole) && digits(part) && digits(exponent)
}

func unsigned(word []byte) []byte {
	if len(word) > 0 && (word[0] == '+' || word[0] == '-') {
		return word[1:]
	}
	return word
}

func digits(word []byte) bool {
	for _, c := range word {
		if c < '0' || c > '9' {
			return false
		}
	}
	return true
}
