package paper

import (
	"bytes"
	"fmt"
	"io"
	"slices"
	"strconv"
	"time"

	"codeberg.org/go-pdf/fpdf"
	"golang.org/x/image/font/gofont/goregular"
	"golang.org/x/image/font/sfnt"
)

// Book is pages written as one PDF.
type Book struct {
	Title   string
	Subject string
	Author  string
	Date    time.Time // of creation and change; the zero time is written as the start of the year 2000
	Pages   []*Page
	Marks   []Mark
}

// Mark is a bookmark: an entry of the reader's table of contents.
type Mark struct {
	Title string
	Page  int // index into Pages
	Level int // 0 for chapters, 1 for what is in them; a level may be at most one deeper than the mark before
}

// PDF writes the page as a PDF of one page.
func (p *Page) PDF(w io.Writer) error {
	return Book{Title: p.Title, Pages: []*Page{p}}.PDF(w)
}

// PDF writes the book: vectors and text, each page in true size, the font embedded. Lines, areas and places of
// text are those of the SVG; the letters are those of the Go Regular font, at the same height of capitals, and
// squeezed where they would be wider than TextBox says. Letters that the font lacks become an empty box. The
// same book gives the same bytes.
func (b Book) PDF(w io.Writer) error {
	for _, p := range b.Pages {
		if err := p.check(); err != nil {
			return err
		}
	}
	for i, m := range b.Marks {
		if m.Page < 0 || m.Page >= len(b.Pages) {
			return fmt.Errorf("bookmark %q: page %d of %d", m.Title, m.Page+1, len(b.Pages))
		}
		if m.Level < 0 || i == 0 && m.Level > 0 || i > 0 && m.Level > b.Marks[i-1].Level+1 {
			return fmt.Errorf("bookmark %q: level %d has no mark above it", m.Title, m.Level)
		}
		if i > 0 && m.Page < b.Marks[i-1].Page {
			return fmt.Errorf("bookmark %q: it stands after one of a later page", m.Title)
		}
	}
	d, err := b.draw()
	if err != nil {
		return fmt.Errorf("PDF %q: %w", b.Title, err)
	}
	var out bytes.Buffer
	if err := d.pdf.Output(&out); err != nil {
		return fmt.Errorf("PDF %q: %w", b.Title, err)
	}
	if _, err := w.Write(out.Bytes()); err != nil {
		return fmt.Errorf("PDF %q: %w", b.Title, err)
	}
	return nil
}

// document is a PDF being written.
type document struct {
	pdf  *fpdf.Fpdf
	font *sfnt.Font
	buf  sfnt.Buffer
}

const (
	fontName = "go"
	// goCapHeight is the height of capitals of Go Regular as a share of the font size: 1480 of 2048 units
	// (measured from the font's own table).
	goCapHeight = 1480. / 2048
	missing     = '□'
)

func (b Book) draw() (*document, error) {
	font, err := sfnt.Parse(goregular.TTF)
	if err != nil {
		return nil, fmt.Errorf("font: %w", err)
	}
	d := &document{pdf: fpdf.New("P", "mm", "A4", ""), font: font}
	date := b.Date
	if date.IsZero() {
		date = time.Date(2000, 1, 1, 0, 0, 0, 0, time.UTC)
	}
	f := d.pdf
	f.SetCreationDate(date)
	f.SetModificationDate(date)
	f.SetCatalogSort(true)
	f.SetProducer("seamwright", false)
	f.SetTitle(clean(b.Title), true)
	f.SetSubject(clean(b.Subject), true)
	f.SetAuthor(clean(b.Author), true)
	f.SetLang("en-GB")
	f.SetAutoPageBreak(false, 0)
	f.SetMargins(0, 0, 0)
	f.AddUTF8FontFromBytes(fontName, "", slices.Clone(goregular.TTF))
	f.SetFont(fontName, "", 10)
	mark := 0
	for i, p := range b.Pages {
		f.AddPageFormat("P", fpdf.SizeType{Wd: p.Width, Ht: p.Height})
		f.SetLineCapStyle("round")
		f.SetLineJoinStyle("round")
		for ; mark < len(b.Marks) && b.Marks[mark].Page == i; mark++ {
			f.Bookmark(d.writable(b.Marks[mark].Title), b.Marks[mark].Level, 0)
		}
		for _, l := range p.Layers {
			d.layer(l)
		}
	}
	return d, f.Error()
}

