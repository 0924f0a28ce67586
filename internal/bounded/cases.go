package main

import (
	"seamwright/layout"

	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"seamwright/geometry/drawing"
	"seamwright/geometry/intake"
	"seamwright/geometry/mesh"
	"seamwright/geometry/outline"
	"seamwright/geometry/space"
	"seamwright/internal/plates"
	"seamwright/layout/planfile"
	"seamwright/layout/quote"
	"seamwright/layout/survey"
	"seamwright/layout/variants"
	"seamwright/seams/changes"
	"seamwright/seams/rule"
	"seamwright/seams/shellfile"
)

// readers read a file as the program does.
var readers = map[string]func(path string) error{
	"nothing": func(string) error { return nil },
	"drawing": func(path string) error {
		d, err := drawing.ReadFile(path, drawing.Options{Unit: space.Millimetre})
		if err == nil {
			paths, _ := outline.Outlines(d.Paths)
			outline.Nest(paths)
		}
		return err
	},
	"mesh": func(path string) error { _, _, err := mesh.ReadFile(path, mesh.Options{}); return err },
	"plan": func(path string) error {
		data, _, err := intake.ReadFile(path, drawing.DefaultBytes)
		if err == nil {
			_, err = planfile.Parse(data)
		}
		return err
	},
	"shell":   func(path string) error { _, _, err := shellfile.Read(path, nil); return err },
	"book":    func(path string) error { _, _, err := rule.ReadBook(path, 0); return err },
	"points":  func(path string) error { _, _, _, err := survey.ReadFile(path, space.Millimetre); return err },
	"times":   func(path string) error { _, err := quote.ReadActuals(path); return err },
	"list":    func(path string) error { _, err := variants.ReadList(path); return err },
	"changes": func(path string) error { _, err := changes.Read(path); return err },
}

// reading is one file, how it is read, and whether the limits are to refuse it.
type reading struct {
	name, file, kind string
	refused          bool
	write            func(w io.Writer) error
}

func cases() []reading {
	const lap = "name: Lap\nsteels: [{id: s, grade: DC04, thickness_mm: 1}]\n" +
		"panels: [{id: a, mesh: a.stl, unit: mm}, {id: b, mesh: b.stl, unit: mm}]\n"
	return []reading{
		{"DXF, 6,200 squares of four lines", "a.dxf", "drawing", false, buffered(dxf(squares(6200)))},
		{"DXF, a million lines", "a.dxf", "drawing", true, buffered(dxf(squares(250_000)))},
		{"DXF, polylines of 99,000 points", "a.dxf", "drawing", false, buffered(dxf(polylines(99, 1000)))},
		{"DXF, one polyline of 99,000 points", "a.dxf", "drawing", false, buffered(dxf(polylines(1, 99_000)))},
		{"DXF, one polyline of two million points", "a.dxf", "drawing", true, buffered(dxf(polylines(1, 2_000_000)))},
		{"DXF, one spline of 10,000 control points", "a.dxf", "drawing", false, buffered(dxf(spline(10_000)))},
		{"DXF, one spline of a million control points", "a.dxf", "drawing", true, buffered(dxf(spline(1_000_000)))},
		{"DXF, a circle of radius 1e9", "a.dxf", "drawing", true, buffered(dxf(func(w io.Writer) {
			fmt.Fprint(w, "0\nCIRCLE\n8\noutline\n10\n0\n20\n0\n40\n1000000000\n")
		}))},
		{"DXF, 260 MB of remarks", "a.dxf", "drawing", false, buffered(dxf(func(w io.Writer) {
			for range 260_000 {
				fmt.Fprintf(w, "999\n%s\n", strings.Repeat("x", 990))
			}
			squares(10)(w)
		}))},
		{"CSV drawing, 99,000 points", "a.csv", "drawing", false, points("x,y", "%.6f,%.6f\n", 99_000)},
		{"CSV drawing, 300 MB", "a.csv", "drawing", true, points("x,y", "%.6f,%.6f\n", 14_000_000)},
		{"CSV drawing, 200 MB of remarks", "a.csv", "drawing", false, buffered(func(w io.Writer) {
			for range 200_000 {
				fmt.Fprintf(w, "# %s\n", strings.Repeat("x", 998))
			}
			fmt.Fprint(w, "x,y\n0,0\n10,0\n10,5\n0,5\n")
		})},
		{"plan.json, 250 MB", "plan.json", "plan", false, plan},
		{"plan.json, 300 MB of blanks", "plan.json", "plan", true, filled(300<<20, " ")},
		{"shell file, remarks up to the limit", "shell.yaml", "shell", true, filled(2<<20-1, "#")},
		{"shell file, 2,000 joints", "shell.yaml", "shell", true, buffered(func(w io.Writer) {
			fmt.Fprint(w, lap, "joints:\n")
			for i := range 2000 {
				fmt.Fprintf(w, "  - {id: j%d, panels: [a, b]}\n", i)
			}
		})},
		{"shell file, too large", "shell.yaml", "shell", true, filled(64<<20, "#")},
		{"rule book, remarks up to the limit", "book.yaml", "book", false, book(512<<10, 0)},
		{"rule book, a rule's sources up to the limit", "book.yaml", "book", false, book(0, 512<<10)},
		{"rule book, too large", "book.yaml", "book", true, book(64<<20, 0)},
		{"measured points, 99,000", "points.csv", "points", false, points("x_mm,y_mm,z_mm", "%.3f,%.3f,0\n", 99_000)},
		{"measured points, a million", "points.csv", "points", true, points("x_mm,y_mm,z_mm", "%.3f,%.3f,0\n", 1_000_000)},
		{"measured times, 99,000", "times.csv", "times", false, buffered(func(w io.Writer) {
			fmt.Fprintln(w, "station,shell,minutes")
			for i := range 99_000 {
				fmt.Fprintf(w, "main,%d,20.5\n", i+1)
			}
		})},
		{"list of variants, a million", "list.csv", "list", true, buffered(func(w io.Writer) {
			fmt.Fprintln(w, "name,batch")
			for i := range 1_000_000 {
				fmt.Fprintf(w, "v%d,%d\n", i, i+1)
			}
		})},
		{"STL, text, half a million triangles", "a.stl", "mesh", false, sheet(500)},
	}
}

