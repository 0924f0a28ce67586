package buy

import (
	"fmt"

	"seamwright/geometry/blank"
	"seamwright/geometry/flange"
	"seamwright/seams/parts"
	"seamwright/seams/shell"
	"seamwright/seams/steel"
)

// bare is the shell file's word for sheet without a coating.
const bare = "none"

// Of lists the steel for a batch of the shell from its panels, as they were read. It fails on a panel whose steel has no known
// grade, as well as where List does.
func Of(sh *shell.Shell, loaded []parts.Part) ([]Sheet, error) {
	t := Terms{Batch: sh.Batch, Trim: sh.Allowances.Trim, Press: sh.Allowances.Press}
	for _, m := range sh.Material {
		t.Prices = append(t.Prices, Price{Grade: m.Grade, Thickness: m.Thickness, Coating: uncoated(m.Coating), PerKilo: m.PerKilo})
	}
	var blanks []Blank
	for _, p := range loaded {
		grade, ok := steel.FindGrade(p.Steel.Grade)
		if !ok {
			return nil, fmt.Errorf("steel to buy: panel %s: steel %s has no grade: name one, such as %s", p.Panel.ID, p.Steel.ID,
				steel.NearestGrade(p.Steel.Grade))
		}
		skins := 1
		if p.Sheet.Surface == flange.Solid {
			skins = 2
		}
		blanks = append(blanks, Blank{Panel: p.Panel.ID, Grade: grade, Thickness: p.Steel.Thickness, Coating: uncoated(p.Steel.Coating),
			Size: blank.Of(p.Sheet.Mesh, skins)})
	}
	return List(blanks, t)
}

func uncoated(coating string) string {
	if coating == bare {
		return ""
	}
	return coating
}