// layer draws a layer's items in its style.
func (d *document) layer(l *Layer) {
	st, f := l.Style, d.pdf
	fill, filled := rgb(st.Fill)
	stroke, stroked := rgb(st.Stroke)
	stroked = stroked && st.Width > 0
	if filled {
		f.SetFillColor(fill[0], fill[1], fill[2])
		f.SetTextColor(fill[0], fill[1], fill[2])
	}
	if stroked {
		f.SetDrawColor(stroke[0], stroke[1], stroke[2])
		f.SetLineWidth(st.Width)
		f.SetDashPattern(st.Dash, 0)
	}
	how := ""
	switch {
	case stroked && filled:
		how = "DF"
	case stroked:
		how = "D"
	case filled:
		how = "F"
	default:
		return
	}
	for _, it := range l.Items {
		switch it.Kind {
		case Text:
			if filled {
				d.text(it)
			}
		case Polyline:
			if len(it.Points) > 2 {
				d.path(how, false, it.Points)
			} else if stroked { // a line encloses nothing
				d.path("D", false, it.Points)
			}
		case Polygon:
			d.path(how, true, it.Points)
		case Region:
			evenOdd := how
			if filled {
				evenOdd += "*"
			}
			d.path(evenOdd, true, it.Loops...)
		case Circle:
			f.Circle(it.Points[0].X, it.Points[0].Y, it.Radius, how)
		case Rect:
			b := it.Box()
			f.Rect(b.X0, b.Y0, b.Width(), b.Height(), how)
		default:
			f.SetErrorf("layer %s: kind %d cannot be written", l.Name, it.Kind)
		}
	}
	f.SetDashPattern(nil, 0)
}

func (d *document) path(how string, closed bool, loops ...[]Point) {
	for _, loop := range loops {
		for i, p := range loop {
			if i == 0 {
				d.pdf.MoveTo(p.X, p.Y)
			} else {
				d.pdf.LineTo(p.X, p.Y)
			}
		}
		if closed && len(loop) > 0 {
			d.pdf.ClosePath()
		}
	}
	d.pdf.DrawPath(how)
}

// text writes a line of text at its place, turned, and no wider than TextBox says.
func (d *document) text(it Item) {
	f := d.pdf
	text := d.writable(it.Text)
	f.SetFontUnitSize(it.Height / goCapHeight)
	at, width := it.Points[0], f.GetStringWidth(text)
	most := Width(it.Text, it.Height)
	squeezed := width > most && width > 0
	if it.Turn != 0 || squeezed {
		f.TransformBegin()
		defer f.TransformEnd()
	}
	if it.Turn != 0 {
		f.TransformRotate(-it.Turn, at.X, at.Y)
	}
	if squeezed {
		f.TransformScaleX(100*most/width, at.X, at.Y)
	}
	switch it.Anchor {
	case Middle:
		at.X -= width / 2
	case End:
		at.X -= width
	}
	f.Text(at.X, at.Y, text)
}

// writable replaces what the font cannot show.
func (d *document) writable(text string) string {
	out := []rune(clean(text))
	for i, r := range out {
		if g, err := d.font.GlyphIndex(&d.buf, r); err != nil || g == 0 || r > 0xffff {
			out[i] = missing
		}
	}
	return string(out)
}

// rgb reads an ink; anything but a colour of six hexadecimal digits draws nothing.
func rgb(i Ink) (out [3]int, ok bool) {
	if ink(i) == "none" {
		return out, false
	}
	for k := range out {
		v, err := strconv.ParseUint(string(i[1+2*k:3+2*k]), 16, 8)
		if err != nil {
			return out, false
		}
		out[k] = int(v)
	}
	return out, true
}
