// Package stl reads STL files, binary and ASCII, into triangles as they stand there. Package mesh makes meshes of them.
//
//	s, notes, err := stl.ReadFile("roof.stl", stl.Options{Unit: space.Millimetre})
//	if err != nil { … }
//	fmt.Println(s.Len(), s.Triangle(0), notes)
//
//	bytes
//	   |  format       binary or text, told from the bytes
//	   v
//	binary: chunk by chunk                  text: skim over what is written in the usual way, words and number for the rest
//	   |                                       |
//	   +------------------> Soup <-------------+
//
// A count in a file is never trusted before it is compared with the file's size, and memory grows with what has been read.
package stl
