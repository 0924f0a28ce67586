package stations

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/layout"
	"seamwright/layout/finding"
	"seamwright/seams/rule"
	"seamwright/seams/shell"
)

// Lone is the id of the station that holds everything when the shell file states no station.
const Lone = "jig"

// Arrangement is the order of the stations and what lies in each.
type Arrangement struct {
	Stations []layout.Station // in the order of work; steps, welds and minutes are for later
	Findings []layout.Finding // what was put right or must be looked at
	panel    map[string]int   // panel id: index of the first station where it lies
	present  []map[string]bool
	make     finding.Maker
}

// Arrange orders the stations of the shell file: a station comes after those that make what arrives at it; else
// the file's order stands. Panels that arrive nowhere are taken to the station that makes a sub-assembly of them,
// failing that to the last one; a finding says so. Without stations one station named Lone holds every panel.
//
// Errors: an id that nothing has, sub-assemblies within themselves, a part that is loaded twice, a
// sub-assembly made twice, stations that wait for each other, a negative crew.
func Arrange(sh *shell.Shell, make finding.Maker) (*Arrangement, error) {
	t, err := newTree(sh)
	if err != nil {
		return nil, err
	}
	list := clone(sh.Stations)
	if len(list) == 0 {
		list = []shell.Station{lone(sh)}
	}
	if err := checkStations(list, t); err != nil {
		return nil, err
	}
	a := &Arrangement{make: make}
	a.takeParts(list, t)
	if list, err = order(list); err != nil {
		return nil, err
	}
	a.takeRest(list, t, sh.Panels)
	if err := a.fill(list, t, sh); err != nil {
		return nil, err
	}
	a.checkProducts(list, t)
	return a, nil
}

// lone is the one station of a shell file without stations.
func lone(sh *shell.Shell) shell.Station {
	s := shell.Station{ID: Lone, Name: "Jig", Crew: 1}
	for _, p := range sh.Panels {
		s.Arrives = append(s.Arrives, p.ID)
	}
	return s
}

// clone copies the stations so that arrivals can be added without changing the shell.
func clone(list []shell.Station) []shell.Station {
	list = slices.Clone(list)
	for i := range list {
		list[i].Arrives = slices.Clone(list[i].Arrives)
	}
	return list
}

// checkStations looks at each station by itself and at parts that two of them name.
func checkStations(list []shell.Station, t *tree) error {
	ids, makers, loaded := map[string]bool{}, map[string]string{}, map[string]string{}
	for _, s := range list {
		switch {
		case s.ID == "":
			return fmt.Errorf("stations: a station has no id: give it one")
		case ids[s.ID]:
			return fmt.Errorf("stations: two stations have the id %q: rename one", s.ID)
		case s.Crew < 0:
			return fmt.Errorf("station %s: crew is %d: state how many people work there", s.ID, s.Crew)
		case s.Makes != "" && t.parts[s.Makes] == nil:
			return fmt.Errorf("station %s: makes %q, which is no sub-assembly: add it under subassemblies", s.ID, s.Makes)
		case s.Makes != "" && makers[s.Makes] != "":
			return fmt.Errorf("station %s: makes %s, which station %s makes too: only one station can finish a sub-assembly", s.ID, s.Makes,
				makers[s.Makes])
		}
		ids[s.ID], makers[s.Makes] = true, s.ID
		for _, part := range s.Arrives {
			if !t.known(part) {
				return fmt.Errorf("station %s: arrives names %q, which is no panel and no sub-assembly", s.ID, part)
			}
			if other, ok := loaded[part]; ok {
				return fmt.Errorf("station %s: %s arrives here and at station %s: a part is loaded once; after that it arrives within its "+
					"sub-assembly", s.ID, part, other)
			}
			loaded[part] = s.ID
		}
	}
	return nil
}

// takeParts loads what a station makes its sub-assembly of and nobody loads.
func (a *Arrangement) takeParts(list []shell.Station, t *tree) {
	loaded := map[string]bool{}
	for _, s := range list {
		for _, part := range s.Arrives {
			loaded[part] = true
		}
	}
	for i := range list {
		s := &list[i]
		for _, part := range t.parts[s.Makes] {
			if loaded[part] {
				continue
			}
			loaded[part] = true
			s.Arrives = append(s.Arrives, part)
			a.find("station.arrival.assumed", part, finding.About{Station: s.ID, Panels: t.panels(part)},
				fmt.Sprintf("Loaded at %s, which makes %s of it: name it under arrives there.", s.ID, s.Makes))
		}
	}
}

// takeRest loads the panels that lie in nothing that arrives at the last station.
func (a *Arrangement) takeRest(list []shell.Station, t *tree, panels []shell.Panel) {
	there := map[string]bool{}
	for _, s := range list {
		for _, part := range s.Arrives {
			for _, p := range t.panels(part) {
				there[p] = true
			}
		}
	}
	last := &list[len(list)-1]
	for _, p := range panels {
		if !there[p.ID] {
			last.Arrives = append(last.Arrives, p.ID)
			a.find("station.arrival", p.ID, finding.About{Station: last.ID, Panels: []string{p.ID}},
				fmt.Sprintf("Arrives nowhere: taken to %s, the last station. Name it under arrives of the "+
					"right station.", last.ID))
		}
	}
}

