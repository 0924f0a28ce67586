package paper

import (
	"math"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// The longest words on what a plan may be used for, in the narrowest of fields for them.
const standing = "demonstration, 10000 rules broken, invented data"

// Of any row of fields the sum of the widths stays, no field is narrower than its name, and what must be read is read in full where
// there is room for it beside the other fields' names.
func TestAnyFields(t *testing.T) {
	words := []string{"", "A", "Tarn Cabs", "body without roof", strings.Repeat("name-", 40), standing}
	rapid.Check(t, func(t *rapid.T) {
		var fields []Field
		sum, least := 0.0, 0.0
		must := rapid.IntRange(0, 3).Draw(t, "must")
		for i, name := range []string{"Legal owner", "Document type", "Status", "Paper"} {
			f := NewField(name, rapid.SampledFrom(words).Draw(t, name), 26+rapid.Float64Range(0, 40).Draw(t, "width"))
			if i == must {
				f = f.Whole()
			}
			fields = append(fields, f)
			nameWide, all := f.needs()
			sum += f.Width
			if f.Must {
				least += all
			} else {
				least += nameWide
			}
		}
		widths := fieldWidths(fields)
		got := 0.0
		for i, w := range widths {
			got += w
			nameWide, all := fields[i].needs()
			if w < nameWide-1e-9 && w < fields[i].Width-1e-9 {
				t.Errorf("%s is %.1f mm wide, its name takes %.1f", fields[i].Name, w, nameWide)
			}
			if fields[i].Must && least <= sum && w < all-1e-9 {
				t.Errorf("%q has %.1f of %.1f mm, though there is room", fields[i].Value, w, all)
			}
		}
		if !(math.Abs(got-sum) <= 1e-9) {
			t.Errorf("%.3f mm wide, stated %.3f", got, sum)
		}
	})
}

// Where all values find room, the fields are as wide as stated.
func TestFieldsAsStated(t *testing.T) {
	fields := []Field{NewField("Title", "Tarn orchard-tractor cab", 92), NewField("Status", "draft, not approved", 60).Whole()}
	for i, w := range fieldWidths(fields) {
		if w != fields[i].Width {
			t.Errorf("%s: %v mm, stated %v", fields[i].Name, w, fields[i].Width)
		}
	}
}
