package flange_test

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/curve"
	"seamwright/geometry/flange"
	"seamwright/geometry/mesh"
	"seamwright/geometry/space"
)

// shuffled is the same mesh with its vertices, its triangles and each triangle's first corner in another order.
func shuffled(m *mesh.Mesh, rng *rand.Rand) *mesh.Mesh {
	out := &mesh.Mesh{Vertices: make([]r3.Vector, len(m.Vertices)), Triangles: make([][3]int32, len(m.Triangles))}
	to := rng.Perm(len(m.Vertices))
	for v, p := range m.Vertices {
		out.Vertices[to[v]] = p
	}
	for i, t := range rng.Perm(len(m.Triangles)) {
		k := rng.IntN(3)
		for j := range 3 {
			out.Triangles[i][j] = int32(to[m.Triangles[t][(j+k)%3]])
		}
	}
	return out
}

// sheetsFor are the panels that the invariances are tried on.
func sheetsFor(name string) []flange.Sheet {
	rng := rand.New(rand.NewPCG(7, 7))
	switch name {
	case "straight":
		c := straight(60)
		return []flange.Sheet{
			sheetOf("a", sweep(c, flat(8, 1.05, 1, 3), 9, rng), 0.9),
			sheetOf("b", sweep(c, flat(8, 0, -1, 2), 7, rng), 1.2),
		}
	case "plates":
		return []flange.Sheet{sheetOf("outer", plate(0, 0, 120, 60, 1.1), 1), sheetOf("inner", plate(0, 40, 120, 100, 0), 1)}
	case "S":
		c := sCurve(60, 0.8)
		return []flange.Sheet{
			sheetOf("a", sweep(c, flat(8, 1.05, 1, 3), 4, rng), 0.9),
			sheetOf("b", sweep(c, profile{{6, 0}, {0, 0}, {-9, 0}}, 5, rng), 1.2),
		}
	case "ring":
		c := ring(40)
		return []flange.Sheet{
			sheetOf("a", sweep(c, flat(8, 1.05, 1, 3), 4, rng), 0.9),
			sheetOf("b", sweep(c, profile{{6, 0}, {0, 0}, {-9, 0}}, 5, rng), 1.2),
		}
	case "sphere":
		s := sphereSurface(160)
		c := on(s, func(u float64) (float64, float64) { return plans[3].at(u, 90, 60) }, false)
		return []flange.Sheet{sheetOf("a", form(s, c, 8, 1.05, 1, 4, rng), 0.9), sheetOf("b", form(s, c, 8, 0, -1, 5, rng), 1.2)}
	case "helix":
		c := helix(60, 40, 0.4)
		return []flange.Sheet{
			sheetOf("a", sweep(c, flat(8, 1, 1, 3), 3, rng), 1), sheetOf("b", sweep(c, flat(8, 0, -1, 3), 4, rng), 1),
		}
	case "three": // the middle sheet is wider than the flange, the upper one ends half way
		return []flange.Sheet{
			sheetOf("a", plate(0, 0, 61, 16.3, 1.1), 1), sheetOf("b", sweep(straight(120), profile{{30, 0}, {3, 0}, {-20, 0}}, 9, rng), 1),
			sheetOf("c", plate(0, -5, 117, 14, -1.05), 1),
		}
	case "branch":
		return []flange.Sheet{sheetOf("T", tee(150, 70, 16), 1), sheetOf("floor", plate(-120, -60, 130, 140, 1.02), 1)}
	case "notch":
		return []flange.Sheet{sheetOf("a", notched(150, 18, 60, 12, 6), 1), sheetOf("b", plate(-3, -40, 155, 30, 1.02), 1.1)}
	}
	panic("no such panels: " + name)
}

// apart is how far two flanges differ, in mm: their lines as curves, and their measures.
type apart struct{ line, length, width, gap, area float64 }

func differ(f, g flange.Flange, back func(r3.Vector) r3.Vector) apart {
	var at []r3.Vector
	for _, p := range points(g) {
		at = append(at, back(p))
	}
	var d apart
	one, two := curve.New(points(f), f.Closed), curve.New(at, g.Closed)
	for _, p := range at {
		_, far := one.Nearest(p)
		d.line = max(d.line, far)
	}
	for _, p := range points(f) {
		_, far := two.Nearest(p)
		d.line = max(d.line, far)
	}
	d.length = math.Abs(f.Length - g.Length)
	d.width = max(math.Abs(f.Width.Least-g.Width.Least), math.Abs(f.Width.Mean-g.Width.Mean), math.Abs(f.Width.Greatest-g.Width.Greatest))
	d.gap = max(math.Abs(f.Gap.Least-g.Gap.Least), math.Abs(f.Gap.Mean-g.Gap.Mean), math.Abs(f.Gap.Greatest-g.Gap.Greatest))
	d.area = math.Abs(f.Area-g.Area) / f.Length
	return d
}

