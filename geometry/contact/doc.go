// Package contact takes sheets in and gives laps out: connected regions of one stack each, with their border labelled.
//
//	stackup.Assembly, number of the host
//	   |  concerned    the host's facets on which it may report a stack: the first of a stack's sheets does, once
//	   |  refine       cut to edges of Coarse where another sheet is near, and of Fine about details (package detail); what is
//	   |               cut depends on the edge alone; left out on the way what surely carries no such stack (stackup.Host.Reports)
//	   v
//	patch              a corner on a crease stands once for each side
//	   |  TellSides    on which side of skins the metal lies
//	   |  Classify     a verdict at every point
//	   v
//	 2 2 2 . .         points of stack 2, and of none
//	 2 2 2 2 .
//	   |  sharpen      finer where the border of a stack does not run straight through a triangle
//	   |  cut          where the stack ends on an edge between two points: at the sheet's edge, exactly, where one ends it
//	   |  reopen       once more within the clamps' limits, where the gap opens or a sheet leans
//	   v
//	triangles of each stack
//	   |  compact, connected, labels
//	   v
//	Lap                a region, its stack, what ends it at each edge of its border
//	   |  Flats        parted at bends round which its sheets lie on each other (package fold)
//	   v
//	laps on flats
//	   |  Slivers      what is left of a flange beside a sheet that begins within it, too narrow for a line
//	   v
//	laps without those
//
// Where the edge of another sheet ends a stack the border lies on that edge to a micrometre: it is reckoned as the place where
// the way passes the edge's line, rather than halved for. Everything is decided with the same rules from both sides of an edge of the
// mesh, so that no crack opens between triangles.
package contact
