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

// piece is an open path on layer a.
func piece(points ...r3.Vector) drawing.Path {
	return drawing.Path{Layer: "a", Kind: "LINE", Points: points, Length: polylineLength(points, false)}
}

func chained(paths []drawing.Path, join float64) []drawing.Path {
	out, _ := chain(paths, join)
	return out
}

func rounded(x float64) float64 { return math.Round(x*1e6) / 1e6 }

func polylineLength(points []r3.Vector, closed bool) float64 {
	if closed {
		points = append(slices.Clone(points), points[0])
	}
	return lengthOf(points)
}

// shape writes a chain as its kind, its ends and so on, for comparing.
func shape(p drawing.Path) string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s %s", p.Layer, p.Kind)
	for _, v := range p.Points {
		fmt.Fprintf(&b, " %v,%v", rounded(v.X), rounded(v.Y))
	}
	if p.Closed {
		b.WriteString(" closed")
	}
	return b.String()
}

func TestChain(t *testing.T) {
	a, b, c, d := vec(0, 0, 0), vec(10, 0, 0), vec(10, 10, 0), vec(0, 10, 0)
	onLayer := func(layer string, p drawing.Path) drawing.Path { p.Layer = layer; return p }
	disc := drawing.Path{Layer: "a", Kind: "CIRCLE", Points: []r3.Vector{a, b, c, d}, Closed: true, Length: 44}
	for _, tc := range []struct {
		name  string
		paths []drawing.Path
		want  []string
		note  string
	}{
		{"nothing", nil, nil, ""},
		{"one piece", []drawing.Path{piece(a, b)}, []string{"a LINE 0,0 10,0"}, ""},
		{"two in order", []drawing.Path{piece(a, b), piece(b, c)}, []string{"a CHAIN 0,0 10,0 10,10"}, ""},
		{"the first piece gives the direction", []drawing.Path{piece(c, b), piece(a, b)}, []string{"a CHAIN 10,10 10,0 0,0"}, ""},
		{"the first piece in the middle", []drawing.Path{piece(b, c), piece(d, c), piece(b, a)}, []string{"a CHAIN 0,0 10,0 10,10 0,10"}, ""},
		{"a square, to and fro", []drawing.Path{piece(a, b), piece(c, b), piece(c, d), piece(a, d)},
			[]string{"a CHAIN 0,0 10,0 10,10 0,10 closed"}, ""},
		{"two pieces make a loop", []drawing.Path{piece(a, b, c), piece(a, d, c)}, []string{"a CHAIN 0,0 10,0 10,10 0,10 closed"}, ""},
		{"one piece that ends at its start", []drawing.Path{piece(a, b, c, vec(0.05, 0, 0))}, []string{"a LINE 0.05,0 10,0 10,10 closed"},
			"layer a: ends 0.05 mm apart at (0.050, 0.000) are joined"},
		{"closed paths stay", []drawing.Path{disc, piece(a, b)}, []string{"a CIRCLE 0,0 10,0 10,10 0,10 closed", "a LINE 0,0 10,0"}, ""},
		{"layers keep apart", []drawing.Path{piece(a, b), onLayer("b", piece(b, c)), piece(b, d)}, []string{"a CHAIN 0,0 10,0 0,10",
			"b LINE 10,0 10,10"}, ""},
		{"a gap within join", []drawing.Path{piece(a, b), piece(vec(10.08, 0, 0), c)}, []string{"a CHAIN 0,0 10.08,0 10,10"},
			"layer a: ends 0.08 mm apart at (10.080, 0.000) are joined"},
		{"a gap beyond join", []drawing.Path{piece(a, b), piece(vec(10.2, 0, 0), c)}, []string{"a LINE 0,0 10,0", "a LINE 10.2,0 10,10"},
			"layer a: the loose ends at (10.000, 0.000) and (10.200, 0.000) are 0.2 mm apart: left open; up to 0.1 mm would be joined"},
		{"heights count", []drawing.Path{piece(a, b), piece(vec(10, 0, 1.01), c)}, []string{"a LINE 0,0 10,0", "a LINE 10,0 10,10"}, ""},
		{"three ends meet", []drawing.Path{piece(a, b), piece(b, c), piece(b, d)},
			[]string{"a LINE 0,0 10,0", "a LINE 10,0 10,10", "a LINE 10,0 0,10"},
			"three or more ends meet at (10.000, 0.000) on layer a"},
		{"a cross", []drawing.Path{piece(a, b), piece(b, c), piece(b, d), piece(b, vec(20, 0, 0))},
			[]string{"a LINE 0,0 10,0", "a LINE 10,0 10,10",
				"a LINE 10,0 0,10", "a LINE 10,0 20,0"}, "three or more"},
		{"a stray end near a corner", []drawing.Path{piece(a, b), piece(vec(10.05, 0, 0), vec(20, 3, 0)), piece(b, c)},
			[]string{"a CHAIN 0,0 10,0 10,10", "a LINE 10.05,0 20,3"}, ""},
		{"pieces shorter than join", []drawing.Path{piece(a, b), piece(b, vec(10.03, 0, 0)), piece(vec(10.03, 0, 0), vec(10.06, 0, 0)),
			piece(vec(10.06, 0, 0), c)}, []string{"a CHAIN 0,0 10,0 10.03,0 10.06,0 10,10"}, ""},
		{"a short piece does not close on itself", []drawing.Path{piece(a, vec(0.09, 0, 0))}, []string{"a LINE 0,0 0.09,0"}, ""},
		{"drawn twice", []drawing.Path{piece(a, b), piece(b, c), piece(b, a), piece(a, b)},
			[]string{"a CHAIN 0,0 10,0 10,10"}, "2 drawn twice left out"},
		{"circle drawn twice", []drawing.Path{disc, disc}, []string{"a CIRCLE 0,0 10,0 10,10 0,10 closed"}, "1 drawn twice left out"},
		{"no length", []drawing.Path{piece(a, a), piece(a, b), piece(b)}, []string{"a LINE 0,0 10,0"}, "2 of no length left out"},
		{"same ends, different ways", []drawing.Path{piece(a, b, c), piece(a, vec(1, 5, 0), c)},
			[]string{"a CHAIN 0,0 10,0 10,10 1,5 closed"}, ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			before := fmt.Sprint(tc.paths)
			got, notes := chain(tc.paths, 0.1)
			var shapes []string
			for _, p := range got {
				shapes = append(shapes, shape(p))
			}
			if !slices.Equal(shapes, tc.want) {
				t.Errorf("got\n%s\nwant\n%s", strings.Join(shapes, "\n"), strings.Join(tc.want, "\n"))
			}
			if all := strings.Join(notes, "\n"); !strings.Contains(all, tc.note) || tc.note == "" && all != "" {
				t.Errorf("notes %q, want %q", notes, tc.note)
			}
			if fmt.Sprint(tc.paths) != before {
				t.Error("the paths given were changed")
			}
		})
	}
}