func (d apart) most() float64 { return max(d.line, d.length, d.width, d.gap, d.area) }

// size is the diagonal of the panels' box.
func size(sheets []flange.Sheet) float64 {
	box := space.EmptyBox()
	for _, s := range sheets {
		for _, v := range s.Mesh.Vertices {
			box = box.Add(v)
		}
	}
	return box.Size().Norm()
}

// Turning and moving the panels, shuffling their triangles and giving them in another order changes no measure and
// no place of the weld line by more than 1e-6 of the panels' size.
func TestFindDoesNotDependOnTheFrame(t *testing.T) {
	names := []string{"straight", "plates", "S", "ring", "sphere", "helix", "three", "branch", "notch"}
	base := map[string][]flange.Flange{}
	for _, name := range names {
		base[name] = find(t, flange.Options{Workers: 1}, sheetsFor(name)...).Flanges
	}
	rapid.Check(t, func(t *rapid.T) {
		name := rapid.SampledFrom(names).Draw(t, "panels")
		angle := rapid.Float64Range(-180, 180)
		p := space.Place{
			Turn: vec(angle.Draw(t, "x"), angle.Draw(t, "y"), angle.Draw(t, "z")),
			Move: vec(angle.Draw(t, "mx")*20, angle.Draw(t, "my")*20, angle.Draw(t, "mz")*20),
		}
		rng := rand.New(rand.NewPCG(rapid.Uint64().Draw(t, "order"), 1))
		sheets := sheetsFor(name)
		for i := range sheets {
			sheets[i].Mesh = shuffled(sheets[i].Mesh, rng).Placed(p)
		}
		rng.Shuffle(len(sheets), func(i, j int) { sheets[i], sheets[j] = sheets[j], sheets[i] })
		found, err := flange.Find(context.Background(), sheets, flange.Options{Workers: 3})
		if err != nil || len(found.Flanges) != len(base[name]) {
			t.Fatalf("%d flanges instead of %d, %v", len(found.Flanges), len(base[name]), err)
		}
		for _, want := range base[name] {
			least := apart{line: math.Inf(1)}
			for _, f := range found.Flanges {
				if d := differ(want, f, backFrom(p)); d.line < least.line {
					least = d
				}
			}
			if limit := 1e-6 * size(sheets); !(least.most() <= limit) {
				t.Fatalf("%s: %+v mm, more than %g", want.ID, least, limit)
			}
		}
	})
}

// backFrom undoes a placement.
func backFrom(p space.Place) func(r3.Vector) r3.Vector {
	apply := func(v r3.Vector) r3.Vector { return (&mesh.Mesh{Vertices: []r3.Vector{v}}).Placed(p).Vertices[0] }
	o := apply(vec(0, 0, 0))
	x, y, z := apply(vec(1, 0, 0)).Sub(o), apply(vec(0, 1, 0)).Sub(o), apply(vec(0, 0, 1)).Sub(o)
	return func(v r3.Vector) r3.Vector {
		d := v.Sub(o)
		return vec(d.Dot(x), d.Dot(y), d.Dot(z))
	}
}

// rectangles is a mesh of the cells of a grid, x by y, that inside says yes to.
func rectangles(xs, ys []float64, inside func(x, y float64) bool) *mesh.Mesh {
	m := &mesh.Mesh{}
	for _, x := range xs {
		for _, y := range ys {
			m.Vertices = append(m.Vertices, vec(x, y, 0))
		}
	}
	n := int32(len(ys))
	for i := range int32(len(xs) - 1) {
		for j := range n - 1 {
			if a := i*n + j; inside((xs[i]+xs[i+1])/2, (ys[j]+ys[j+1])/2) {
				m.Triangles = append(m.Triangles, [3]int32{a, a + n, a + n + 1}, [3]int32{a, a + n + 1, a + 1})
			}
		}
	}
	return m
}

// tee is a bar along x of a length and a width, centred on the origin, with a leg of the same width along y.
func tee(bar, leg, width float64) *mesh.Mesh {
	h := width / 2
	return rectangles([]float64{-bar / 2, -h, h, bar / 2}, []float64{-h, h, leg}, func(x, y float64) bool { return math.Abs(x) < h || y < h })
}

// notched is a strip along x from the origin with a notch out of its upper side from x = at.
func notched(length, width, at, wide, deep float64) *mesh.Mesh {
	return rectangles([]float64{0, at, at + wide, length}, []float64{0, width - deep, width}, func(x, y float64) bool {
		return x < at || x > at+wide || y < width-deep
	})
}
