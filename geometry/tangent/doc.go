// Package tangent finds the tangent line of a bend in a sheet's section: where it leaves the flat, however it is meshed.
//
//	                     o  corners of the bend          Find     the flange's course: a parabola by least squares
//	                   o                                          through what lies before the bend
//	  flat          . o                                           the corners that rise above it
//	--o-----o-----o--'                                            the circle that touches the course and passes through
//	              ^ Start: the tangent line                       them (Gauss and Newton's method): it touches at Start
//
// The angle at which two sheets part, or the gap, comes later than the tangent line by as much as the bend's facets are long, and a facet
// that begins on the flat makes it come sooner: so the circle, not a facet, says where the bend begins. All bounds are of our own
// choosing.
package tangent