// buffered is a writer of a file's text; the file's own error counts.
func buffered(body func(w io.Writer)) func(w io.Writer) error {
	return func(w io.Writer) error {
		b := bufio.NewWriterSize(w, 1<<20)
		body(b)
		return b.Flush()
	}
}

func filled(size int, with string) func(w io.Writer) error {
	return buffered(func(w io.Writer) { fmt.Fprint(w, strings.Repeat(with, size)) })
}

func points(head, format string, n int) func(w io.Writer) error {
	return buffered(func(w io.Writer) { fmt.Fprintln(w, head); circle(w, n, format) })
}

func dxf(entities func(w io.Writer)) func(w io.Writer) {
	return func(w io.Writer) {
		fmt.Fprint(w, "0\nSECTION\n2\nENTITIES\n")
		entities(w)
		fmt.Fprint(w, "0\nENDSEC\n0\nEOF\n")
	}
}

func squares(n int) func(w io.Writer) {
	return func(w io.Writer) {
		side := int(math.Ceil(math.Sqrt(float64(n))))
		for i := range n {
			x, y := float64(30*(i%side)), float64(30*(i/side))
			at := [][2]float64{{x, y}, {x + 20, y}, {x + 20, y + 10}, {x, y + 10}, {x, y}}
			for k := range 4 {
				fmt.Fprintf(w, "0\nLINE\n8\noutline\n10\n%g\n20\n%g\n11\n%g\n21\n%g\n", at[k][0], at[k][1], at[k+1][0], at[k+1][1])
			}
		}
	}
}

func polylines(n, points int) func(w io.Writer) {
	return func(w io.Writer) {
		side := int(math.Ceil(math.Sqrt(float64(n))))
		for i := range n {
			fmt.Fprintf(w, "0\nLWPOLYLINE\n8\noutline\n90\n%d\n70\n1\n", points)
			for k := range points {
				a := 2 * math.Pi * float64(k) / float64(points)
				fmt.Fprintf(w, "10\n%.6f\n20\n%.6f\n", float64(300*(i%side))+100*math.Cos(a), float64(300*(i/side))+10*math.Sin(a))
			}
		}
	}
}

func spline(points int) func(w io.Writer) {
	return func(w io.Writer) {
		fmt.Fprintf(w, "0\nSPLINE\n8\noutline\n70\n8\n71\n3\n72\n%d\n73\n%d\n", points+4, points)
		for i := range points + 4 {
			fmt.Fprintf(w, "40\n%d\n", min(max(0, i-3), points-3))
		}
		for i := range points {
			fmt.Fprintf(w, "10\n%d\n20\n%g\n", i, 10*math.Sin(float64(i)/10))
		}
	}
}

func circle(w io.Writer, points int, format string) {
	for i := range points {
		a := 2 * math.Pi * float64(i) / float64(points)
		fmt.Fprintf(w, format, 1000*math.Cos(a), 15*math.Sin(a))
	}
}

// sheet is a flat square of 2n² triangles, apart from all others.
func sheet(n int) func(w io.Writer) error {
	return func(w io.Writer) error {
		var quads [][4]plates.Point
		for i := range n {
			for k := range n {
				quads = append(quads, plates.Flat(float64(i), float64(k), float64(i+1), float64(k+1), 1))
			}
		}
		_, err := w.Write(plates.STL(quads...))
		return err
	}
}

// plan is one with welds up to 250 MB.
func plan(w io.Writer) error {
	const welds = 1000
	p := layout.Plan{Format: layout.Format, Welds: make([]layout.Weld, welds)}
	var text bytes.Buffer
	if err := planfile.Write(&text, &p); err != nil {
		return err
	}
	head, rest, ok := strings.Cut(text.String(), `"welds": [`)
	end := 0
	for range welds {
		n := strings.Index(rest[end:], "\"utilisation\"")
		ok = ok && n >= 0
		end += n + 1
	}
	close := strings.Index(rest[end:], "}") + end + 1
	if !ok || close <= end {
		return errors.New("no welds are in the plan")
	}
	return buffered(func(w io.Writer) {
		fmt.Fprint(w, head, `"welds": [`, rest[:close])
		for n := close; n < 250_000_000; n += close {
			fmt.Fprint(w, ",", rest[:close])
		}
		fmt.Fprint(w, rest[close:])
	})(w)
}

// book changes one rule, after remarks, with sources of so many bytes altogether.
func book(remarks, sources int) func(w io.Writer) error {
	return buffered(func(w io.Writer) {
		for n := 0; n < remarks-2000; n += 1003 {
			fmt.Fprintf(w, "# %s\n", strings.Repeat("x", 1000))
		}
		fmt.Fprintln(w, "rules:\n  - id: pitch.greatest\n    severity: doubt")
		if sources > 0 {
			fmt.Fprintln(w, "    sources:")
		}
		for n := 0; n < sources-20_000; n += 107 {
			fmt.Fprintf(w, "      - {id: s%07d, how: constant, value: 60, source: \"the works, measured over years\", certainty: memory}\n", n)
		}
	})
}
