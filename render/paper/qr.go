package paper

import (
	"fmt"

	"github.com/boombuler/barcode/qr"
)

// QR is a QR code (ISO/IEC 18004) of a text, which can be drawn as lines are: no picture is embedded.
type QR struct {
	dark [][]bool // by row, then column
}

// quiet is how many modules of white a reader wants round the code (ISO/IEC 18004, from memory).
const quiet = 4

// NewQR makes the code of a text, such that 15 % of it may be dirty (level M). Some 2,300 bytes fit.
func NewQR(text string) (QR, error) {
	code, err := qr.Encode(text, qr.M, qr.Auto)
	if err != nil {
		return QR{}, fmt.Errorf("QR code of %d bytes: %w", len(text), err)
	}
	n := code.Bounds().Dx()
	q := QR{dark: make([][]bool, n)}
	for y := range n {
		q.dark[y] = make([]bool, n)
		for x := range n {
			r, _, _, _ := code.At(x, y).RGBA()
			q.dark[y][x] = r < 0x8000
		}
	}
	return q, nil
}

// Modules is how many modules wide and high the code is, with the white round it.
func (q QR) Modules() int {
	if len(q.dark) == 0 {
		return 0
	}
	return len(q.dark) + 2*quiet
}

// QR draws a code with its upper left corner, white included, at a place; module is the side of its squares in mm:
// 0.5 mm and more can be read from an office print at arm's length (common practice, no source). The squares are
// joined into areas, so that no seams show between them.
func (l *Layer) QR(at Point, module float64, q QR) {
	place := func(c corner) Point {
		return Point{at.X + float64(float64(c.x+quiet)*module), at.Y + float64(float64(c.y+quiet)*module)}
	}
	var loops [][]Point
	for _, loop := range q.outlines() {
		points := make([]Point, len(loop))
		for i, c := range loop {
			points[i] = place(c)
		}
		loops = append(loops, points)
	}
	l.Region(loops)
}

// corner is a corner of modules.
type corner struct{ x, y int }

// at reports whether a module is dark; there is none outside.
func (q QR) at(x, y int) bool {
	return x >= 0 && y >= 0 && y < len(q.dark) && x < len(q.dark) && q.dark[y][x]
}

// outlines are the borders between dark and light, each a closed loop of corners where it turns.
func (q QR) outlines() [][]corner {
	next := map[corner][]corner{} // dark lies to the right of every step
	var starts []corner
	step := func(a, b corner) {
		next[a] = append(next[a], b)
		starts = append(starts, a)
	}
	for y := range q.dark {
		for x := range q.dark {
			if !q.at(x, y) {
				continue
			}
			if !q.at(x, y-1) {
				step(corner{x, y}, corner{x + 1, y})
			}
			if !q.at(x+1, y) {
				step(corner{x + 1, y}, corner{x + 1, y + 1})
			}
			if !q.at(x, y+1) {
				step(corner{x + 1, y + 1}, corner{x, y + 1})
			}
			if !q.at(x-1, y) {
				step(corner{x, y + 1}, corner{x, y})
			}
		}
	}
	var out [][]corner
	for _, from := range starts {
		var loop []corner
		for at := from; len(next[at]) > 0; {
			to := next[at][0]
			next[at] = next[at][1:]
			loop = append(loop, at)
			at = to
		}
		if len(loop) > 0 {
			out = append(out, turnsOf(loop))
		}
	}
	return out
}

// turnsOf leaves out the corners at which a loop goes straight on.
func turnsOf(loop []corner) []corner {
	var out []corner
	for i, c := range loop {
		before, after := loop[(i+len(loop)-1)%len(loop)], loop[(i+1)%len(loop)]
		if before.x == c.x && c.x == after.x || before.y == c.y && c.y == after.y {
			continue
		}
		out = append(out, c)
	}
	return out
}
