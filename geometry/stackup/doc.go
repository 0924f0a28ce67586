// Package stackup says which sheets lie on each other at a place. An Assembly is all sheets, ready to be asked. One of them is the
// Host: at a place of its surface, with a normal, Classify answers with a Verdict, the stack of sheets there, the air between
// them, or why the host is alone.
//
//	place, normal
//	   |  facetGrid   the few facets of other sheets within reach of the place's cell, gathered once for each cell
//	   v
//	nearest parallel facet of each sheet, above and below
//	   |  contact     is the sheet over the place, or does it end short of it (edge, bend)?
//	   v                                            up    ------------  sheet 2
//	contacts above and below, endings                     ============  sheet 1        chain: each lies on the one before if
//	   |  chain       from the host outwards        host  ____________                 the air left between their metal is within
//	   v                                            down  ------------  sheet 0        the limits
//	Verdict: 0 on host on 1 on 2, air, where the faying position lies, on which side of skins the metal
//
// How near is near enough is told with two sets of limits (see opened): those of good fit-up, and those that clamps close. On which
// side of a skin's mesh the metal lies is stated, or told from all the distances that are measured between two sheets (TellSides).
// Reports says of a part of the host, before anything is asked at its places, that no stack is there for the host to report.
// Facing finds sheets that face the host but are no contact: too far apart, or run into each other.
//
// A Host is for one goroutine: it answers in a Workspace whose buffers grow once. Answers depend on nothing that was asked before.
package stackup
