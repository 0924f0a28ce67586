package mesh

import (
	"math"
	"seamwright/internal/facets"
	"slices"
	"strings"
	"testing"

	"github.com/golang/geo/r3"
)

func TestDropsWithoutArea(t *testing.T) {
	a, b, c, d := vec(0, 0, 0), vec(100, 0, 0), vec(100, 100, 0), vec(0, 100, 0)
	tests := []struct {
		name  string
		extra [3]r3.Vector
		note  string
	}{
		{"a point", [3]r3.Vector{a, a, a}, "1 triangle without area dropped"},
		{"an edge", [3]r3.Vector{a, b, a}, "1 triangle without area dropped"},
		{"three points on a line", [3]r3.Vector{a, c, vec(50, 50, 0)}, "1 triangle without area dropped"},
		{"as near to a line as float32 can tell", [3]r3.Vector{a, c, vec(50, float64(math.Nextafter32(50, 60)), 0)},
			"1 triangle without area dropped"},
		{"a millionth of a millimetre high", [3]r3.Vector{a, vec(1, 0, 0), vec(0.5, 9e-7, 0)}, "1 triangle without area dropped"},
		{"given twice", [3]r3.Vector{a, b, c}, "1 triangle given twice dropped"},
		{"given twice, turned on", [3]r3.Vector{b, c, a}, "1 triangle given twice dropped"},
		{"given twice, turned over", [3]r3.Vector{a, c, b}, "1 triangle given twice dropped"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m, notes := mustRead(t, append(facets.Quad(a, b, c, d), test.extra))
			if len(m.Triangles) != 2 || len(m.Vertices) != 4 || m.Area() != 10000 || len(notes) != 1 {
				t.Errorf("%d triangles, %d vertices, %g mm², notes %q", len(m.Triangles), len(m.Vertices), m.Area(), notes)
			}
			wantNote(t, notes, test.note)
		})
	}
}

// A thin triangle is no triangle without area: a real sliver of 0.01 mm stays.
func TestKeepsSlivers(t *testing.T) {
	m, notes := mustRead(t, soup{{vec(0, 0, 0), vec(1000, 0, 0), vec(500, 0.01, 0)}})
	if len(m.Triangles) != 1 || len(notes) != 0 {
		t.Errorf("%d triangles, notes %q", len(m.Triangles), notes)
	}
}

// A sheet written for either side, thousands of times over, is one sheet.
func TestDropsManyDoubles(t *testing.T) {
	one := facets.Sheet(vec(0, 0, 0), 8, 8, 10, nil)
	var s soup
	for i := range 50 {
		for _, tri := range one {
			if i%2 == 1 {
				tri[1], tri[2] = tri[2], tri[1]
			}
			s = append(s, tri)
		}
	}
	m, notes := mustRead(t, s)
	if len(m.Triangles) != len(one) || len(notes) != 1 {
		t.Errorf("%d triangles, want %d; notes %q", len(m.Triangles), len(one), notes)
	}
	wantNote(t, notes, "6272 triangles given twice dropped")
}

func TestMergesNearlyEqualVertices(t *testing.T) {
	left := facets.Sheet(vec(0, 0, 0), 4, 4, 10, nil)
	tests := []struct {
		name   string
		apart  float64 // mm, along x
		within float64
		merged int
	}{
		{"as CAD rounds", 5e-5, 0, 5},
		{"as CAD leaves between faces", 1.2e-3, 0, 5}, // of a mesh of 80 mm
		{"beyond the default", 8e-3, 0, 0},
		{"beyond the default, allowed", 8e-3, 1e-2, 5},
		{"near but forbidden", 5e-5, -1, 0},
		{"equal", 0, -1, 0},
		{"nearer than any file can state", 5e-5, 1e-300, 0},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			s := append(slices.Clone(left), facets.Sheet(vec(40, 0, 0), 4, 4, 10, nil).Moved(vec(test.apart, 0, 0))...)
			opt := inMillimetres
			opt.MergeWithin = test.within
			m, notes, err := readBytes(s.Binary(""), opt)
			if err != nil {
				t.Fatal(err)
			}
			pieces, want := len(m.Topology().Components()), 1
			if test.apart > 0 && test.merged == 0 {
				want = 2
			}
			if pieces != want {
				t.Errorf("%d pieces, want %d", pieces, want)
			}
			if test.merged > 0 {
				wantNote(t, notes, "5 vertices within ")
			} else if len(notes) > 0 {
				t.Errorf("notes %q", notes)
			}
			if vertices := 40 + 5*want; len(m.Vertices) != vertices {
				t.Errorf("%d vertices, want %d", len(m.Vertices), vertices)
			}
		})
	}
}

