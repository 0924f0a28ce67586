package layout

import "slices"

// PanelsOf lists the panel ids of a part: the part itself, or what a sub-assembly is made of down to its panels, in the
// order in which it names them.
func (p *Plan) PanelsOf(part string) []string {
	return p.appendPanels(nil, part, len(p.Subassemblies))
}

// appendPanels goes down at most depth levels, so that a plan with a circle of sub-assemblies comes to an end.
func (p *Plan) appendPanels(to []string, part string, depth int) []string {
	i := slices.IndexFunc(p.Subassemblies, func(s Subassembly) bool { return s.ID == part })
	if i < 0 {
		return append(to, part)
	}
	if depth > 0 {
		for _, below := range p.Subassemblies[i].Parts {
			to = p.appendPanels(to, below, depth-1)
		}
	}
	return to
}
