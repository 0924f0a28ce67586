package joining

import (
	"slices"

	"seamwright/layout"
	"seamwright/layout/stations"
)

// Placed is where the work is done.
type Placed struct {
	arranged *stations.Arrangement
	Stations []layout.Station
	Panels   []layout.Panel
	Subs     []layout.Subassembly
	Findings []layout.Finding
}

// Place puts the stations in order, and the panels at them.
func Place(b Basis) (*Placed, error) {
	a, err := stations.Arrange(b.Shell, b.Make)
	if err != nil {
		return nil, err
	}
	out := &Placed{arranged: a, Stations: a.Stations, Findings: a.Findings}
	for _, s := range b.Shell.Subassemblies {
		out.Subs = append(out.Subs, layout.Subassembly{ID: s.ID, Name: s.Name, Parts: s.Parts})
	}
	for _, p := range b.Parts {
		box := p.Shape.Box()
		var keep []layout.Outline
		for _, path := range p.KeepOuts {
			o := layout.Outline{Closed: path.Closed}
			for _, v := range path.Points {
				o.Points = append(o.Points, Vec(v))
			}
			keep = append(keep, o)
		}
		out.Panels = append(out.Panels, layout.Panel{
			ID: p.Panel.ID, Name: p.Panel.Name, Steel: p.Panel.Steel, Grade: p.Steel.Grade, Thickness: p.Steel.Thickness,
			Coating: p.Steel.Coating, Surface: string(p.Sheet.Surface), Triangles: len(p.Sheet.Mesh.Triangles),
			Area: p.Area, Mass: p.Mass, Box: [2]layout.Vec{Vec(box.Min), Vec(box.Max)},
			Station: a.PanelStation(p.Panel.ID), Blank: [2]float64{p.Blank.Length, p.Blank.Width}, Warnings: p.Notes,
			KeepOuts: keep,
		})
	}
	return out, nil
}

// Index is where a station stands in the list; -1 for none.
func (p *Placed) Index(id string) int {
	return slices.IndexFunc(p.Stations, func(s layout.Station) bool { return s.ID == id })
}

// PartName is the word for a part that arrives.
func (p *Placed) PartName(id string) string {
	for _, x := range p.Panels {
		if x.ID == id && x.Name != "" {
			return x.Name
		}
	}
	for _, s := range p.Subs {
		if s.ID == id && s.Name != "" {
			return s.Name
		}
	}
	return id
}

// Common reports whether two lists share a word.
func Common(a, b []string) bool {
	return slices.ContainsFunc(a, func(x string) bool { return slices.Contains(b, x) })
}

// Shared is how many words of one list are in the other.
func Shared(a, b []string) int {
	n := 0
	for _, x := range a {
		if slices.Contains(b, x) {
			n++
		}
	}
	return n
}
