package tarn

import (
	"seamwright/geometry/mesh"
)

// sill is the left sill: a hat under the edge of the floor.
func sill(l *lines) (*mesh.Mesh, error) {
	inner := stood(l.sillInner, first, sillSheet, l.sillInner.half, l.sillInner.half, -72)
	outer := stood(l.sillOuter, first, sillSheet, l.sillOuter.half+1, l.sillOuter.half+1, -72)
	return hat("sill-l", inner, outer, 34, 11)
}

// crossMember is one of the three hats across the floor.
func crossMember(l *lines, which int, id string) (*mesh.Mesh, error) {
	pair := l.cross[which]
	var sides [2]*strip
	for k, m := range pair {
		sides[k] = stood(m, first, crossSheet, m.half, m.half, -72)
	}
	return hat(id, sides[0], sides[1], 34, 12)
}
