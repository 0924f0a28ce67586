package buy

import (
	"fmt"

	"seamwright/geometry/blank"
	"seamwright/layout"
	"seamwright/seams/shell"
)

// bare is the shell file's word for sheet without a coating.
const bare = "none"

// Of lists the steel for a batch of the shell by the plan's panels, and says what is missing in the list or doubtful. It fails on a
// batch below one.
func Of(p *layout.Plan, sh *shell.Shell) (list []layout.Sheet, notes []string, err error) {
	blanks, notes := blanksOf(p)
	list, err = List(blanks, TermsOf(sh))
	if list == nil {
		list = []layout.Sheet{}
	}
	return list, notes, err
}

// TermsOf are those of a shell file.
func TermsOf(sh *shell.Shell) Terms {
	t := Terms{Batch: sh.Batch, Trim: sh.Allowances.Trim, Press: sh.Allowances.Press}
	for _, m := range sh.Material {
		t.Prices = append(t.Prices, Price{Grade: m.Grade, Thickness: m.Thickness, Coating: uncoated(m.Coating), PerKilo: m.PerKilo})
	}
	return t
}

// Listed reports whether a panel is in the list: its blank could be measured.
func Listed(p layout.Panel) bool { return p.Blank[1] > 0 }

// blanksOf are the plan's panels as blanks.
func blanksOf(p *layout.Plan) (blanks []Blank, notes []string) {
	for _, v := range p.Panels {
		size := blank.Size{Length: v.Blank[0], Width: v.Blank[1]}
		if !Listed(v) {
			notes = append(notes, fmt.Sprintf("steel to buy: panel %s is not in the list, as no blank could be measured: look at its mesh", v.ID))
			continue
		}
		grade := v.Grade
		if grade == "" {
			grade = v.Steel
			notes = append(notes, fmt.Sprintf("steel to buy: panel %s: steel %s has no grade: state it in steels", v.ID, v.Steel))
		}
		blanks = append(blanks, Blank{Panel: v.ID, Grade: grade, Thickness: v.Thickness, Coating: uncoated(v.Coating), Size: size})
	}
	return blanks, notes
}

func uncoated(coating string) string {
	if coating == bare {
		return ""
	}
	return coating
}
