package paper

import (
	"errors"
	"fmt"
	"io"
	"math"
	"strings"
	"unicode"

	svg "github.com/ajstarks/svgo/float"
)

// ErrNotANumber is wrapped by SVG when something is to be drawn at a place that is not a number.
var ErrNotANumber = errors.New("not a number")

// checked remembers the first write error, which the SVG library drops.
type checked struct {
	to  io.Writer
	err error
}

func (c *checked) Write(b []byte) (int, error) {
	if c.err != nil {
		return 0, c.err
	}
	n, err := c.to.Write(b)
	c.err = err
	return n, err
}

// SVG writes the page: one element a line, no script, no outside reference, no time. All text is escaped,
// and what cannot stand in XML is replaced; coordinates are rounded to 0.01 mm. A place that is not a
// number is an error that names the layer, and nothing is written.
func (p *Page) SVG(w io.Writer) error {
	if err := p.check(); err != nil {
		return err
	}
	out := &checked{to: w}
	s := svg.New(out)
	s.StartviewUnit(p.Width, p.Height, "mm", 0, 0, p.Width, p.Height)
	s.Title(clean(p.Title))
	if p.Desc != "" {
		s.Desc(clean(p.Desc))
	}
	used := map[string]int{}
	for _, l := range p.Layers {
		if len(l.Items) == 0 {
			continue
		}
		s.Group(attributes(l, used)...)
		for _, it := range l.Items {
			draw(s, it)
		}
		s.Gend()
	}
	s.End()
	if out.err != nil {
		return fmt.Errorf("sheet %q: %w", p.Title, out.err)
	}
	return nil
}

// check refuses numbers that cannot be drawn.
func (p *Page) check() error {
	if !(p.Width > 0 && p.Height > 0) || math.IsInf(p.Width+p.Height, 0) {
		return fmt.Errorf("sheet %q: size %g x %g mm is not a sheet", p.Title, p.Width, p.Height)
	}
	for _, l := range p.Layers {
		for i, it := range l.Items {
			if !drawable(it) {
				return fmt.Errorf("sheet %q: layer %s: item %d: %w", p.Title, l.Name, i, ErrNotANumber)
			}
		}
	}
	return nil
}

// far is a bound in mm for anything on paper; it keeps infinities and overflow out.
const far = 1e6

func drawable(it Item) bool {
	ok := func(points []Point) bool {
		for _, p := range points {
			if !(math.Abs(p.X) < far && math.Abs(p.Y) < far) {
				return false
			}
		}
		return true
	}
	for _, loop := range it.Loops {
		if !ok(loop) {
			return false
		}
	}
	return ok(it.Points) && it.Radius >= 0 && it.Radius < far && it.Height >= 0 && it.Height < far && math.Abs(it.Turn) <= 360
}

func draw(s *svg.SVG, it Item) {
	switch it.Kind {
	case Polyline:
		if len(it.Points) == 2 {
			a, b := it.Points[0], it.Points[1]
			s.Line(round(a.X), round(a.Y), round(b.X), round(b.Y))
			return
		}
		x, y := columns(it.Points)
		s.Polyline(x, y)
	case Polygon:
		x, y := columns(it.Points)
		s.Polygon(x, y)
	case Region:
		s.Path(path(it.Loops))
	case Circle:
		s.Circle(round(it.Points[0].X), round(it.Points[0].Y), round(it.Radius))
	case Rect:
		b := it.Box()
		s.Rect(round(b.X0), round(b.Y0), round(b.Width()), round(b.Height()))
	case Text:
		more := []string{fmt.Sprintf(`font-size="%.3f"`, it.Height/CapHeight)}
		x, y := round(it.Points[0].X), round(it.Points[0].Y)
		if it.Anchor != Start {
			more = append(more, `text-anchor="`+string(it.Anchor)+`"`)
		}
		if it.Turn != 0 {
			more = append(more, fmt.Sprintf(`transform="rotate(%.3f %.2f %.2f)"`, it.Turn, x, y))
		}
		s.Text(x, y, clean(it.Text), more...)
	}
}

// attributes are the group's: an id made of safe letters only, and its style. The library escapes nothing here.
func attributes(l *Layer, used map[string]int) []string {
	id := slug(l.Name)
	used[id]++
	if n := used[id]; n > 1 {
		id = fmt.Sprintf("%s--%d", id, n)
	}
	st := l.Style
	out := []string{`id="` + id + `"`, `fill="` + ink(st.Fill) + `"`}
	if st.Stroke != NoInk && st.Width > 0 {
		out = append(out, `stroke="`+ink(st.Stroke)+`"`, fmt.Sprintf(`stroke-width="%.2f"`, st.Width), `stroke-linecap="round"`,
			`stroke-linejoin="round"`)
	}
	if len(st.Dash) > 0 {
		parts := make([]string, len(st.Dash))
		for i, d := range st.Dash {
			parts[i] = fmt.Sprintf("%.2f", d)
		}
		out = append(out, `stroke-dasharray="`+strings.Join(parts, " ")+`"`)
	}
	for _, it := range l.Items {
		if it.Kind == Text {
			return append(out, `font-family="`+FontFamily+`"`)
		}
		if it.Kind == Region {
			return append(out, `fill-rule="evenodd"`)
		}
	}
	return out
}

// ink lets nothing but a colour of six hexadecimal digits through.
func ink(i Ink) string {
	if len(i) != 7 || i[0] != '#' || strings.Trim(string(i[1:]), "0123456789abcdef") != "" {
		return "none"
	}
	return string(i)
}

// slug turns a name into an id: ASCII letters, digits and hyphens, beginning with a letter.
func slug(name string) string {
	var b strings.Builder
	for _, r := range strings.ToLower(name) {
		switch {
		case r >= 'a' && r <= 'z', r >= '0' && r <= '9':
			b.WriteRune(r)
		default:
			b.WriteByte('-')
		}
	}
	return "l-" + strings.Trim(b.String(), "-")
}

// clean drops control characters, which no sheet can show.
func clean(s string) string {
	return strings.Map(func(r rune) rune {
		if unicode.IsControl(r) {
			return ' '
		}
		return r
	}, s)
}

// round gives hundredths of a millimetre and never a negative zero. The millionth makes ties fall the same
// way on machines whose last bits differ.
func round(v float64) float64 {
	return math.Round(v*100+1e-6)/100 + 0
}

func columns(points []Point) (x, y []float64) {
	for _, p := range points {
		x, y = append(x, round(p.X)), append(y, round(p.Y))
	}
	return x, y
}

func path(loops [][]Point) string {
	var b strings.Builder
	for _, loop := range loops {
		for i, p := range loop {
			if i == 0 {
				b.WriteString("M")
			} else {
				b.WriteString(" ")
			}
			fmt.Fprintf(&b, "%.2f,%.2f", round(p.X), round(p.Y))
		}
		b.WriteString("Z")
	}
	return b.String()
}
