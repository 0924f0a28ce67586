// Package flange finds where panels lie on each other as weldable strips, and hands over each strip with
// its outline, width, gap and the weld line through it. It knows nothing of welding.
//
//	found, err := flange.Find(ctx, []flange.Sheet{{Name: "roof", Mesh: roof, Thickness: 0.9}, {Name: "rail", Mesh: rail,
//		Thickness: 1.2}}, flange.Options{})
//
//	for _, f := range found.Flanges {
//		fmt.Println(f.Sheets, f.Length, f.Width.Least)
//	}
//
// It puts the packages about it in a row:
//
//	sheets
//	   |  rank                     into an order of its own: the smaller first, so that it does not matter how they were given
//	   |  scan.Parts               what of each can come near another (package cull); of noisy scans without the noise
//	   |  stackup.NewAssembly      ready to be asked (surface.Panel: normals, skins and rims, free edges)
//	   v
//	each sheet as host, at once on several processors; kept by a hash of what it and its neighbours are
//	   |  stackup.Host.Facing      sheets that face it apart: Near
//	   |  contact.Workspace.Laps   regions of one stack each
//	   |  contact.Lap.Flats        parted at bends
//	   |  contact.Lap.Slivers      parted from what is too narrow beside a further sheet
//	   |  centreline.Lay           lines, holes, notches
//	   |  measure                  gap, width and edges at every point; ends where the sheets part for good are trimmed
//	   v
//	Flange, Small, Near
//	   |  collect                  hem sides and rests of flanges left out; a fixed order; the caller's numbers
//	   v
//	Found
//
// FromOutline and FromLine give flanges of drawn strips and lines (see package drawn), Candidates those that a single panel may have.
// LineFromEdge, Rows and TooNarrow ask a flange what a weld needs to know.
package flange
