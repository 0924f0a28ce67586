// Package surface says what the surface of a panel is: which face of the sheet its mesh shows, where the sheet ends, which way it
// faces and where it bends. A Panel is a sheet made ready for such questions.
//
//	Sheet: mesh, thickness, mid | skin | solid
//	   |  normals    of facets; of small tilted ones the mean of those about them that stand alike (mean shift)
//	   |  solid      skins and rim told by what lies opposite of each facet, edges squared:
//	   |
//	   |                 skin                      ________           ________
//	   |             __________                   /        \         |        |
//	   |       rim  (__________)  rim     ---->   \________/  ---->  |________|
//	   |                 skin                      rounded            squared
//	   v
//	Panel
//	   |  Ends, EndsAt   free edge, bend or nothing at a side of a facet, or where a place is nearest to
//	   |  BentFacets     which facets are of a bend: the sheet turns the same way at both sides of a narrow face
//	   |  Faces          faces between bends, for candidates on a single panel
//
// Where a mesh shows the middle of the sheet its metal lies half to either side; of a solid's skin it lies behind; of a skin it lies
// on one side or the other, which is stated (Face) or found by what it is beside (package stackup).
package surface