// shuffled cuts closed outlines into pieces, turns some round, moves their ends by up to noise and mixes them.
func shuffled(rng *rand.Rand, loops [][]r3.Vector, noise float64) []drawing.Path {
	var pieces []drawing.Path
	shaken := func(v r3.Vector) r3.Vector {
		return v.Add(vec(rng.Float64()-0.5, rng.Float64()-0.5, 0).Mul(noise))
	}
	for _, loop := range loops {
		for i := 0; i < len(loop); {
			n := min(1+rng.Intn(3), len(loop)-i)
			var points []r3.Vector
			for k := i; k <= i+n; k++ {
				points = append(points, shaken(loop[k%len(loop)]))
			}
			if rng.Intn(2) == 0 {
				slices.Reverse(points)
			}
			pieces = append(pieces, piece(points...))
			i += n
		}
	}
	rng.Shuffle(len(pieces), func(i, j int) { pieces[i], pieces[j] = pieces[j], pieces[i] })
	return pieces
}

// stars are outlines with corners further apart than the join distance.
func stars(rng *rand.Rand, count, corners int) [][]r3.Vector {
	var loops [][]r3.Vector
	for i := range count {
		loops = append(loops, star(rng, corners, vec(float64(i)*2500, 0, 0), 500, 1000))
	}
	return loops
}

