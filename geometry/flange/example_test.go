package flange_test

import (
	"context"
	"fmt"

	"seamwright/geometry/flange"
)

// Two sheets of 1 mm lap by 18 mm, their mid-surfaces 1.2 mm apart; a third passes 5 mm above one of them.
func ExampleFind() {
	sheets := []flange.Sheet{
		{Name: "door", Mesh: plate(0, 0, 200, 60, 0), Thickness: 1},
		{Name: "sill", Mesh: plate(0, 42, 200, 100, 1.2), Thickness: 1},
		{Name: "shelf", Mesh: plate(20, 70, 180, 90, 6.2), Thickness: 1},
	}
	found, err := flange.Find(context.Background(), sheets, flange.Options{})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, f := range found.Flanges {
		fmt.Printf("%s: %s on %s, %.0f mm long, %.1f mm wide, %.1f mm of air\n", f.ID, sheets[f.Sheets[0]].Name, sheets[f.Sheets[1]].Name,
			f.Length, f.Width.Least, f.Gap.Greatest)
		amid := f.Line[len(f.Line)/2]
		fmt.Printf("its line passes %.1f, %.1f mm from a %s on the left\n", amid.Point, amid.Left, amid.LeftEdge)
	}
	for _, n := range found.Near {
		fmt.Printf("%s and %s face each other, their meshes %.1f mm apart\n", sheets[n.Sheets[0]].Name, sheets[n.Sheets[1]].Name, n.Distance)
	}
	// Output:
	// f1: door on sill, 200 mm long, 18.0 mm wide, 0.2 mm of air
	// its line passes {100.0 51.0 0.6}, 9.0 mm from a free edge on the left
	// sill and shelf face each other, their meshes 5.0 mm apart
}
