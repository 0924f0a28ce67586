package outline

import (
	"fmt"
	"math"
	"math/rand"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/drawing"
)

// sides are the sides of a closed outline as loose pieces, each drawn short of both corners by gap/2.
func sides(gap float64, corners ...r3.Vector) []drawing.Path {
	var out []drawing.Path
	for i, a := range corners {
		b := corners[(i+1)%len(corners)]
		short := unit(b.Sub(a)).Mul(gap / 2)
		out = append(out, piece(a.Add(short), b.Sub(short)))
	}
	return out
}

func rectangle(x0, y0, x1, y1 float64) []r3.Vector {
	return []r3.Vector{vec(x0, y0, 0), vec(x1, y0, 0), vec(x1, y1, 0), vec(x0, y1, 0)}
}

// roundedInPieces is a strip of 300 by 16 with one corner rounded to 0.5 mm by pieces shorter than a stub.
func roundedInPieces() []drawing.Path {
	const radius, n = 0.5, 60
	at := func(i int) r3.Vector {
		sin, cos := math.Sincos(math.Pi / 2 * float64(i) / n)
		return vec(300-radius+radius*sin, radius-radius*cos, 0)
	}
	out := []drawing.Path{piece(vec(0, 0, 0), at(0)), piece(at(n), vec(300, 16, 0)), piece(vec(300, 16, 0), vec(0, 16, 0)),
		piece(vec(0, 16, 0), vec(0, 0, 0))}
	for i := range n {
		out = append(out, piece(at(i), at(i+1)))
	}
	return out
}

func loop(corners ...r3.Vector) drawing.Path {
	return drawing.Path{Layer: "a", Kind: "LWPOLYLINE", Points: corners, Closed: true, Length: polylineLength(corners, true)}
}