func star(rng *rand.Rand, corners int, center r3.Vector, inner, outer float64) []r3.Vector {
	var loop []r3.Vector
	for i := range corners {
		angle, radius := 2*math.Pi*float64(i)/float64(corners), inner+(outer-inner)*rng.Float64()
		loop = append(loop, center.Add(vec(radius*math.Cos(angle), radius*math.Sin(angle), 0)))
	}
	return loop
}

// TestChainMendsShuffledOutlines takes outlines apart and wants them back.
func TestChainMendsShuffledOutlines(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		rng := rand.New(rand.NewSource(rapid.Int64().Draw(t, "seed")))
		count, corners := rapid.IntRange(1, 4).Draw(t, "outlines"), rapid.IntRange(3, 40).Draw(t, "corners")
		noise := rapid.SampledFrom([]float64{0, 1e-6, 0.01, 0.06}).Draw(t, "noise")
		loops := stars(rng, count, corners)
		got, notes := chain(shuffled(rng, loops, noise), 0.1)
		joined := func(n string) bool {
			return strings.HasSuffix(n, "are joined") || strings.Contains(n, "joined likewise, none more than 0.0")
		}
		notes = slices.DeleteFunc(notes, func(n string) bool { return noise > 1e-3 && joined(n) })
		if len(got) != count || len(notes) > 0 {
			t.Fatalf("%d chains of %d outlines, notes %q", len(got), count, notes)
		}
		for _, p := range got {
			loop := loops[int(math.Round(p.Points[0].X/2500))]
			if !p.Closed || len(p.Points) != corners {
				t.Fatalf("closed %v with %d points of %d", p.Closed, len(p.Points), corners)
			}
			if !(math.Abs(math.Abs(flatArea(p.Points))-flatArea(loop)) <= 4*noise*polylineLength(loop, true)+1e-6) {
				t.Fatalf("area %v of %v", flatArea(p.Points), flatArea(loop))
			}
			if !(math.Abs(p.Length-polylineLength(loop, true)) <= 2*noise*float64(corners)+1e-6) {
				t.Fatalf("length %v of %v", p.Length, polylineLength(loop, true))
			}
		}
	})
}

// TestChainKeepsEveryPiece joins random pieces on a coarse grid, where ends meet by the dozen: nothing is
// lost, nothing doubled.
func TestChainKeepsEveryPiece(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var pieces []drawing.Path
		want := 0.0
		seen := map[string]bool{}
		for range rapid.IntRange(0, 60).Draw(t, "pieces") {
			c := rapid.SliceOfN(rapid.IntRange(0, 5), 4, 4).Draw(t, "ends")
			a, b := vec(float64(c[0]), float64(c[1]), 0), vec(float64(c[2]), float64(c[3]), 0)
			key := fmt.Sprint(min(fmt.Sprint(a), fmt.Sprint(b)), max(fmt.Sprint(a), fmt.Sprint(b)))
			pieces = append(pieces, piece(a, b))
			if !seen[key] {
				want += a.Sub(b).Norm()
			}
			seen[key] = true
		}
		length, chords := 0.0, 0.0
		for _, p := range chained(pieces, 0.1) {
			length += p.Length
			chords += polylineLength(p.Points, p.Closed)
		}
		if !(math.Abs(length-want) <= 1e-9) || !(math.Abs(chords-want) <= 1e-9) {
			t.Fatalf("length %v, chords %v, want %v", length, chords, want)
		}
	})
}

func TestChainFarOut(t *testing.T) {
	far := vec(9e11, -9e11, 9e11)
	got := chained([]drawing.Path{piece(far, far.Add(vec(9, 0, 0))), piece(far.Add(vec(9, 9, 0)), far.Add(vec(9, 0, 0)))}, 0.1)
	if len(got) != 1 {
		t.Errorf("%d chains", len(got))
	}
}

func BenchmarkChain10000(b *testing.B) {
	rng := rand.New(rand.NewSource(1))
	pieces := shuffled(rng, stars(rng, 20, 1000), 0.01)
	b.ReportAllocs()
	for b.Loop() {
		if got := chained(pieces, 0.1); len(got) != 20 {
			b.Fatal(len(got))
		}
	}
}