// What merging makes of a thin triangle has no area left and goes.
func TestMergeLeavesNoFlatTriangles(t *testing.T) {
	m, notes := mustRead(t, append(facets.Sheet(vec(0, 0, 0), 2, 2, 10, nil), [3]r3.Vector{vec(20, 0, 0), vec(20, 10, 0), vec(20+5e-5, 0, 0)}))
	if len(m.Triangles) != 8 || len(notes) != 2 {
		t.Errorf("%d triangles, notes %q", len(m.Triangles), notes)
	}
	wantNote(t, notes, "1 vertex within 0.00057 mm of another merged")
	wantNote(t, notes, "1 triangle without area dropped")
}

// A vertex just as near to two others goes to the first in x, y, z, whatever the order of the file.
func TestMergeBreaksTies(t *testing.T) {
	const d = 0x1p-8 // mm; 0.0039
	first, second, between := vec(0, 0, 0), vec(0, 2*d, 0), vec(d/2, d, 0)
	s := soup{
		{first, vec(-5, -5, 0), vec(-5, -9, 0)}, {second, vec(-5, 9, 0), vec(-5, 5, 0)},
		{between, vec(3000, -5, 0), vec(3000, 5, 0)},
	}
	for _, order := range [][]int{{0, 1, 2}, {1, 0, 2}, {2, 1, 0}, {2, 0, 1}} {
		m, _ := mustRead(t, soup{s[order[0]], s[order[1]], s[order[2]]})
		want := [3]r3.Vector{first, vec(3000, -5, 0), vec(3000, 5, 0)}
		if !slices.Contains(canonical(m), want) || len(m.Vertices) != 8 {
			t.Errorf("order %v: %d vertices, triangles %v", order, len(m.Vertices), canonical(m))
		}
	}
}

// Far from the origin float32 is coarser than the merge distance: neighbouring numbers must still meet.
func TestMergesNeighbouringFloat32(t *testing.T) {
	x := float64(math.Nextafter32(3000, 4000))
	s := append(facets.Sheet(vec(2960, 0, 0), 4, 4, 10, nil), facets.Sheet(vec(3000, 0, 0), 4, 4, 10, nil).Moved(vec(x-3000, 0, 0))...)
	m, notes := mustRead(t, s)
	if n := len(m.Topology().Components()); n != 1 {
		t.Errorf("%d pieces, notes %q", n, notes)
	}
}

// A row of vertices, each within the distance of the next, must not run together into one.
func TestMergeDoesNotRunAlongARow(t *testing.T) {
	const step = 0.8 * DefaultMergeWithin // the largest triangle is of 409 mm
	var s soup
	for i := range 400 {
		x := float64(i) * step
		s = append(s, [3]r3.Vector{vec(x, 0, 0), vec(x, 10+float64(i), 0), vec(x, 0, 10+float64(i))})
	}
	m, _ := mustRead(t, s)
	box := m.Box().Size()
	if box.X < 399*step-DefaultMergeWithin || box.X > 400*step {
		t.Errorf("%g mm of %g are left", box.X, 399*step)
	}
	for _, tri := range s {
		near := slices.ContainsFunc(m.Vertices, func(v r3.Vector) bool { return v.Sub(tri[0]).Norm() <= 1.01*DefaultMergeWithin })
		if !near {
			t.Fatalf("the vertex at %v went farther than the merge distance", tri[0])
		}
	}
}

