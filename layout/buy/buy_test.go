package buy

import (
	"fmt"
	"math"
	"reflect"
	"testing"

	"pgregory.net/rapid"

	"seamwright/geometry/blank"
	"seamwright/seams/steel"
)

func ExampleList() {
	list, err := List([]Blank{
		{"roof", "DC05", 0.8, "", blank.Size{Length: 1390.4, Width: 1090.2}},
	}, Terms{Batch: 24, Trim: 10, Press: 15, Prices: []Price{{"DC05", 0.8, "", 1.2}}})
	if err != nil {
		fmt.Println(err)
		return
	}
	s := list[0]
	fmt.Printf("%d of %.0f x %.0f, %.1f kg, %.2f\n%s\n", s.Pieces, s.Cuts[0].Length, s.Cuts[0].Width, s.Mass, s.Cost, s.Tolerance)
	// Output:
	// 24 of 1441 x 1141, 247.8 kg, 297.37
	// ± 0.04 mm, special ± 0.03 mm (EN 10131:2006 Table 1, read)
}

func TestList(t *testing.T) {
	blanks := []Blank{
		{"b", "DC04", 1, "", blank.Size{Length: 300, Width: 200}},
		{"a-l", "DC01", 1.2, "", blank.Size{Length: 500, Width: 100}},
		{"zinc", "DX54D+Z", 1, "Z100", blank.Size{Length: 300, Width: 200}},
		{"a-r", "DC01", 1.2, "", blank.Size{Length: 500, Width: 100}},
		{"c", "DC04", 1, "", blank.Size{Length: 400, Width: 100}},
	}
	got, err := List(blanks, Terms{Batch: 2, Prices: []Price{{"1.0338", 1, "", 0.25}}})
	if err != nil {
		t.Fatal(err)
	}
	if len(got) != 3 || got[0].Grade != "DC01" || got[1].Grade != "DC04" || got[2].Coating != "Z100" {
		t.Fatalf("%+v", got)
	}
	if c := got[0].Cuts; len(c) != 1 || c[0].Pieces != 4 || !reflect.DeepEqual(c[0].Panels, []string{"a-l", "a-r"}) {
		t.Errorf("twins share a size: %+v", c)
	}
	if c := got[1].Cuts; c[0].Length != 400 || c[1].Length != 300 || got[1].Pieces != 4 {
		t.Errorf("longest first: %+v", c)
	}
	// 2 x (0.3 x 0.2 + 0.4 x 0.1) m² x 1 mm x 7850 kg/m³ = 1.57 kg
	if !(math.Abs(got[1].Mass-1.57) <= 1e-9) || got[1].Cost != 0.39 || got[0].PerKilo != 0 || got[0].Cost != 0 {
		t.Errorf("%+v", got[1])
	}
	if got[2].Tolerance != "not known here: ask the supplier" {
		t.Errorf("zinc: %s", got[2].Tolerance)
	}
}

func TestNoList(t *testing.T) {
	for _, c := range []struct {
		b    []Blank
		n    int
		want string
	}{
		{nil, 0, "steel to buy: a batch of 0 shells needs none"},
		{[]Blank{{"roof", "DC04", 1, "", blank.Size{}}}, 1, "steel to buy: panel roof: a blank of 0 x 0 x 1 mm is none: look at its mesh"},
	} {
		if _, err := List(c.b, Terms{Batch: c.n}); err == nil || err.Error() != c.want {
			t.Errorf("got %v, want %s", err, c.want)
		}
	}
}

// What is bought is what the blanks weigh, whatever order they come in.
func TestMass(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var blanks []Blank
		want := 0.0
		terms := Terms{Batch: rapid.IntRange(1, 50).Draw(t, "batch"), Trim: float64(rapid.IntRange(0, 20).Draw(t, "trim"))}
		for i := range rapid.IntRange(1, 12).Draw(t, "n") {
			b := Blank{Panel: fmt.Sprint(i), Grade: rapid.SampledFrom(steel.Grades()).Draw(t, "grade").Name,
				Thickness: float64(rapid.IntRange(6, 20).Draw(t, "t")) / 10,
				Size: blank.Size{Length: float64(rapid.IntRange(100, 2000).Draw(t, "l")),
					Width: float64(rapid.IntRange(50, 100).Draw(t, "w"))}}
			want += (b.Size.Length + 2*terms.Trim) * (b.Size.Width + 2*terms.Trim) * b.Thickness / 1e9 * 7850 * float64(terms.Batch)
			blanks = append(blanks, b)
		}
		list, err := List(blanks, terms)
		if err != nil {
			t.Fatal(err)
		}
		got, pieces := 0.0, 0
		for _, s := range list {
			got, pieces = got+s.Mass, pieces+s.Pieces
		}
		if !(math.Abs(got-want) <= 1e-9*want) || pieces != len(blanks)*terms.Batch {
			t.Fatalf("%g kg in %d pieces, want %g in %d", got, pieces, want, len(blanks)*terms.Batch)
		}
	})
}
