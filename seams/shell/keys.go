package shell

import (
	"fmt"
	"strings"
)

// Key describes one key of the shell file: what it means, what may stand in it, and what stands in for it when it
// is left out. Reading a shell file uses this table for every check and default; KEYS.md is made from it.
type Key struct {
	Name     string // dotted; [] behind a list: stations[].clamps[].radius_mm
	Meaning  string
	Unit     string // of a number; empty for counts and text
	Required bool   // where the table around it is given
	Default  any    // string, int or float64; nil: nothing stands in
	Least    float64
	Greatest float64 // with Least the bounds of a number: plausibility, common practice, no source
	OrZero   bool    // zero may be given as well, and means what Meaning says
	Words    []string
	Source   string // of Default
}

const (
	Practice = "common practice, no source"
	Choice   = "choice of this program"
	far      = 100_000.0 // mm: coordinates within 100 m of the origin
)

// Keys lists every key that holds a value, in the order of the Shell type.
func Keys() []Key {
	var all []Key
	for _, part := range [][]Key{shellKeys(), sheetKeys(), stationKeys(), jointKeys(), demandKeys(), gearKeys(), ruleKeys(), moneyKeys(),
		elementKeys(), spreadKeys(), offerKeys()} {
		all = append(all, part...)
	}
	return all
}

// KeysByName is Keys for looking up.
func KeysByName() map[string]Key {
	m := map[string]Key{}
	for _, k := range Keys() {
		m[k.Name] = k
	}
	return m
}

// MayBe says in words what a value may be; empty: any text.
func (k Key) MayBe() string {
	switch {
	case len(k.Words) > 0:
		return strings.Join(k.Words, ", ")
	case k.Least != k.Greatest:
		s := strings.TrimSpace(fmt.Sprintf("%g to %g %s", k.Least, k.Greatest, k.Unit))
		if k.OrZero {
			s = "0, " + s
		}
		return s
	}
	return ""
}

// LeftOut says what stands in where the key is left out; empty: nothing does.
func (k Key) LeftOut() string {
	switch {
	case k.Required:
		return "must be given"
	case k.Default == nil:
		return ""
	}
	return strings.TrimSpace(fmt.Sprintf("%v %s", k.Default, k.Unit))
}

// units are the names that the unit keys take.
func units() []string { return []string{"mm", "cm", "m", "inch", "foot"} }

func shellKeys() []Key {
	return []Key{
		{Name: "name", Meaning: "name of the shell", Required: true},
		{Name: "number", Meaning: "identification number of the map set (ISO 7200)"},
		{Name: "revision", Meaning: "letter or number of the revision (ISO 7200)"},
		{Name: "batch", Meaning: "shells in one batch", Default: 1, Least: 1, Greatest: 100_000, Source: Choice},
		{Name: "people", Meaning: "people who are there on one shift and go from jig to jig as whole crews; 0: each jig has a crew of its own",
			Least: 0, Greatest: 10_000},
		{Name: "shifts", Meaning: "shifts a day, each of rates.hours_per_week", Default: 1, Least: 1, Greatest: 4, Source: Choice},
		{Name: "owner", Meaning: "legal owner in the title block (ISO 7200)"},
		{Name: "creator", Meaning: "who made the maps"},
		{Name: "approver", Meaning: "who approved them"},
		{Name: "status", Meaning: "what the plan may be used for: draft and demonstration are marked so on every sheet; approved wants an " +
			"approver, " +
			"a revision and no broken rule that is not waived", Default: "draft", Words: []string{"draft", "approved", "demonstration"},
			Source: Choice},
		{Name: "issued", Meaning: "date of issue, as text in quotes; never filled in by the program"},
		{Name: "unit", Meaning: "unit of mesh and outline files unless a panel says otherwise; left out: as the file says", Words: units()},
		{Name: "gap_limit_mm", Meaning: "air between two sheets that still counts as good fit-up; 0: the rule book's", Unit: "mm", Least: 0.01,
			Greatest: 5, OrZero: true},
	}
}