// Where every edge has its two triangles nothing is torn, and small features stay.
func TestMergeLeavesClosedMeshes(t *testing.T) {
	m, notes := mustRead(t, append(facets.Block(100, 50, 25), facets.Block(5e-5, 5e-5, 5e-5).Moved(vec(0, 0, 25))...))
	if len(m.Triangles) != 24 || len(notes) != 0 {
		t.Errorf("%d triangles, notes %q", len(m.Triangles), notes)
	}
}

func TestCountsCrowdedEdges(t *testing.T) {
	fin := facets.Quad(vec(0, 0, 0), vec(100, 0, 0), vec(100, 0, 40), vec(0, 0, 40))
	s := slices.Concat(facets.Quad(vec(0, 0, 0), vec(100, 0, 0), vec(100, 100, 0), vec(0, 100, 0)),
		facets.Quad(vec(0, -100, 0), vec(100, -100, 0), vec(100, 0, 0), vec(0, 0, 0)), fin)
	m, notes := mustRead(t, s)
	if len(m.Triangles) != 6 || len(notes) != 1 {
		t.Errorf("%d triangles, notes %q", len(m.Triangles), notes)
	}
	wantNote(t, notes, "1 edge with more than two triangles")
}

// torn is a box whose sides were meshed one by one: each side's edges are divided on their own.
func torn() soup {
	s := facets.Sheet(vec(0, 0, 0), 6, 6, 10, nil) // bottom, 60 by 60
	top := facets.Sheet(vec(0, 0, 30), 4, 4, 15, nil)
	var sides soup
	for i := range 5 {
		x, w := 12*float64(i), 12.0
		for j := range 2 {
			z, h := 15*float64(j), 15.0
			sides = append(sides, facets.Quad(vec(x, 0, z), vec(x+w, 0, z), vec(x+w, 0, z+h), vec(x, 0, z+h))...)
			sides = append(sides, facets.Quad(vec(x, 60, z), vec(x+w, 60, z), vec(x+w, 60, z+h), vec(x, 60, z+h))...)
			sides = append(sides, facets.Quad(vec(0, x, z), vec(0, x+w, z), vec(0, x+w, z+h), vec(0, x, z+h))...)
		}
	}
	sides = append(sides, facets.Quad(vec(60, 0, 0), vec(60, 60, 0), vec(60, 60, 30), vec(60, 0, 30))...)
	return slices.Concat(s, top, sides)
}

func TestClosesTJunctions(t *testing.T) {
	s := torn()
	m, notes := mustRead(t, s)
	topo := m.Topology()
	if !m.Closed() {
		t.Errorf("%d free edges left; notes %q", len(freeEdges(topo)), notes)
	}
	if v := m.Volume(); !(math.Abs(v-60*60*30) <= 1e-6) {
		t.Errorf("volume %g mm³, want 108000", v)
	}
	if a := m.Area(); !(math.Abs(a-s.Area()) <= 1e-6) {
		t.Errorf("area %g mm², was %g", a, s.Area())
	}
	if len(topo.Components()) != 1 {
		t.Errorf("%d pieces", len(topo.Components()))
	}
	wantNote(t, notes, "T-junctions: ")
	if err := checkMesh(m); err != nil {
		t.Error(err)
	}
}

