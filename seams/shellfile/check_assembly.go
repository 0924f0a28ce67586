package shellfile

import (
	"fmt"
	"slices"
	"strings"

	"seamwright/seams/shell"
)

// checkAssembly follows panels through sub-assemblies and stations: a tree without circles, every panel in one
// place only, each sub-assembly made of what arrives where it is made.
func (r *reading) checkAssembly() {
	if r.checkTree(); len(r.list) > 0 {
		return // the rest walks the tree and counts on its being one
	}
	r.checkMakers()
	r.checkArrivals()
}

// checkTree wants each panel and sub-assembly in at most one sub-assembly, and none within itself.
func (r *reading) checkTree() {
	parent := map[string]string{}
	for i, s := range r.sh.Subassemblies {
		for j, part := range s.Parts {
			place := fmt.Sprintf("subassemblies[%d].parts[%d]", i, j)
			if other, again := parent[part]; again {
				r.at(place, fmt.Sprintf("%s is already a part of %s", part, other), "keep it in one sub-assembly")
				continue
			}
			parent[part] = s.ID
		}
	}
	reported := map[string]bool{}
	for i, s := range r.sh.Subassemblies {
		circle := []string{s.ID}
		for up := parent[s.ID]; up != "" && !slices.Contains(circle, up); up = parent[up] {
			circle = append(circle, up)
		}
		if last := parent[circle[len(circle)-1]]; last != s.ID || reported[s.ID] {
			continue
		}
		for _, id := range circle {
			reported[id] = true
		}
		r.at(shell.PlaceOf("subassemblies", i, "parts"), "a sub-assembly is within itself: "+strings.Join(append(circle, s.ID), " in "),
			"take one of them out of the other's parts")
	}
}

// checkMakers compares what arrives at a station with the parts of what it makes.
func (r *reading) checkMakers() {
	makers := map[string]string{}
	for i, s := range r.sh.Stations {
		if len(s.Arrives) == 0 {
			r.at(shell.PlaceOf("stations", i, "arrives"), "nothing arrives at "+s.ID,
				"name the panels and sub-assemblies that are loaded there, or take the station out")
		}
		if s.Makes == "" {
			continue
		}
		if other, again := makers[s.Makes]; again {
			r.at(shell.PlaceOf("stations", i, "makes"), fmt.Sprintf("%s is already made at %s", s.Makes, other),
				"let each sub-assembly leave one station")
			continue
		}
		makers[s.Makes] = s.ID
		made, _ := r.sh.Subassembly(s.Makes)
		for j, id := range s.Arrives {
			if !slices.Contains(made.Parts, id) {
				r.at(fmt.Sprintf("stations[%d].arrives[%d]", i, j), fmt.Sprintf("%s arrives where %s is made, but is not one of its parts", id,
					made.ID), "add it to the parts of "+made.ID+", or take it out here")
			}
		}
		for _, part := range made.Parts {
			if !slices.Contains(s.Arrives, part) {
				r.at(shell.PlaceOf("stations", i, "arrives"), fmt.Sprintf("%s is a part of %s, but does not arrive where that is made", part, made.ID),
					"add it to arrives, or take it out of the parts")
			}
		}
	}
}

// checkArrivals wants every panel to come to one station: by itself, or within a sub-assembly that comes ready
// made from elsewhere.
func (r *reading) checkArrivals() {
	made := map[string]bool{}
	for _, s := range r.sh.Stations {
		made[s.Makes] = true
	}
	where := map[string]string{}
	arrive := func(place, id, station string) {
		if other, again := where[id]; again {
			r.at(place, fmt.Sprintf("%s arrives at %s already", id, other),
				"let it arrive at one station; if it comes on from "+other+", let that make a sub-assembly")
			return
		}
		where[id] = station
	}
	for i, s := range r.sh.Stations {
		for j, id := range s.Arrives {
			place := fmt.Sprintf("stations[%d].arrives[%d]", i, j)
			arrive(place, id, s.ID)
			if sub, ok := r.sh.Subassembly(id); ok && !made[id] {
				for _, panel := range r.sh.PanelsOf(sub.ID) {
					arrive(place, panel, s.ID)
				}
			}
		}
	}
	for i, p := range r.sh.Panels {
		if where[p.ID] == "" {
			r.at(shell.PlaceOf("panels", i, "id"), p.ID+" arrives at no station", "add it to the arrives list of "+r.some(r.ids("stations")))
		}
	}
	r.noteLeaving(where)
}

// noteLeaving tells when more than one thing leaves the works: one of them may have been forgotten in an arrives list.
func (r *reading) noteLeaving(where map[string]string) {
	var leaving []string
	for _, s := range r.sh.Stations {
		switch {
		case s.Makes == "":
			leaving = append(leaving, "what "+s.ID+" welds")
		case where[s.Makes] == "":
			leaving = append(leaving, s.Makes)
		}
	}
	if len(leaving) > 1 {
		r.note("stations: %s arrive at no other station and leave as they are", strings.Join(leaving, ", "))
	}
}