// TestOutlines wants closed outlines with their areas, and what was done told.
func TestOutlines(t *testing.T) {
	strip := rectangle(0, 0, 300, 16)
	for _, c := range []struct {
		name  string
		paths []drawing.Path
		areas []float64 // of the closed paths, sorted
		open  int
		notes []string // parts of the notes, in order; no others
	}{
		{"nothing", nil, nil, 0, nil},
		{"whole", sides(0, strip...), []float64{4800}, 0, nil},
		{"below what is told", sides(5e-4, strip...), []float64{4800}, 0, nil},
		// Each corner is drawn 0.1 mm short both ways: the ends are 0.1·√2 mm apart and the corner is found again.
		{"open corners", sides(0.2, strip...), []float64{4800}, 0, slices.Repeat([]string{"ends 0.141 mm apart at ("}, 4)},
		{"corners open by the most", sides(0.5*math.Sqrt2, strip...), []float64{4800}, 0, slices.Repeat([]string{"ends 0.5 mm apart at ("}, 4)},
		{"corners too far open", sides(0.51*math.Sqrt2, strip...), nil, 4, slices.Repeat([]string{"are 0.51 mm apart: left open"}, 4)},
		{"open in a side", []drawing.Path{piece(vec(100, 0, 0), strip[0], strip[3], strip[2], strip[1], vec(100.25, 0, 0))}, []float64{4800}, 0,
			[]string{"layer a: ends 0.25 mm apart at (100.125, 0.000) are joined"}},
		{"a stub at a corner", append(sides(0, strip...), piece(strip[1], vec(300.01, 0.01, 0))), []float64{4800}, 0,
			[]string{"layer a: a stub of 0.0141 mm at (300.000, 0.000) is dropped"}},
		{"a stub by itself", append(sides(0, strip...), piece(vec(5, 50, 0), vec(5.01, 50, 0))), []float64{4800}, 0,
			[]string{"a stub of 0.01 mm at (5.000, 50.000) is dropped"}},
		{"a corner rounded in tiny pieces", roundedInPieces(), []float64{4800}, 0, // the pieces at its ends alone are stubs
			[]string{"is dropped", "is dropped", "are joined", "are joined"}},
		{"no stub", append(sides(0, strip...), piece(vec(5, 50, 0), vec(5.03, 50, 0))), []float64{4800}, 1, nil},
		{"one edge for two strips", append(sides(0, vec(0, 16, 0), vec(0, 0, 0), vec(300, 0, 0), vec(300, 16, 0)),
			piece(vec(300, 16, 0), vec(300, 30, 0), vec(0, 30, 0), vec(0, 16, 0))), []float64{300 * 14, 4800}, 0,
			[]string{"lines branch at (0.000, 16.000), (300.000, 16.000): taken as 2 outlines that share edges"}},
		{"a line across a closed outline", []drawing.Path{loop(rectangle(0, 0, 300, 30)...), piece(vec(0, 16, 0), vec(300, 16, 0))},
			[]float64{300 * 14, 4800}, 0, []string{"taken as 2 outlines"}},
		{"a strip that leans on another", []drawing.Path{loop(strip...),
			piece(vec(100, 16, 0), vec(100, 76, 0), vec(112, 76, 0), vec(112, 16, 0))},
			[]float64{720, 4800}, 0, []string{"taken as 2 outlines"}},
		{"a line across that falls short", []drawing.Path{loop(rectangle(0, 0, 300, 30)...), piece(vec(0.3, 16, 0), vec(300, 16, 0))},
			[]float64{300 * 14, 4800}, 0, []string{"taken as 2 outlines", "a line that ends 0.3 mm from (0.300, 16.000) is joined there"}},
		{"three strips in a row", []drawing.Path{loop(rectangle(0, 0, 300, 45)...), piece(vec(100, 0, 0), vec(100, 45, 0)),
			piece(vec(200, 45, 0), vec(200, 0, 0))}, []float64{4500, 4500, 4500}, 0, []string{"taken as 3 outlines"}},
		{"a line that hangs from an outline", []drawing.Path{loop(strip...), piece(vec(150, 16, 0), vec(150, 60, 0))}, []float64{4800}, 1, nil},
		{"lines that run on beyond their corners", []drawing.Path{piece(vec(0, 0, 0), vec(304, 0, 0)), piece(vec(300, 0, 0), vec(300, 20, 0)),
			piece(vec(300, 16, 0), vec(-5, 16, 0)), piece(vec(0, 16, 0), vec(0, 0, 0))}, []float64{4800}, 3, nil},
		{"heights that differ", []drawing.Path{loop(rectangle(0, 0, 300, 30)...), piece(vec(0, 16, 2), vec(300, 16, 2))},
			[]float64{9000}, 1, nil},
	} {
		t.Run(c.name, func(t *testing.T) {
			for seed := range int64(6) {
				paths := slices.Clone(c.paths)
				rand.New(rand.NewSource(seed)).Shuffle(len(paths), func(i, j int) { paths[i], paths[j] = paths[j], paths[i] })
				got, notes := Outlines(paths)
				var areas []float64
				open := 0
				for _, p := range got {
					if p.Closed {
						areas = append(areas, math.Abs(flatArea(p.Points)))
					} else {
						open++
					}
				}
				slices.Sort(areas)
				if len(areas) != len(c.areas) || open != c.open {
					t.Fatalf("areas %v and %d open, want %v and %d; notes %q", areas, open, c.areas, c.open, notes)
				}
				for i, a := range areas {
					if !(math.Abs(a-c.areas[i]) <= 0.2) {
						t.Errorf("areas %v, want %v", areas, c.areas)
					}
				}
				for _, part := range c.notes {
					i := slices.IndexFunc(notes, func(n string) bool { return strings.Contains(n, part) })
					if i < 0 {
						t.Fatalf("no note %q in %q", part, notes)
					}
					notes = slices.Delete(slices.Clone(notes), i, i+1)
				}
				if c.notes == nil && len(notes) > 0 && c.open == 0 {
					t.Errorf("notes %q", notes)
				}
			}
		})
	}
}

// TestOutlinesOfAGrid parts a sheet divided by random lines from side to side: the fields' areas add up to the sheet's.
func TestOutlinesOfAGrid(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		across, along := rapid.IntRange(0, 4).Draw(t, "across"), rapid.IntRange(0, 3).Draw(t, "along")
		var paths []drawing.Path
		for i := range across + 1 {
			x0, x1 := float64(i)*70, float64(i+1)*70
			for j := range along + 2 {
				paths = append(paths, piece(vec(x0, float64(j)*30, 0), vec(x1, float64(j)*30, 0)))
			}
		}
		for i := range across + 2 {
			for j := range along + 1 {
				paths = append(paths, piece(vec(float64(i)*70, float64(j)*30, 0), vec(float64(i)*70, float64(j+1)*30, 0)))
			}
		}
		rand.New(rand.NewSource(rapid.Int64().Draw(t, "seed"))).Shuffle(len(paths), func(i, j int) { paths[i], paths[j] = paths[j], paths[i] })
		got, notes := Outlines(paths)
		if len(got) != (across+1)*(along+1) {
			t.Fatalf("%d outlines of %d fields: %q", len(got), (across+1)*(along+1), notes)
		}
		for _, p := range got {
			if !p.Closed || !(math.Abs(math.Abs(flatArea(p.Points))-2100) <= 1e-6) || !(math.Abs(p.Length-200) <= 1e-6) {
				t.Fatalf("%+v", p)
			}
		}
	})
}

