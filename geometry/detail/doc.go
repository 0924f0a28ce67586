// Package detail tells where sheets have details: what is too narrow, or turns too sharply, to show at places some millimetres apart.
//
//	feature lines of the sheets beside a host, and the host's own
//	   |
//	   |      --------------------           a line that goes on, alone:                     no detail
//	   |
//	   |      --------------------
//	   |      --------------------  < Narrow  two side by side:                              details
//	   |
//	   |      ----------.
//	   |                |                     one that turns:                                details
//	   |
//	   |      ____________________
//	   |      )) a bend in a bend             sheets nested in each other:                   details
//	   v
//	Places, about which a host is cut fine
//
// What lies on a host is asked at the corners of its triangles, and where neighbours say different the border between them is looked for.
// So triangles may be large where no more than one straight border can lie between their corners. What ends a stack on the host is
// where another sheet ends or turns away; its lines tell beforehand where that happens twice within a triangle with edges of Coarse in
// place of region.Fine. All is told by distances, so that it turns with the panels.
package detail
