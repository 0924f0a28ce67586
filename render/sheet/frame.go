package sheet

import (
	"fmt"
	"math"

	"seamwright/render/paper"
)

// Border of a sheet after ISO 5457:1999 (from memory): frame 0.7 mm, a grid of reference fields 50 mm long
// counted from the middle of each side, letters down and numbers across, on a band 5 mm wide outside the
// frame, and centring marks. The marks end at the frame, so that they never run into text.
const (
	gridField = 50.0
	gridBand  = 5.0
	gridText  = 3.5 // height of letters
)

func drawFrame(p *paper.Page, size paper.Size) {
	f := size.Frame()
	p.Layer("sheet", paper.Style{Fill: paper.White}).Rect(paper.Box{X1: size.Width, Y1: size.Height})
	p.Layer("frame", paper.Style{Stroke: paper.Black, Width: paper.W70}).Rect(f)
	p.Layer("sheet-edge", paper.Style{Stroke: paper.Black, Width: paper.W25}).Rect(f.Grow(gridBand))
	centre := p.Layer("centring-marks", paper.Style{Stroke: paper.Black, Width: paper.W70})
	c := f.Center()
	for _, y := range []float64{f.Y0, f.Y1} {
		centre.Line(paper.Point{X: c.X, Y: y}, paper.Point{X: c.X, Y: y + math.Copysign(gridBand, y-c.Y)})
	}
	for _, x := range []float64{f.X0, f.X1} {
		centre.Line(paper.Point{X: x, Y: c.Y}, paper.Point{X: x + math.Copysign(gridBand, x-c.X), Y: c.Y})
	}
	drawGrid(p, f)
}

// drawGrid ticks the band and names its fields.
func drawGrid(p *paper.Page, f paper.Box) {
	ticks := p.Layer("grid", paper.Style{Stroke: paper.Black, Width: paper.W35})
	names := p.Layer("grid-names", paper.Style{Fill: paper.Black})
	for i, s := range fields(f.X0, f.X1) {
		for _, y := range []float64{f.Y0 - gridBand, f.Y1} {
			ticks.Line(paper.Point{X: s[1], Y: y}, paper.Point{X: s[1], Y: y + gridBand})
			names.Text(paper.Point{X: (s[0] + s[1]) / 2, Y: y + (gridBand+gridText)/2}, gridText, paper.Middle, fmt.Sprint(i+1))
		}
	}
	letters := "ABCDEFGHJKLMNPQRSTUVWXYZ" // no I and no O
	for i, s := range fields(f.Y0, f.Y1) {
		for _, x := range []float64{f.X0 - gridBand, f.X1} {
			ticks.Line(paper.Point{X: x, Y: s[1]}, paper.Point{X: x + gridBand, Y: s[1]})
			names.Text(paper.Point{X: x + gridBand/2, Y: (s[0]+s[1])/2 + gridText/2}, gridText, paper.Middle, string(letters[i%len(letters)]))
		}
	}
}

// fields divides a side from its middle outwards; the outermost fields are shorter or longer than the rest.
func fields(lo, hi float64) [][2]float64 {
	half := int(math.Round((hi - lo) / 2 / gridField))
	mid := (lo + hi) / 2
	var out [][2]float64
	for i := -half; i < half; i++ {
		out = append(out, [2]float64{mid + float64(i)*gridField, mid + float64(i+1)*gridField})
	}
	if len(out) == 0 {
		return [][2]float64{{lo, hi}}
	}
	out[0][0], out[len(out)-1][1] = lo, hi
	return out
}
