package planner

import (
	"slices"

	"seamwright/layout"
	"seamwright/layout/stations"
)

// placed is where the work is done.
type placed struct {
	arranged *stations.Arrangement
	stations []layout.Station
	panels   []layout.Panel
	subs     []layout.Subassembly
	findings []layout.Finding
}

// place puts the stations in order, and the panels at them.
func place(b basis) (*placed, error) {
	a, err := stations.Arrange(b.shell, b.make)
	if err != nil {
		return nil, err
	}
	out := &placed{arranged: a, stations: a.Stations, findings: a.Findings}
	for _, s := range b.shell.Subassemblies {
		out.subs = append(out.subs, layout.Subassembly{ID: s.ID, Name: s.Name, Parts: s.Parts})
	}
	for _, p := range b.parts {
		box := p.Shape.Box()
		var keep []layout.Outline
		for _, path := range p.KeepOuts {
			o := layout.Outline{Closed: path.Closed}
			for _, v := range path.Points {
				o.Points = append(o.Points, vec(v))
			}
			keep = append(keep, o)
		}
		out.panels = append(out.panels, layout.Panel{
			ID: p.Panel.ID, Name: p.Panel.Name, Steel: p.Panel.Steel, Grade: p.Steel.Grade, Thickness: p.Steel.Thickness,
			Coating: p.Steel.Coating, Surface: string(p.Sheet.Surface), Triangles: len(p.Sheet.Mesh.Triangles),
			Area: p.Area, Mass: p.Mass, Box: [2]layout.Vec{vec(box.Min), vec(box.Max)},
			Station: a.PanelStation(p.Panel.ID), Blank: [2]float64{p.Blank.Length, p.Blank.Width}, Warnings: p.Notes,
			KeepOuts: keep,
		})
	}
	return out, nil
}

// index is where a station stands in the list; -1 for none.
func (p *placed) index(id string) int {
	return slices.IndexFunc(p.stations, func(s layout.Station) bool { return s.ID == id })
}

// partName is the word for a part that arrives.
func (p *placed) partName(id string) string {
	for _, x := range p.panels {
		if x.ID == id && x.Name != "" {
			return x.Name
		}
	}
	for _, s := range p.subs {
		if s.ID == id && s.Name != "" {
			return s.Name
		}
	}
	return id
}
