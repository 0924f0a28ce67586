package shell

import (
	"fmt"
	"path/filepath"
	"strings"

	"github.com/golang/geo/r3"

	"seamwright/geometry/space"
)

// Panel returns the panel with an id; the pointer leads into sh.
func (sh *Shell) Panel(id string) (*Panel, bool) {
	return find(sh.Panels, id, func(p *Panel) string { return p.ID })
}

// Steel returns the steel with an id.
func (sh *Shell) Steel(id string) (*Steel, bool) {
	return find(sh.Steels, id, func(s *Steel) string { return s.ID })
}

// Subassembly returns the sub-assembly with an id.
func (sh *Shell) Subassembly(id string) (*Subassembly, bool) {
	return find(sh.Subassemblies, id, func(s *Subassembly) string { return s.ID })
}

// Station returns the station with an id.
func (sh *Shell) Station(id string) (*Station, bool) {
	return find(sh.Stations, id, func(s *Station) string { return s.ID })
}

// Joint returns the joint with an id.
func (sh *Shell) Joint(id string) (*Joint, bool) {
	return find(sh.Joints, id, func(j *Joint) string { return j.ID })
}

// Gun returns the gun with an id.
func (sh *Shell) Gun(id string) (*Gun, bool) {
	return find(sh.Guns, id, func(g *Gun) string { return g.ID })
}

// Tip returns the tip with an id.
func (sh *Shell) Tip(id string) (*Tip, bool) {
	return find(sh.Tips, id, func(t *Tip) string { return t.ID })
}

// Roller returns the roller with an id.
func (sh *Shell) Roller(id string) (*Roller, bool) {
	return find(sh.Rollers, id, func(w *Roller) string { return w.ID })
}

func find[T any](list []T, id string, of func(*T) string) (*T, bool) {
	for i := range list {
		if of(&list[i]) == id {
			return &list[i], true
		}
	}
	return nil, false
}

// Path is where a file that the shell file names lies: names are relative to the shell file's folder and written
// with forward slashes on every system.
func (sh *Shell) Path(name string) string {
	local := filepath.FromSlash(name)
	if filepath.IsAbs(local) {
		return local
	}
	return filepath.Join(sh.Dir, local)
}

// PanelsOf lists the panel ids within a panel or sub-assembly, in the order of its parts: of a panel its own id,
// of an unknown id nothing.
func (sh *Shell) PanelsOf(id string) []string {
	return sh.panelsOf(id, map[string]bool{})
}

// panelsOf guards against circles, which a shell that Read has passed does not hold.
func (sh *Shell) panelsOf(id string, open map[string]bool) []string {
	if _, ok := sh.Panel(id); ok {
		return []string{id}
	}
	s, ok := sh.Subassembly(id)
	if !ok || open[id] {
		return nil
	}
	open[id] = true
	var out []string
	for _, part := range s.Parts {
		out = append(out, sh.panelsOf(part, open)...)
	}
	return out
}

// NamedFile is a file that the shell file names.
type NamedFile struct {
	Place string
	Name  string
	Kinds []string // extensions that fit
}

// Files lists them in the order of the shell file.
func (sh *Shell) Files() []NamedFile {
	var out []NamedFile
	for i, p := range sh.Panels {
		out = append(out, NamedFile{PlaceOf("panels", i, "mesh"), p.Mesh, []string{".stl"}},
			NamedFile{PlaceOf("panels", i, "outline"), p.Outline, []string{".dxf", ".csv"}})
	}
	for i, j := range sh.Joints {
		out = append(out, NamedFile{PlaceOf("joints", i, "weld_line.file"), j.WeldLine.File, []string{".dxf", ".csv"}})
	}
	out = append(out, NamedFile{"rules.book", sh.Rules.Book, []string{".yaml", ".yml", ".toml", ".json"}},
		NamedFile{"survey.file", sh.Survey.File, []string{".csv"}})
	kept := out[:0]
	for _, f := range out {
		if strings.TrimSpace(f.Name) != "" {
			kept = append(kept, f)
		}
	}
	return kept
}

// Placement is the place as geometry takes it.
func (p Place) Placement() space.Place {
	return space.Place{
		Mirror: p.Mirror,
		Turn:   r3.Vector{X: p.Turn[0], Y: p.Turn[1], Z: p.Turn[2]},
		Move:   r3.Vector{X: p.Move[0], Y: p.Move[1], Z: p.Move[2]},
	}
}

// UnitOf is the first unit that is stated of a panel's or weld line's own and the shell's; Unstated leaves it to the
// file.
func (sh *Shell) UnitOf(own string) space.Unit {
	if own != "" {
		return space.Unit(PlainUnit(own))
	}
	return space.Unit(PlainUnit(sh.Unit))
}

// Draws is the apparent power in kVA that the gun takes while a current (A) flows: the voltage of its open tips times the current, since
// phase control lessens kW and not kVA; its rating where that voltage is not stated.
func (g Gun) Draws(current float64) float64 { return draws(g.Voltage, g.Power, current) }

// Draws is the same of a roller head.
func (w Roller) Draws(current float64) float64 { return draws(w.Voltage, w.Power, current) }

func draws(voltage, rating, current float64) float64 {
	if voltage > 0 {
		return voltage * current / 1000
	}
	return rating
}

// WeekHours is how long each jig is worked a week, on all shifts.
func (sh *Shell) WeekHours() float64 { return sh.Rates.HoursPerWeek * float64(max(1, sh.Shifts)) }

// PlainUnit is a unit under its one name; what is not a unit has been refused before.
func PlainUnit(name string) string {
	unit, err := space.ParseUnit(name)
	if err != nil {
		return name
	}
	return string(unit)
}

// PlaceOf is the place of a key of a list's entry.
func PlaceOf(list string, i int, key string) string {
	return fmt.Sprintf("%s[%d].%s", list, i, key)
}
