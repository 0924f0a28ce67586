package space_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/golang/geo/r3"
	"pgregory.net/rapid"

	"seamwright/geometry/space"
)

func vec(x, y, z float64) r3.Vector { return r3.Vector{X: x, Y: y, Z: z} }

func TestPlaceTurnsInOrder(t *testing.T) {
	tests := []struct {
		name  string
		place space.Place
		from  r3.Vector
		want  r3.Vector
	}{
		{"zero value", space.Place{}, vec(1, 2, 3), vec(1, 2, 3)},
		{"move", space.Place{Move: vec(10, 20, 30)}, vec(1, 2, 3), vec(11, 22, 33)},
		{"mirror", space.Place{Mirror: true}, vec(1, 2, 3), vec(1, -2, 3)},
		{"about x, y goes to z", space.Place{Turn: vec(90, 0, 0)}, vec(0, 1, 0), vec(0, 0, 1)},
		{"about y, z goes to x", space.Place{Turn: vec(0, 90, 0)}, vec(0, 0, 1), vec(1, 0, 0)},
		{"about z, x goes to y", space.Place{Turn: vec(0, 0, 90)}, vec(1, 0, 0), vec(0, 1, 0)},
		{"x before z", space.Place{Turn: vec(90, 0, 90)}, vec(0, 0, 1), vec(1, 0, 0)},
		{"x before y", space.Place{Turn: vec(90, 90, 0)}, vec(0, 1, 0), vec(1, 0, 0)},
		{"y before z", space.Place{Turn: vec(0, 90, 90)}, vec(0, 0, 1), vec(0, 1, 0)},
		{"mirror before turn", space.Place{Mirror: true, Turn: vec(0, 0, 90)}, vec(0, 1, 0), vec(1, 0, 0)},
		{"turn before move", space.Place{Turn: vec(0, 0, 90), Move: vec(5, 0, 0)}, vec(1, 0, 0), vec(5, 1, 0)},
		{"half turn", space.Place{Turn: vec(0, 0, 180)}, vec(1, 2, 3), vec(-1, -2, 3)},
		{"three quarters", space.Place{Turn: vec(0, 0, 270)}, vec(1, 2, 3), vec(2, -1, 3)},
		{"a quarter back", space.Place{Turn: vec(0, 0, -90)}, vec(1, 2, 3), vec(2, -1, 3)},
		{"once round and a quarter", space.Place{Turn: vec(0, 0, 450)}, vec(1, 2, 3), vec(-2, 1, 3)},
	}
	for _, test := range tests {
		t.Run(test.name, func(t *testing.T) {
			got := test.place.Apply(test.from)
			if got != test.want {
				t.Errorf("%v goes to %v, want exactly %v", test.from, got, test.want)
			}
			for _, x := range []float64{got.X, got.Y, got.Z} {
				if x == 0 && math.Signbit(x) {
					t.Errorf("minus zero in %v", got)
				}
			}
		})
	}
}

func TestPlaceThirtyDegrees(t *testing.T) {
	got := space.Place{Turn: vec(0, 0, 30)}.Apply(vec(2, 0, 0))
	if want := vec(math.Sqrt(3), 1, 0); !(got.Sub(want).Norm() <= 1e-15) {
		t.Errorf("got %v, want %v", got, want)
	}
}

// A placement is checked against the product of the three turning matrices, written out on its own.
func TestPlaceAgreesWithMatrices(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		angle := rapid.Float64Range(-720, 720)
		length := rapid.Float64Range(-5000, 5000)
		p := space.Place{
			Mirror: rapid.Bool().Draw(t, "mirror"),
			Turn:   vec(angle.Draw(t, "a"), angle.Draw(t, "b"), angle.Draw(t, "c")),
			Move:   vec(length.Draw(t, "x"), length.Draw(t, "y"), length.Draw(t, "z")),
		}
		v, w := vec(length.Draw(t, "vx"), length.Draw(t, "vy"), length.Draw(t, "vz")), vec(1, 2, 3)
		a, b, c := p.Turn.X*math.Pi/180, p.Turn.Y*math.Pi/180, p.Turn.Z*math.Pi/180
		u := v
		if p.Mirror {
			u.Y = -u.Y
		}
		u = vec(u.X, u.Y*math.Cos(a)-u.Z*math.Sin(a), u.Y*math.Sin(a)+u.Z*math.Cos(a))
		u = vec(u.X*math.Cos(b)+u.Z*math.Sin(b), u.Y, -u.X*math.Sin(b)+u.Z*math.Cos(b))
		u = vec(u.X*math.Cos(c)-u.Y*math.Sin(c), u.X*math.Sin(c)+u.Y*math.Cos(c), u.Z).Add(p.Move)
		got := p.Apply(v)
		if d := got.Sub(u).Norm(); d > 1e-8 {
			t.Fatalf("%v: %v goes to %v, matrices give %v", p, v, got, u)
		}
		if d := math.Abs(p.Apply(w).Sub(got).Norm() - w.Sub(v).Norm()); d > 1e-8 {
			t.Fatalf("%v changes a distance by %g", p, d)
		}
		if d := p.Apply(v).Sub(p.Rotate(v)).Sub(p.Move).Norm(); d > 1e-8 {
			t.Fatalf("Apply and Rotate differ by more than the move: %g", d)
		}
	})
}

