package shellfile

import (
	"fmt"
	"math"
	"strings"

	"seamwright/seams/shell"
	"seamwright/seams/steel"
)

// checkSheets looks after steels and panels, and fills strengths in from the grades.
func (r *reading) checkSheets() {
	for i := range r.sh.Steels {
		r.checkSteel(i)
	}
	for i := range r.sh.Panels {
		r.checkPanel(i)
	}
	r.sh.Unit = shell.PlainUnit(r.sh.Unit)
	for i := range r.sh.Joints {
		w := &r.sh.Joints[i].WeldLine
		w.Unit = shell.PlainUnit(w.Unit)
		if w.File == "" && *w != (shell.WeldLine{}) {
			r.at(shell.PlaceOf("joints", i, "weld_line"), "the weld line names no file", "add file, or take weld_line out so that the line is found")
		}
	}
}

func (r *reading) checkSteel(i int) {
	s := &r.sh.Steels[i]
	place := func(key string) string { return shell.PlaceOf("steels", i, key) }
	grade, known := steel.FindGrade(s.Grade)
	switch {
	case known:
		s.Grade = grade.Name
	case s.Grade == "" && s.Tensile == 0:
		r.at(place("grade"), "neither grade nor tensile_mpa is given", "write grade: DC04, or the grade that it is")
	case s.Tensile == 0:
		r.at(place("grade"), "the grade "+quote(s.Grade)+" is not known and has no tensile_mpa",
			"add tensile_mpa; the nearest known grade is "+steel.NearestGrade(s.Grade))
	}
	if s.Tensile == 0 {
		s.Tensile = grade.Tensile
	}
	if s.Yield == 0 && known {
		s.Yield = math.Min(grade.Yield, s.Tensile)
	}
	if s.Yield == 0 {
		r.note("steels: %s: no yield stress is known; yield_mpa states it", s.ID)
	}
	if s.Yield > s.Tensile && s.Tensile > 0 {
		r.at(place("yield_mpa"), fmt.Sprintf("the yield stress %g MPa is above the tensile strength %g MPa", s.Yield, s.Tensile), "check both")
	}
	r.checkCoating(i, grade)
}

func (r *reading) checkCoating(i int, grade steel.Grade) {
	s := &r.sh.Steels[i]
	place := shell.PlaceOf("steels", i, "coating")
	zinc, known := steel.FindCoating(s.Coating)
	switch {
	case !known:
		var names []string
		for _, c := range steel.Coatings() {
			names = append(names, c.Designation)
		}
		r.at(place, quote(s.Coating)+" is none of the coatings none, "+strings.Join(names,
			", ")+", and has not the form of ZF100, ZE25/25 or ZN25/25",
			"the nearest is "+steel.NearestCoating(s.Coating))
	case zinc.Designation == "" && grade.Zinc:
		r.at(place, "the grade "+grade.Name+" is zinc-coated, but no coating is given", "write the one ordered, such as coating: Z100")
	case zinc.Designation == "":
		s.Coating = steel.None
	default:
		s.Coating = zinc.Designation
		electrolytic := strings.HasPrefix(s.Coating, "ZE") || strings.HasPrefix(s.Coating, "ZN") // put on bare grades
		if grade.Name != "" && !grade.Zinc && !electrolytic {
			r.note("steels: %s: %s is a grade without coating, yet %s is given; zinc counts", s.ID, grade.Name, s.Coating)
		}
	}
}

func (r *reading) checkPanel(i int) {
	p := &r.sh.Panels[i]
	p.Unit = shell.PlainUnit(p.Unit)
	switch {
	case p.Mesh == "" && p.Outline == "":
		r.at(shell.PlaceOf("panels", i, "mesh"), "neither mesh nor outline is given",
			"name the panel's STL file, or the DXF or CSV file of its blank")
	case p.Mesh != "" && p.Outline != "":
		r.at(shell.PlaceOf("panels", i, "outline"), "both mesh and outline are given", "keep the one that draws the panel")
	case p.Mesh != "" && len(p.Layers) > 0:
		r.at(shell.PlaceOf("panels", i, "layers"), "a mesh has no layers", "take layers out, or name an outline")
	}
	if p.Outline != "" && p.Surface == "solid" {
		r.at(shell.PlaceOf("panels", i, "surface"), "an outline is filled as one flat sheet and cannot be solid", "write mid or skin")
	}
	if p.Skin != "" && p.Surface != "skin" {
		r.at(shell.PlaceOf("panels", i, "skin"), "the mesh is no skin", "write surface: skin beside it, or take skin out")
	}
	if p.Steel == "" && len(r.sh.Steels) > 1 {
		r.at(shell.PlaceOf("panels", i, "steel"), "missing: id of the steel", "write one of "+r.some(r.ids("steels")))
	}
	seen := map[string]bool{}
	for j, l := range p.Layers {
		if seen[l.Layer] {
			r.at(fmt.Sprintf("panels[%d].layers[%d].layer", i, j), quote(l.Layer)+" is given twice", "keep one role for a layer")
		}
		seen[l.Layer] = true
	}
}