func sheetKeys() []Key {
	return append([]Key{
		{Name: "steels[].id", Meaning: "name within this file", Required: true},
		{Name: "steels[].grade", Meaning: "grade after EN 10130 or EN 10346, such as DC04 or DX54D+Z"},
		{Name: "steels[].thickness_mm", Meaning: "nominal thickness of one sheet", Unit: "mm", Required: true, Least: 0.1, Greatest: 10},
		{Name: "steels[].coating", Meaning: "none, or a designation such as Z100 or ZF100 (EN 10346), ZE25/25 (EN 10152) or ZN25/25",
			Default: "none", Source: Choice},
		{Name: "steels[].tensile_mpa", Meaning: "tensile strength; 0: the grade's least value", Unit: "MPa", Least: 100, Greatest: 2000,
			OrZero: true},
		{Name: "steels[].yield_mpa", Meaning: "yield stress; 0: the grade's design lower limit", Unit: "MPa", Least: 50, Greatest: 2000,
			OrZero: true},

		{Name: "panels[].id", Meaning: "name within this file and on maps", Required: true},
		{Name: "panels[].name", Meaning: "longer name; left out: the id"},
		{Name: "panels[].mesh", Meaning: "STL file, relative to the shell file; or outline"},
		{Name: "panels[].outline", Meaning: "DXF or CSV file of a flat blank, relative to the shell file; or mesh"},
		{Name: "panels[].unit", Meaning: "unit of the panel's file; left out: the shell's", Words: units()},
		{Name: "panels[].steel", Meaning: "id of the steel; may be left out when the file has only one"},
		{Name: "panels[].surface", Meaning: "what the mesh is: the sheet's middle, one skin of it, or the whole solid", Default: "mid",
			Words: []string{"mid", "skin", "solid"}, Source: Choice},
		{Name: "panels[].skin", Meaning: "of a skin: the sheet's outer face or the faying one, which touches; left out: found",
			Words: []string{"outer", "faying"}},
		{Name: "panels[].mass_kg", Meaning: "mass; 0: area x thickness x 7850 kg/m³", Unit: "kg", Least: 0.001, Greatest: 2000, OrZero: true},
	}, append(placeKeys("panels[].place"), []Key{
		{Name: "panels[].layers[].layer", Meaning: "layer of the outline file", Required: true},
		{Name: "panels[].layers[].role", Meaning: "what the layer draws", Required: true, Words: []string{"outline", "weld-line", "hole",
			"keep-out", "ignore"}},

		{Name: "subassemblies[].id", Meaning: "name within this file", Required: true},
		{Name: "subassemblies[].name", Meaning: "longer name; left out: the id"},
		{Name: "subassemblies[].parts", Meaning: "ids of panels and sub-assemblies; left out: what arrives where it is made"},
	}...)...)
}

func placeKeys(at string) []Key {
	return []Key{
		{Name: at + ".mirror_y", Meaning: "true: turn y into -y first, for the other hand"},
		{Name: at + ".turn_deg", Meaning: "then turn about x, then y, then z", Unit: "degrees", Least: -360, Greatest: 360},
		{Name: at + ".move_mm", Meaning: "then move along x, y, z", Unit: "mm", Least: -far, Greatest: far},
	}
}

// KeysUnder lists the keys whose names begin with a text, such as guns or joints[].load; [] may be left out. Where none does it
// lists those whose last part begins with it, such as pitch_mm.
func KeysUnder(begin string) []Key {
	var out, last []Key
	for _, k := range Keys() {
		if strings.HasPrefix(k.Name, begin) || strings.HasPrefix(strings.ReplaceAll(k.Name, "[]", ""), begin) {
			out = append(out, k)
		}
		if strings.HasPrefix(k.Name[strings.LastIndex(k.Name, ".")+1:], begin) {
			last = append(last, k)
		}
	}
	if len(out) == 0 {
		return last
	}
	return out
}
