// Package centreline lays weld lines: a region in; the line in the middle of it, widths, notches and bends out. It knows no sheets.
//
//	region
//	   |  fillHoles    holes that the line runs straight over
//	   |  medial       rough lines, their forks, rings, spots, slots
//	   v
//	rough line
//	   |  sections     at equal steps, where it moved: plane cuts across, to the border         <--+
//	   |  smoothSides  medians where a ragged border ends at a bend                            |
//	   |  dip          notches and tabs that the line runs straight past (a closing)           |  until no point moves
//	   |  center       every point to the middle of its section                                |
//	   |  reachEnds    straight on to the strip's end, or to where lines meet              ----+
//	   v
//	settled line
//	   |  roundCorners of a ring: places amid both borders
//	   |  part         ended where the sheets part: at the tangent line of a bend (package tangent), or where the air begins to grow
//	   v
//	Line: Sections; Outline, Notches, LeastAtCorners
//
//	  +------------.      .-----------------+
//	  |             \____/  notch           |
//	  |-----+-----+-----+-----+-----+-----+-|   sections stand on the line; it runs straight past the notch
//	  +-------------------------------------+
//
// A line's start and sense turn with the panels: an open one starts at the end that is farther from the middle of their metal, a closed
// one where it passes the corner farthest from there.
package centreline