func TestTJunctionCases(t *testing.T) {
	wide := soup{{vec(0, 0, 0), vec(100, 0, 0), vec(50, 80, 0)}} // its lower side is free from 0 to 100
	below := func(x ...float64) soup {
		var s soup
		for i := range len(x) - 1 {
			s = append(s, [3]r3.Vector{vec(x[i], 0, 0), vec((x[i]+x[i+1])/2, -30, 0), vec(x[i+1], 0, 0)})
		}
		return s
	}
	bent := func(y float64) soup {
		return soup{{vec(0, 0, 0), vec(30, -30, 0), vec(40, y, 0)}, {vec(40, y, 0), vec(70, -30, 0), vec(100, 0, 0)}}
	}
	tests := []struct {
		name      string
		s         soup
		triangles int
		free      int
		note      string
	}{
		{"halved", slices.Concat(wide, below(0, 50, 100)), 4, 6, "1 triangle split, 2 edges joined"},
		{"in seven", slices.Concat(wide, below(0, 5, 9, 40, 41, 42, 80, 100)), 14, 16, "1 triangle split, 7 edges joined"},
		{"a part only", slices.Concat(wide, below(20, 45)), 4, 6, "1 triangle split, 1 edge joined"},
		{"to one end", slices.Concat(wide, below(0, 45)), 3, 5, "1 triangle split, 1 edge joined"},
		{"a vertex 0.0015 mm from an end", slices.Concat(soup{{vec(0, 0, 0), vec(100, 0, 0), vec(-50, 80, 0)}}, below(0.0015, 100)), 2, 4, ""},
		{"a vertex 0.006 mm from an end", slices.Concat(wide, below(0.006, 100)), 3, 5, "1 triangle split, 1 edge joined"},
		{"staggered", slices.Concat(wide, below(-30, 60)), 4, 6, "2 triangles split, 1 edge joined"},
		{"a vertex that only touches", slices.Concat(wide, soup{{vec(40, 0, 0), vec(30, -30, 0), vec(50, -30, 0)}}), 2, 6, ""},
		{"0.0015 mm inside", slices.Concat(wide, bent(0.0015)), 4, 6, "1 triangle split, 2 edges joined"},
		{"0.0015 mm outside", slices.Concat(wide, bent(-0.0015)), 4, 6, "1 triangle split, 2 edges joined"},
		{"0.003 mm inside", slices.Concat(wide, bent(0.003)), 3, 9, ""},
		{"0.003 mm outside", slices.Concat(wide, bent(-0.003)), 3, 9, ""},
		{"its own corner is near", soup{
			{vec(0, 0, 0), vec(100, 0, 0), vec(50, 0.0019, 0)},
			{vec(0, 0, 0), vec(15, -30, 0), vec(30, -0.0015, 0)}, {vec(30, -0.0015, 0), vec(60, -30, 0), vec(100, 0, 0)},
		}, 4, 6, "1 triangle split, 2 edges joined"},
		{"three on one edge", slices.Concat(wide, below(0, 50, 100), soup{
			{vec(0, 0, 0), vec(20, 0, 30), vec(50, 0, 0)}, {vec(50, 0, 0), vec(70, 0, 30), vec(100, 0, 0)}}), 6, 10,
			"2 edges with more than two triangles"},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			m, notes := mustRead(t, test.s)
			free := len(freeEdges(m.Topology()))
			if len(m.Triangles) != test.triangles || free != test.free {
				t.Errorf("%d triangles and %d free edges, want %d and %d; notes %q", len(m.Triangles), free, test.triangles, test.free, notes)
			}
			if test.note != "" {
				wantNote(t, notes, test.note)
			} else if slices.ContainsFunc(notes, func(n string) bool { return strings.HasPrefix(n, "T-junctions") }) {
				t.Errorf("notes %q", notes)
			}
			if !(math.Abs(m.Area()-test.s.Area()) <= 100*seamWidth) {
				t.Errorf("area %g mm², was %g", m.Area(), test.s.Area())
			}
		})
	}
}

