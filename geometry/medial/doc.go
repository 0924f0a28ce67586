// Package medial finds the rough centre lines of a region: how many there are, which of them meet, and which are closed. They are
// off the middle by as much as half a width; package centreline moves them there.
//
//	region
//	   |  Distances   along the surface from one of its ends, along its edges and over them
//	   v
//	 |0|1|2|3|4|5|    bands of equal distance, cut through triangles, and their pieces: a graph
//	     \|6|7|
//	   |  absorbSmall, prune, joinParallel     crumbs, stubs, paths that part about a hole
//	   v
//	Chain             middles of pieces; forks where three meet; a ring where bands meet again
//
// This is a discrete Reeb graph of the distance (Reeb 1946; from memory) rather than the medial axis itself (Blum 1967; from memory),
// which grows a branch into every corner and notch. Three kinds of region have no ends for it and are told first: a spot about as
// long as wide (SpotBox: the line runs along the least rectangle about it), a small ring (Ring: amid its two borders), and a strip
// with slots cut to its middle (WithoutSlots: the line runs straight on over them).
package medial
