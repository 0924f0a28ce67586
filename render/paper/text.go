package paper

import (
	"strings"
	"unicode"
)

// CapHeight is the height of capitals as a share of the font size. 0.716 is the smaller one of the fonts
// named in FontFamily, so that capitals are never lower than asked for (the wider font has 0.729; measured
// from its outlines).
const CapHeight = 0.716

// FontFamily is what sheets ask for. No font is embedded: any sans-serif of usual width fits, because text
// is set out with the widths of the widest of these.
const FontFamily = "DejaVu Sans, Liberation Sans, Arial, Helvetica, sans-serif"

// TextHeight is the least height of capitals on paper, in mm: ISO 3098-1:2015 series 1.8, 2.5, 3.5, 5 (from
// memory); 1.8 is not used, because office printers and copiers blur it.
const TextHeight = 2.5

// AtJig is the height of capitals of what is read at a jig, in mm: the next of that series.
const AtJig = 3.5

// widths holds advance widths in thousandths of the font size: the greater of DejaVu Sans 2.37 (measured
// from the font file) and Helvetica's metrics (from memory; greater for @ C E F G J K P R S Y _ c and some signs).
var widths = [...]int16{
	318, 401, 460, 838, 637, 951, 780, 275, 391, 391, 500, 838, 318, 361, 318, 337, // space to /
	637, 637, 637, 637, 637, 637, 637, 637, 637, 637, 337, 337, 838, 838, 838, 531, // 0 to ?
	1015, 685, 687, 722, 771, 667, 611, 778, 752, 295, 500, 667, 558, 863, 749, 788, // @ to O
	667, 788, 722, 667, 611, 732, 685, 989, 686, 667, 686, 391, 337, 391, 838, 556, // P to _
	500, 613, 635, 556, 635, 616, 353, 635, 634, 278, 278, 580, 278, 975, 634, 612, // ` to o
	635, 635, 412, 521, 393, 634, 592, 818, 592, 592, 525, 637, 337, 637, 838, // p to ~
}

// latin holds U+00A0 to U+00FF in the same way.
var latin = [...]int16{
	318, 401, 637, 637, 637, 637, 337, 556, 500, 1000, 472, 612, 838, 361, 1000, 556,
	500, 838, 401, 401, 500, 637, 637, 350, 500, 401, 472, 612, 970, 970, 970, 611,
	685, 685, 685, 685, 685, 685, 1000, 722, 667, 667, 667, 667, 295, 295, 295, 295,
	775, 749, 788, 788, 788, 788, 788, 838, 788, 732, 732, 732, 732, 667, 667, 630,
	613, 613, 613, 613, 613, 613, 982, 556, 616, 616, 616, 616, 278, 278, 278, 278,
	612, 634, 612, 612, 612, 612, 612, 838, 612, 634, 634, 634, 634, 592, 635, 592,
}

// advance is one rune's width in thousandths of the font size.
func advance(r rune) int {
	switch {
	case r >= ' ' && r <= '~':
		return int(widths[r-' '])
	case r >= 0xA0 && r <= 0xFF:
		return int(latin[r-0xA0])
	case r == '–':
		return 556
	case r >= 0x100 && r <= 0x24F: // Latin letters with marks: the widest is 1070
		return 1070
	case r == '‰':
		return 1342
	case r >= 0x370 && r <= 0x5FF: // Greek and Cyrillic
		return 1070
	case unicode.Is(unicode.Mn, r):
		return 0
	}
	return 1150 // signs, and letters that take a full square, with room
}

// Width is how far a line of text reaches at most, in mm; height is that of capitals.
func Width(text string, height float64) float64 {
	sum := 0
	for _, r := range text {
		sum += advance(r)
	}
	return float64(sum) / 1000 * height / CapHeight
}

// How far letters reach beyond the line they stand on and the height of capitals, as shares of that height
// (DejaVu Sans, measured: g reaches 0.236 of the font size below the line, d 0.76 above it, a capital with
// an accent 0.93; round digits overshoot by 0.015).
const (
	tail     = 0.33
	overshot = 0.03
	rise     = 1.07
	accented = 1.31
)

// extent is how far a text reaches above and below its line, as shares of the height of capitals.
func extent(text string) (up, down float64) {
	up, down = rise, overshot
	for _, r := range text {
		switch {
		case r >= '0' && r <= '9', r >= 'A' && r <= 'Z' && r != 'Q' && r != 'J', strings.ContainsRune(" .:+-–±·→abcdefhiklmnorstuvwxz'\"", r):
		case r < 0x80:
			down = tail
		default:
			up, down = accented, tail
		}
	}
	return up, down
}

// TextBox is the paper that a line of text covers.
func TextBox(at Point, height float64, anchor Anchor, text string) Box {
	w := Width(text, height)
	x := at.X
	switch anchor {
	case Middle:
		x -= w / 2
	case End:
		x -= w
	}
	up, down := extent(text)
	return Box{x, at.Y - up*height, x + w, at.Y + down*height}
}

// Fit shortens text until it fits into width, with an ellipsis in place of what is left out.
func Fit(text string, height, width float64) string {
	if Width(text, height) <= width {
		return text
	}
	runes := []rune(text)
	for n := len(runes) - 1; n > 0; n-- {
		if s := strings.TrimRight(string(runes[:n]), " ") + "…"; Width(s, height) <= width {
			return s
		}
	}
	return ""
}

// Shrink is the text and the height of its letters: the height asked for where it fits into width, else TextHeight, at which it is
// shortened as by Fit where it must be.
func Shrink(text string, height, width float64) (string, float64) {
	if Width(text, height) > width {
		height = min(height, TextHeight)
	}
	return Fit(text, height, width), height
}

// Wrap breaks text into lines no wider than width: at spaces and after commas, after hyphens and slashes of a word that takes
// half a line or more, and anywhere within one that is too long for a line.
func Wrap(text string, height, width float64) []string {
	var lines []string
	line := ""
	for _, word := range pieces(text, height, width/2) {
		if Width(strings.TrimRight(line+word, " "), height) <= width {
			line += word
			continue
		}
		if strings.TrimSpace(line) != "" {
			lines = append(lines, strings.TrimRight(line, " "))
		}
		line = word
		for Width(strings.TrimRight(line, " "), height) > width {
			head, tail := cut(line, height, width)
			lines = append(lines, head)
			line = tail
		}
	}
	if strings.TrimSpace(line) != "" || len(lines) == 0 {
		lines = append(lines, strings.TrimRight(line, " "))
	}
	return lines
}

// pieces are what a line may be broken between: words with the space or mark that follows them. Words narrower than long stay
// whole but for commas.
func pieces(text string, height, long float64) []string {
	var out []string
	for _, word := range strings.SplitAfter(strings.Join(strings.Fields(text), " "), " ") {
		marks := ","
		if Width(word, height) >= long {
			marks = ",-/"
		}
		start := 0
		for i, r := range word {
			if i > start && strings.ContainsRune(marks, r) {
				out = append(out, word[start:i+1])
				start = i + 1
			}
		}
		out = append(out, word[start:])
	}
	return out
}

// cut takes as many runes as fit, but at least one.
func cut(word string, height, width float64) (head, tail string) {
	end := len(word)
	for i := range word {
		if i > 0 && Width(word[:i], height) > width {
			break
		}
		if i > 0 {
			end = i
		}
	}
	if end == len(word) { // a single rune that is too wide
		_, size := firstRune(word)
		end = size
	}
	return word[:end], word[end:]
}

func firstRune(s string) (rune, int) {
	for i, r := range s {
		if i > 0 {
			return r, i
		}
	}
	return 0, len(s)
}
