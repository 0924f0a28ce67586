// Package cull finds what of many meshes can come near to another one at all. Of large panels that is a small part, and only for
// it is anything else worth knowing: trees, normals, what lies on what.
//
//	meshes, a distance
//	   |  every triangle's box, grown by half the distance, enters the cells of a grid (runs of triangles together,
//	   |  as exporters write neighbours one after another)
//	   v
//	+---+---+---+---+
//	| a | a |ab | b |   cells to which two meshes come
//	+---+---+---+---+
//	   |  triangles that come to such a cell, and all that share a corner with them
//	   v
//	parts of the meshes, in the same order; the whole mesh where its triangles are too large, or too far away, for cells
//
// It is the one grid by which the program culls; bench times it with what the finder does next.
package cull