func TestNest(t *testing.T) {
	circle := func(x, y, r float64) drawing.Path {
		var points []r3.Vector
		for i := range 48 {
			points = append(points, vec(x+r*math.Cos(2*pi*float64(i)/48), y+r*math.Sin(2*pi*float64(i)/48), 0))
		}
		return loop(points...)
	}
	raised := loop(rectangle(0, 0, 10, 10)...)
	raised.Points = slices.Clone(raised.Points)
	for i := range raised.Points {
		raised.Points[i].Z = 5
	}
	for _, c := range []struct {
		name  string
		paths []drawing.Path
		want  string // numbers of the paths, what lies within in brackets
	}{
		{"nothing", nil, ""},
		{"ring", []drawing.Path{circle(0, 0, 100), circle(0, 0, 116)}, "1(0)"},
		{"side by side", []drawing.Path{circle(0, 0, 10), circle(30, 0, 10)}, "0 1"},
		{"an edge in common", []drawing.Path{loop(rectangle(0, 0, 300, 16)...), loop(rectangle(0, 16, 300, 30)...)}, "0 1"},
		{"islands in holes", []drawing.Path{circle(0, 0, 5), circle(0, 0, 50), circle(0, 0, 20), circle(35, 0, 4)}, "1(2(0) 3)"},
		{"a hole at the edge", []drawing.Path{loop(rectangle(0, 0, 300, 16)...), loop(rectangle(100, 0, 120, 8)...)}, "0(1)"},
		{"a path above another", []drawing.Path{loop(rectangle(-50, -50, 50, 50)...), raised}, "0 1"},
		{"open ones are left out", []drawing.Path{piece(vec(0, 0, 0), vec(5, 0, 0)), circle(0, 0, 5)}, "1"},
	} {
		var written func(list []*Nested) string
		written = func(list []*Nested) string {
			var parts []string
			for _, n := range list {
				s := fmt.Sprint(n.Index)
				if len(n.Within) > 0 {
					s += "(" + written(n.Within) + ")"
				}
				parts = append(parts, s)
			}
			slices.Sort(parts)
			return strings.Join(parts, " ")
		}
		if got := written(Nest(c.paths)); got != c.want {
			t.Errorf("%s: %s, want %s", c.name, got, c.want)
		}
	}
}

// Looking at the boxes first finds the same as asking every pair.
func TestNestAsksEnough(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var paths []drawing.Path
		for range rapid.IntRange(1, 25).Draw(t, "rings") {
			whole := func(name string, least, most int) float64 { return float64(rapid.IntRange(least, most).Draw(t, name)) }
			x, y, z := whole("x", -30, 30), whole("y", -30, 30), whole("z", 0, 1)
			a, b := whole("a", 1, 30), whole("b", 1, 30)
			points := rectangle(x-a, y-b, x+a, y+b)
			for i, p := range points {
				points[i] = vec(p.X, p.Y+0.3*z, p.Z+z*0.5*p.X) // lying flat, or leaning
			}
			paths = append(paths, loop(points...))
		}
		var all []*Nested
		var visit func(list []*Nested, within int)
		parent := map[int]int{}
		visit = func(list []*Nested, within int) {
			for _, n := range list {
				parent[n.Index] = within
				visit(n.Within, n.Index)
			}
			all = append(all, list...)
		}
		visit(Nest(paths), -1)
		if len(all) != len(paths) {
			t.Fatalf("%d of %d paths came back", len(all), len(paths))
		}
		for i := range paths {
			want, least := -1, math.Inf(1)
			for k := range paths {
				inner, outer := ringOf(i, paths[i]), ringOf(k, paths[k])
				if i == k || outer.area < inner.area || outer.area == inner.area && k > i {
					continue
				}
				if outer.holdsPath(inner.Points) && (outer.area < least || outer.area == least && k > want) {
					want, least = k, outer.area
				}
			}
			if parent[i] != want {
				t.Errorf("path %d is within %d, want %d", i, parent[i], want)
			}
		}
	})
}