func TestUnits(t *testing.T) {
	tests := []struct {
		name string
		unit space.Unit
		mm   float64
	}{
		{"", space.Unstated, 1}, {"mm", space.Millimetre, 1}, {" MM ", space.Millimetre, 1}, {"cm", space.Centimetre, 10},
		{"m", space.Metre, 1000}, {"inch", space.Inch, 25.4}, {"in", space.Inch, 25.4}, {"Inch", space.Inch, 25.4},
		{"foot", space.Foot, 304.8}, {"ft", space.Foot, 304.8},
	}
	for _, test := range tests {
		unit, err := space.ParseUnit(test.name)
		if err != nil || unit != test.unit || unit.Millimetres() != test.mm {
			t.Errorf("%q: unit %q of %g mm, error %v; want %q of %g mm", test.name, unit, unit.Millimetres(), err, test.unit, test.mm)
		}
	}
	for _, name := range []string{"furlong", "mm2", "millimetre s", "\""} {
		if unit, err := space.ParseUnit(name); err == nil || unit != space.Unstated {
			t.Errorf("%q is taken as %q", name, unit)
		}
	}
}

func TestBoxZeroAndEmptyAreDifferent(t *testing.T) {
	var zero space.Box
	if zero.IsEmpty() || zero.Distance2(r3.Vector{}) != 0 || zero.Add(vec(1, 2, 3)).Size() != vec(1, 2, 3) {
		t.Error("the zero box does not hold the origin alone")
	}
	empty := space.EmptyBox()
	if !empty.IsEmpty() || empty.Size() != (r3.Vector{}) || empty.Overlaps(zero) || zero.Overlaps(empty) {
		t.Error("the empty box holds something")
	}
	if got := empty.Add(vec(1, 2, 3)); got != (space.Box{Min: vec(1, 2, 3), Max: vec(1, 2, 3)}) || got.IsEmpty() {
		t.Errorf("one point's box is %v", got)
	}
	if got := empty.Union(zero); got != zero {
		t.Errorf("empty and zero together are %v", got)
	}
	if !math.IsInf(empty.Distance2(r3.Vector{}), 1) {
		t.Error("the empty box is near")
	}
	if !empty.Grow(10).IsEmpty() {
		t.Error("an empty box grows into something")
	}
	if c := empty.Center(); !math.IsNaN(c.X) {
		t.Errorf("the empty box has a middle %v", c)
	}
}

func TestBoxDistanceAndOverlap(t *testing.T) {
	box := space.Box{Min: vec(0, 0, 0), Max: vec(10, 20, 30)}
	tests := []struct {
		p    r3.Vector
		want float64
	}{
		{vec(5, 5, 5), 0}, {vec(10, 20, 30), 0}, {vec(13, 5, 5), 9}, {vec(-3, -4, 5), 25}, {vec(11, 22, 32), 9},
	}
	for _, test := range tests {
		if got := box.Distance2(test.p); got != test.want {
			t.Errorf("%v is %g mm² away, want %g", test.p, got, test.want)
		}
	}
	if touching := (space.Box{Min: vec(10, 20, 30), Max: vec(11, 21, 31)}); !box.Overlaps(touching) {
		t.Error("boxes that touch at a corner do not overlap")
	}
	if apart := (space.Box{Min: vec(10.1, 0, 0), Max: vec(11, 21, 31)}); box.Overlaps(apart) || !box.Grow(0.1).Overlaps(apart) {
		t.Error("boxes 0.1 mm apart overlap before they grow, or do not after")
	}
	if box.Center() != vec(5, 10, 15) || box.Size() != vec(10, 20, 30) {
		t.Errorf("middle %v, size %v", box.Center(), box.Size())
	}
}

func ExamplePlace() {
	// The right-hand door from the left-hand one, turned to stand in its jig.
	p := space.Place{Mirror: true, Turn: r3.Vector{Z: 90}, Move: r3.Vector{X: 1200}}
	v := p.Apply(r3.Vector{X: 100, Y: 700, Z: 5})
	fmt.Println(v.X, v.Y, v.Z)
	// Output: 1900 100 5
}

func ExampleParseUnit() {
	unit, err := space.ParseUnit("inch")
	fmt.Println(unit, unit.Millimetres(), err)
	_, err = space.ParseUnit("furlong")
	fmt.Println(err)
	// Output:
	// inch 25.4 <nil>
	// unit "furlong" is not known: write mm, cm, m, inch or foot
}
