// Package paper is a drawing of lines, areas and text on one sheet in true millimetres, and its SVG. What
// is drawn is kept as plain data, so that it can be checked (does any text leave the frame?) and written
// in other ways later.
//
//	page := paper.New(paper.A3, "Station 10")
//	page.Layer("frame", paper.Style{Stroke: paper.Black, Width: 0.7}).Rect(paper.Box{X0: 20, Y0: 10, X1: 410, Y1: 287})
//	page.Layer("words", paper.Style{Fill: paper.Black}).Text(paper.Point{X: 25, Y: 20}, 3.5, paper.Start, "Roof rail")
//	err := page.SVG(w)
//
// Coordinates are millimetres from the sheet's upper left corner, x to the right and y down.
package paper

import "math"

// Point is a place on the sheet.
type Point struct{ X, Y float64 }

// Add returns p moved by d.
func (p Point) Add(d Point) Point { return Point{p.X + d.X, p.Y + d.Y} }

// Sub returns the way from q to p.
func (p Point) Sub(q Point) Point { return Point{p.X - q.X, p.Y - q.Y} }

// Mul returns p scaled about the origin.
func (p Point) Mul(k float64) Point { return Point{float64(p.X * k), float64(p.Y * k)} }

// Norm is the distance from the origin.
func (p Point) Norm() float64 { return math.Hypot(p.X, p.Y) }

// Box is an upright rectangle: X0 <= X1, Y0 <= Y1.
type Box struct{ X0, Y0, X1, Y1 float64 }

// Width is the box's extent across the sheet.
func (b Box) Width() float64 { return b.X1 - b.X0 }

// Height is the box's extent down the sheet.
func (b Box) Height() float64 { return b.Y1 - b.Y0 }

// Center is the middle of the box.
func (b Box) Center() Point { return Point{(b.X0 + b.X1) / 2, (b.Y0 + b.Y1) / 2} }

// Grow returns the box with every side moved out by d.
func (b Box) Grow(d float64) Box { return Box{b.X0 - d, b.Y0 - d, b.X1 + d, b.Y1 + d} }

// With returns the least box that holds b and p.
func (b Box) With(p Point) Box {
	return Box{min(b.X0, p.X), min(b.Y0, p.Y), max(b.X1, p.X), max(b.Y1, p.Y)}
}

// Overlaps reports whether the two boxes share some area; touching does not count.
func (b Box) Overlaps(c Box) bool {
	return b.X0 < c.X1 && c.X0 < b.X1 && b.Y0 < c.Y1 && c.Y0 < b.Y1
}

// Holds reports whether c lies within b; touching from inside counts.
func (b Box) Holds(c Box) bool {
	return c.X0 >= b.X0 && c.X1 <= b.X1 && c.Y0 >= b.Y0 && c.Y1 <= b.Y1
}

// Ink is a shade of grey: 0 draws nothing, Black is black, White is white.
type Ink string

// The inks. Tints stay white when a copier turns the sheet to black and white.
const (
	NoInk Ink = ""
	Black Ink = "#000000"
	White Ink = "#ffffff"
	Grey  Ink = "#8c8c8c"
)

// Style is how the items of a layer are drawn.
type Style struct {
	Stroke Ink
	Width  float64   // mm
	Dash   []float64 // mm on, mm off …; empty: continuous
	Fill   Ink
}

// Line widths in mm: part of the series of ISO 128-2:2020 (from memory), ratio 1 to square root of 2.
const (
	W13 = 0.13
	W18 = 0.18
	W25 = 0.25
	W35 = 0.35
	W50 = 0.5
	W70 = 0.7
)

// Anchor says which end of a text lies at its place.
type Anchor string

// The anchors of SVG text.
const (
	Start  Anchor = "start"
	Middle Anchor = "middle"
	End    Anchor = "end"
)

// Kind is what an item is.
type Kind int

// The kinds of items.
const (
	Polyline Kind = iota
	Polygon       // one closed loop
	Region        // several closed loops, filled by the even-odd rule
	Circle
	Rect
	Text
)

// Item is one thing drawn.
type Item struct {
	Kind   Kind
	Points []Point   // of a polyline or polygon; the centre of a circle; opposite corners of a rect; the place of a text
	Loops  [][]Point // of a region
	Radius float64
	Text   string
	Height float64 // of capitals, mm
	Anchor Anchor
	Turn   float64 // of a text about its place, degrees clockwise on the sheet
}

