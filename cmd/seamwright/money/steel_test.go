package money

import (
	"path/filepath"
	"strings"
	"testing"

	"seamwright/cmd/seamwright/program"
	"seamwright/internal/calls"
)

// The lap's plates are 400 x 60 mm: with 10 mm to trim and 15 for the press on every side 450 x 110.
func TestSteelToBuy(t *testing.T) {
	file := calls.Lap(t, "material: [{grade: DC04, thickness_mm: 0.9, price_per_kg: 2}]\n")
	list := filepath.Join(filepath.Dir(file), "steel.csv")
	_, out, notes := seamwright.Call(t, "cost", file, "--steel", list)
	text := string(calls.Read(t, list))
	// 10 x 0.45 x 0.11 m² x 0.9 mm x 7850 kg/m³ = 3.50 kg
	for _, want := range []string{"DC04,0.9,,450,110,10,3.5,", "DC04,0.9,,,,10,3.5,2,6.99,EUR,all,\"± 0.05 mm",
		"DC04,1.2,,,,10,4.66,,,,all,\"± 0.06 mm"} {
		if !strings.Contains(text, want) {
			t.Errorf("no %q in\n%s", want, text)
		}
	}
	if !strings.Contains(notes, "no price is stated for DC04 of 1.2 mm without coating") || strings.Contains(out, "steel.csv") {
		t.Errorf("%s%s", out, notes)
	}
	seamwright.Must(t, program.ExitInput, "cost", file, "--steel", filepath.Join(filepath.Dir(file), "steel.txt"))
}
