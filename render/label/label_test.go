package label_test

import (
	"fmt"
	"math"
	"testing"

	"pgregory.net/rapid"

	"seamwright/render/label"
	"seamwright/render/paper"
)

func ExamplePlacer() {
	at := paper.Point{X: 40, Y: 60}
	q := label.New(paper.Box{X1: 200, Y1: 150})
	q.Weld(at, 0.9)
	number := &label.Label{W: 4, H: 3, Number: true, Reach: label.Farthest, Targets: []label.Mark{{At: at, R: 0.9}}}
	q.PlaceAll([]*label.Label{number})
	fmt.Println(number.Done, number.Place.HasLeader(), number.Place.Box.Overlaps(paper.Box{X0: 39, Y0: 59, X1: 41, Y1: 61}))
	// Output: true false false
}

// cut reports whether a segment comes into a box, by going along it.
func cut(a, b paper.Point, box paper.Box) bool {
	const n = 2000
	for k := 1; k < n; k++ {
		p := a.Add(b.Sub(a).Mul(float64(k) / n))
		if p.X > box.X0 && p.X < box.X1 && p.Y > box.Y0 && p.Y < box.Y1 {
			return true
		}
	}
	return false
}

// Wherever welds lie and whatever labels there are: those that found a place are in the cell and lie on no other, no mark, no reserved box
// and no leader; a number without a leader is nearer to its own mark than to any other, by a millimetre.
func TestAnyLabels(t *testing.T) {
	placed := 0
	rapid.Check(t, func(t *rapid.T) {
		cell := paper.Box{X0: 10, Y0: 10, X1: 130, Y1: 100}
		q := label.New(cell)
		reserved := paper.Box{X0: 20, Y0: 85, X1: 80, Y1: 98}
		q.Reserve(reserved)
		place := func(name string) paper.Point {
			return paper.Point{X: rapid.Float64Range(15, 125).Draw(t, name+" x"), Y: rapid.Float64Range(15, 80).Draw(t, name+" y")}
		}
		var marks []label.Mark
		for i := range rapid.IntRange(1, 25).Draw(t, "welds") {
			m := label.Mark{At: place(fmt.Sprint("weld ", i)), R: rapid.SampledFrom([]float64{0.9, 1.5, 2}).Draw(t, "radius"), Weld: true}
			marks = append(marks, m)
			q.Weld(m.At, m.R)
		}
		q.InkLine([]paper.Point{place("from"), place("to")}, 2)
		var numbers, callouts []*label.Label
		for i, m := range marks {
			one := []label.Mark{m}
			if i%5 == 0 {
				callouts = append(callouts, &label.Label{W: 24, H: 11.4, Line: 5.2, Ends: true, Must: true, Reach: label.Farthest, Targets: one})
			} else {
				numbers = append(numbers, &label.Label{W: 4, H: 3, Number: true, Keen: i%2 == 0, Reach: 16, Targets: one})
			}
		}
		q.PlaceAll(numbers)
		q.PlaceAll(callouts)
		q.Improve(callouts)
		var done []*label.Label
		for _, l := range append(numbers, callouts...) {
			if l.Done {
				done = append(done, l)
			}
		}
		placed += len(done)
		for i, l := range done {
			p := l.Place
			if !cell.Holds(p.Box) || p.Box.Overlaps(reserved) {
				t.Fatalf("%v leaves its cell or lies on what is reserved", p.Box)
			}
			for k, o := range done {
				if i != k && (p.Box.Overlaps(o.Place.Box) || o.Place.HasLeader() && cut(o.Place.From, o.Place.To, p.Box)) {
					t.Fatalf("%v lies on %v or its leader", p.Box, o.Place)
				}
			}
			own := label.Away(p.Target.At, p.Box) - p.Target.R
			for _, m := range marks {
				d := label.Away(m.At, p.Box) - m.R
				if d < 0 {
					t.Fatalf("%v covers the mark at %v", p.Box, m.At)
				}
				if l.Number && !p.HasLeader() && m.At != p.Target.At && d < own+1 {
					t.Fatalf("a number is %.2f mm from its mark and %.2f mm from another", own, d)
				}
			}
			if p.HasLeader() && !(math.Abs(p.To.Sub(p.Target.At).Norm()-p.Target.R) <= 1e-6) {
				t.Fatalf("a leader ends %.3f mm from the middle of a mark of %.1f mm", p.To.Sub(p.Target.At).Norm(), p.Target.R)
			}
		}
	})
	if placed == 0 {
		t.Error("no label found a place")
	}
}
