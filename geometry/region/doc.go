// Package region has the part of a sheet's mesh on which the same sheets lie on each other, cut out with its border labelled: what
// lines are laid through. It knows no sheets: all that is asked of them it is told as About.
//
//	        End: free edge
//	  +-----------------------+        Patch     triangles of a host cut fine, before it is known what lies where
//	 /|\  |\  |\  |\  |\  |\  |\       Region    connected triangles with smooth normals
//	/ | \ | \ | \ | \ | \ | \ | \      Loops     its border, metal on the left, longest first; Rim: from corner to corner
//	\ |  \|  \|  o  \|  \|  \|  /      Trace     the way from a place across the triangles to the border, in a plane
//	 \+---+---+---+---+---+---+/       Fill      closes a hole that a line runs straight over; its triangles are no metal
//	        End: bend                  Distances lengths along the surface (Dijkstra 1959)
//
// A trace walks from triangle to triangle through the corners' heights above its plane. Corners that lie in the plane count as in
// front of it, so that a way through a corner is no special case; where it would only touch its first triangle, the plane is moved
// by a nanometre.
//
// Regions that panels' facets were turned over in are put right: neighbours agree on which side is up, and normals with them,
// however the facets were given.
package region