// fill writes the stations of the plan.
func (a *Arrangement) fill(list []shell.Station, t *tree, sh *shell.Shell) error {
	a.panel = map[string]int{}
	for i, s := range list {
		within := map[string]string{}
		here := map[string]bool{}
		out := station(s, sh)
		for _, part := range s.Arrives {
			for _, p := range t.panels(part) {
				if other, ok := within[p]; ok {
					return fmt.Errorf("station %s: panel %s arrives twice, with %s and with %s", s.ID, p, other, part)
				}
				within[p], here[p] = part, true
				out.Present = append(out.Present, p)
				if _, ok := a.panel[p]; !ok {
					a.panel[p] = i
				}
			}
		}
		a.Stations, a.present = append(a.Stations, out), append(a.present, here)
	}
	return nil
}

// station copies what the shell file says; crew 1, every gun and clamps opened after tacks are its defaults.
func station(s shell.Station, sh *shell.Shell) layout.Station {
	out := layout.Station{ID: s.ID, Name: s.Name, Jig: s.Jig, Crew: max(s.Crew, 1), Makes: s.Makes, Arrives: s.Arrives,
		OneByOne: s.ClampsOpen == shell.OneByOne, HandOver: sh.Elements.HandOver}
	if n := len(s.Clamps) + len(s.Dowels); n > 0 {
		out.JigMove = sh.Rates.JigMove
		out.JigHours = sh.Rates.JigBase + float64(sh.Rates.JigFix*float64(n))
	}
	if out.Name == "" {
		out.Name = s.ID
	}
	at := s.Guns
	if len(at) == 0 {
		for _, g := range sh.Guns {
			at = append(at, shell.AtHand{ID: g.ID})
		}
	}
	for _, g := range at {
		out.Guns, out.GunCounts = append(out.Guns, g.ID), append(out.GunCounts, max(g.Count, 1))
	}
	for _, c := range s.Clamps {
		release := layout.Release(c.Release)
		if release == "" {
			release = layout.AfterTacks
		}
		out.Clamps = append(out.Clamps, layout.Fixture{ID: c.ID, At: c.At, Radius: c.Radius, Release: release})
	}
	for _, d := range s.Dowels {
		out.Dowels = append(out.Dowels, layout.Fixture{ID: d.ID, At: d.At, Radius: d.Radius})
	}
	for _, h := range s.HoldPoints {
		out.HoldPoints = append(out.HoldPoints, layout.HoldPoint{ID: h.ID, Text: h.Text, Before: strings.Join(h.Before, ", "),
			Kind: layout.HoldKind(h.Kind), With: h.With, Value: h.Value, Tolerance: h.Tolerance, At: h.At, To: h.To})
	}
	for _, w := range s.Work {
		out.Work = append(out.Work, layout.Work{ID: w.ID, Name: w.Name, Before: w.Before, After: w.After, Crew: max(1, w.Crew), Minutes: w.Time,
			Source: w.Source})
	}
	return out
}

// checkProducts compares what leaves each station with what lies in it and what the others wait for.
func (a *Arrangement) checkProducts(list []shell.Station, t *tree) {
	made, wanted := map[string]bool{}, map[string]bool{}
	for i, s := range list {
		made[s.Makes] = true
		if s.Makes == "" {
			continue
		}
		product := t.panels(s.Makes)
		for _, p := range product {
			if !a.present[i][p] {
				a.find("subassembly.complete", s.Makes, finding.About{Station: s.ID, Panels: []string{p}},
					fmt.Sprintf("Made at %s, where its panel %s does not arrive.", s.ID, p))
			}
		}
		for _, p := range a.Stations[i].Present {
			if !slices.Contains(product, p) {
				a.find("subassembly.complete", p, finding.About{Station: s.ID, Panels: []string{p}},
					fmt.Sprintf("Lies in %s but is no part of %s, which leaves it: add it to the "+
						"sub-assembly's parts.", s.ID, s.Makes))
			}
		}
	}
	var ends []string
	for _, s := range list {
		for _, part := range s.Arrives {
			wanted[part] = true
			if t.parts[part] != nil && !made[part] {
				a.find("subassembly.made", part, finding.About{Station: s.ID, Panels: t.panels(part)},
					fmt.Sprintf("Arrives at %s but no station makes it: taken as loaded in one piece, "+
						"its joints welded here.", s.ID))
			}
		}
	}
	for _, s := range list {
		if s.Makes == "" || !wanted[s.Makes] {
			ends = append(ends, s.ID)
		}
	}
	if len(ends) > 1 {
		a.find("shell.pieces", strings.Join(ends, ", "), about(ends),
			"What leaves these stations arrives nowhere, so the shell ends in pieces: name each product under makes and where it arrives.")
	}
}

// about names stations.
func about(stations []string) finding.About {
	out := finding.About{Station: stations[0]}
	for _, id := range stations[1:] {
		out.Also = append(out.Also, layout.Subject{Station: id})
	}
	return out
}

func (a *Arrangement) find(id, where string, about finding.About, remedy string) {
	a.Findings = append(a.Findings, a.make.Of(rule.Problem{Rule: id, Remedy: remedy}, about, where))
}