// All three sides of a triangle divided at once.
func TestCutsAllSides(t *testing.T) {
	a, b, c := vec(0, 0, 0), vec(100, 0, 0), vec(30, 80, 0)
	s := soup{{a, b, c}}
	for _, side := range [][2]r3.Vector{{a, b}, {b, c}, {c, a}} {
		from, by := side[0], side[1].Sub(side[0]).Mul(0.25)
		out := vec(by.Y, -by.X, 0)
		for i := range 4 {
			p, q := from.Add(by.Mul(float64(i))), from.Add(by.Mul(float64(i+1)))
			s = append(s, [3]r3.Vector{p, p.Add(q).Mul(0.5).Add(out), q})
		}
	}
	m, notes := mustRead(t, s)
	if len(m.Triangles) != 12+10 || len(freeEdges(m.Topology())) != 24 || !(math.Abs(m.Area()-s.Area()) <= 1e-3) {
		t.Errorf("%d triangles, %d free edges, %g mm² of %g; notes %q",
			len(m.Triangles), len(freeEdges(m.Topology())), m.Area(), s.Area(), notes)
	}
	for i := range m.Triangles {
		if n := m.Normal(i); n.Z < 0.999 {
			t.Errorf("triangle %d faces %v", i, n)
		}
	}
}

// A piece must not be turned over, nor without area, or the triangle stays whole.
func TestSoundPieces(t *testing.T) {
	m := &Mesh{Vertices: []r3.Vector{vec(0, 0, 0), vec(100, 0, 0), vec(50, 0.001, 0), vec(50, 0, 0), vec(50, 0.0015, 0), vec(50, -0.0015, 0),
		vec(50, 0.001-1e-7, 0)}}
	whole := [3]int32{0, 1, 2}
	for point, want := range map[int32]bool{3: true, 4: false, 5: true, 6: false} {
		pieces := m.cut(whole, [3][]int32{{point}, nil, nil})
		if len(pieces) != 2 || m.sound(whole, pieces) != want {
			t.Errorf("divided at %v into %v: sound is not %v", m.Vertices[point], pieces, want)
		}
	}
}

// A stray vertex far away must not blur the panel: small triangles and small gaps stay.
func TestStrayVertex(t *testing.T) {
	s := slices.Concat(facets.Sheet(vec(0, 0, 0), 10, 10, 0.05, nil), facets.Sheet(vec(0.52, 0, 0), 10, 10, 0.05, nil),
		soup{{vec(5e8, 0, 0), vec(5e8, 1e4, 0), vec(5e8, 0, 1e4)}})
	m, notes := mustRead(t, s)
	if len(m.Triangles) != len(s) || len(m.Topology().Components()) != 3 {
		t.Errorf("%d triangles of %d in %d pieces; notes %q", len(m.Triangles), len(s), len(m.Topology().Components()), notes)
	}
}

// Thousands of edges along one line, each with thousands of vertices inside: found out and left alone.
func TestTJunctionsGiveUp(t *testing.T) {
	var s soup
	for i := range 3000 {
		x, z := float64(i), float64(i%97)
		s = append(s, [3]r3.Vector{vec(x/7, 0, 0), vec(5000-x/5, 0, 0), vec(x, 10+x, z)})
	}
	m, notes := mustRead(t, s)
	if len(m.Triangles) != len(s) {
		t.Errorf("%d triangles of %d", len(m.Triangles), len(s))
	}
	wantNote(t, notes, "free edges left as they are, too many to look through")
}

// A million triangles' worth of loose edges is no panel: it is read, and said to be as it is.
func TestManyLooseTriangles(t *testing.T) {
	var s soup
	for i := range mostFreeEdges/3 + 1 {
		x, y := float64(i%600), float64(i/600)
		s = append(s, [3]r3.Vector{vec(x, y, 0), vec(x+.6, y, 0), vec(x, y+.6, 0)})
	}
	m, notes := mustRead(t, s)
	if len(m.Triangles) != len(s) || len(m.Vertices) != 3*len(s) {
		t.Errorf("%d triangles, %d vertices of %d", len(m.Triangles), len(m.Vertices), len(s))
	}
	wantNote(t, notes, "free edges left as they are, too many to look through")
}
