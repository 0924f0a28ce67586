package stations

import (
	"slices"

	"seamwright/geometry/space"
	"seamwright/layout"
	"seamwright/layout/words"
)

// names are the words for parts.
func names(p *layout.Plan) map[string]string {
	m := map[string]string{}
	for _, x := range p.Panels {
		m[x.ID] = x.Name
	}
	for _, x := range p.Subassemblies {
		m[x.ID] = x.Name
	}
	return m
}

// name is the word for a part, or its id.
func (w *writer) name(id string) string {
	if n := w.names[id]; n != "" {
		return n
	}
	return id
}

// ids names fixtures, to follow a singular noun.
func ids(fixtures []layout.Fixture) string {
	var all []string
	for _, f := range fixtures {
		all = append(all, f.ID)
	}
	return several(all)
}

// several is " C1" or "s C1, C2 and C3", to follow a singular noun.
func several(all []string) string {
	if len(all) == 1 {
		return " " + all[0]
	}
	return "s " + words.And(all)
}

// numbered is several with its verb.
func numbered(all []string) string {
	if len(all) == 1 {
		return several(all) + " was"
	}
	return several(all) + " were"
}

// lateParts are the parts that a hold point keeps out: of the parts of a joint that is stated to wait for it, the one that is
// loaded last, provided that nothing before the hold point is welded to it, that another part lies there first, and that no end of the
// dimension lies on it.
func lateParts(p *layout.Plan, s layout.Station, runs []layout.Run, joints map[string]layout.Joint) map[string]string {
	late := map[string]string{}
	for _, h := range s.HoldPoints {
		for _, id := range h.Stated() {
			first := slices.IndexFunc(runs, func(r layout.Run) bool { return r.Joint == id })
			if first < 0 {
				continue
			}
			for i := len(s.Arrives) - 1; i > 0; i-- {
				panels := p.PanelsOf(s.Arrives[i])
				if !Touches(joints[id], panels) {
					continue
				}
				if slices.Contains(h.On, s.Arrives[i]) {
					break // it is measured on it
				}
				earlier := slices.ContainsFunc(runs[:first], func(r layout.Run) bool { return Touches(joints[r.Joint], panels) })
				if _, taken := late[s.Arrives[i]]; !earlier && !taken {
					late[s.Arrives[i]] = id
				}
				break
			}
		}
	}
	return late
}

// Touches says whether a joint is welded to one of some panels.
func Touches(j layout.Joint, panels []string) bool {
	return slices.ContainsFunc(j.Panels, func(p string) bool { return slices.Contains(panels, p) })
}

// underClamps lists the joints of the station whose weld lines pass within each clamp's radius.
func underClamps(p *layout.Plan, s layout.Station) map[string][]string {
	station := map[string]string{}
	for _, j := range p.Joints {
		station[j.ID] = j.Station
	}
	under := map[string][]string{}
	for _, f := range p.Flanges {
		if station[f.Joint] != s.ID {
			continue
		}
		about := space.EmptyBox()
		for _, p := range f.Line {
			about = about.Add(p.At.R3())
		}
		for _, c := range s.Clamps {
			far := c.Radius + 1 // the box only spares asking, and rounds otherwise than the line
			if about.Distance2(c.At.R3()) <= far*far && passes(f.Line, f.Closed, c.At, c.Radius) && !slices.Contains(under[c.ID], f.Joint) {
				under[c.ID] = append(under[c.ID], f.Joint)
			}
		}
	}
	return under
}

// passes says whether a polyline comes within radius of a place.
func passes(line []layout.LinePoint, closed bool, at layout.Vec, radius float64) bool {
	for i := range line {
		next := i + 1
		if next == len(line) {
			if !closed && i > 0 {
				break
			}
			next = 0
		}
		if distance2(line[i].At, line[next].At, at) <= float64(radius*radius) {
			return true
		}
	}
	return false
}

// distance2 is the squared distance from a point to the straight piece from a to b.
func distance2(a, b, at layout.Vec) float64 {
	var along, length2 float64
	for k := range a {
		along += float64((at[k] - a[k]) * (b[k] - a[k]))
		length2 += float64((b[k] - a[k]) * (b[k] - a[k]))
	}
	t := 0.0
	if length2 > 0 {
		t = min(max(along/length2, 0), 1)
	}
	sum := 0.0
	for k := range a {
		d := at[k] - a[k] - float64(t*(b[k]-a[k]))
		sum += float64(d * d)
	}
	return sum
}