// Layer is a group of items drawn alike.
type Layer struct {
	Name  string
	Style Style
	Items []Item
}

// Page is one sheet.
type Page struct {
	Width, Height float64 // mm
	Title, Desc   string  // for readers that announce the drawing
	Layers        []*Layer
}

// New starts an empty sheet.
func New(size Size, title string) *Page {
	return &Page{Width: size.Width, Height: size.Height, Title: title}
}

// Layer adds a group to the top of the drawing. Its name becomes its id in the SVG, made unique.
func (p *Page) Layer(name string, style Style) *Layer {
	l := &Layer{Name: name, Style: style}
	p.Layers = append(p.Layers, l)
	return l
}

// Line adds a straight line.
func (l *Layer) Line(a, b Point) { l.Polyline([]Point{a, b}) }

// Polyline adds an open line through points; fewer than two draw nothing.
func (l *Layer) Polyline(points []Point) {
	if len(points) > 1 {
		l.Items = append(l.Items, Item{Kind: Polyline, Points: points})
	}
}

// Polygon adds a closed loop; fewer than three points draw nothing.
func (l *Layer) Polygon(points ...Point) {
	if len(points) > 2 {
		l.Items = append(l.Items, Item{Kind: Polygon, Points: points})
	}
}

// Region adds an area bounded by loops: inside an odd number of them.
func (l *Layer) Region(loops [][]Point) {
	if len(loops) > 0 {
		l.Items = append(l.Items, Item{Kind: Region, Loops: loops})
	}
}

// Circle adds a circle.
func (l *Layer) Circle(center Point, radius float64) {
	l.Items = append(l.Items, Item{Kind: Circle, Points: []Point{center}, Radius: radius})
}

// Rect adds an upright rectangle.
func (l *Layer) Rect(b Box) {
	l.Items = append(l.Items, Item{Kind: Rect, Points: []Point{{b.X0, b.Y0}, {b.X1, b.Y1}}})
}

// Text adds one line of text standing on at; height is that of capitals. Empty text draws nothing.
func (l *Layer) Text(at Point, height float64, anchor Anchor, text string) {
	if text != "" {
		l.Items = append(l.Items, Item{Kind: Text, Points: []Point{at}, Text: text, Height: height, Anchor: anchor})
	}
}

// TextTurned adds one line of text turned about its place by degrees, clockwise on the sheet.
func (l *Layer) TextTurned(at Point, degrees, height float64, anchor Anchor, text string) {
	if text != "" {
		l.Items = append(l.Items, Item{Kind: Text, Points: []Point{at}, Text: text, Height: height, Anchor: anchor, Turn: degrees})
	}
}

// Box is the paper that the item covers, without the width of its lines. A text's box is a safe estimate.
func (it Item) Box() Box {
	switch it.Kind {
	case Circle:
		c := it.Points[0]
		return Box{c.X, c.Y, c.X, c.Y}.Grow(it.Radius)
	case Text:
		return turned(TextBox(it.Points[0], it.Height, it.Anchor, it.Text), it.Points[0], it.Turn)
	case Region:
		return around(it.Loops...)
	}
	return around(it.Points)
}

// turned is the upright box round b turned about a place.
func turned(b Box, about Point, degrees float64) Box {
	if degrees == 0 {
		return b
	}
	corners := []Point{{b.X0, b.Y0}, {b.X1, b.Y0}, {b.X1, b.Y1}, {b.X0, b.Y1}}
	sin, cos := math.Sincos(degrees * math.Pi / 180)
	for i, p := range corners {
		d := p.Sub(about)
		corners[i] = about.Add(Point{float64(d.X*cos) - float64(d.Y*sin), float64(d.X*sin) + float64(d.Y*cos)})
	}
	return around(corners)
}

func around(loops ...[]Point) Box {
	b := Box{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, loop := range loops {
		for _, p := range loop {
			b.X0, b.X1 = min(b.X0, p.X), max(b.X1, p.X)
			b.Y0, b.Y1 = min(b.Y0, p.Y), max(b.Y1, p.Y)
		}
	}
	return b
}
