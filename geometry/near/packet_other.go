//go:build !amd64 || purego

package near

import "seamwright/geometry/mesh"

func middles(p *packet, soup *mesh.Soup) { middlesPlain(p, soup) }

func pairNear(p *packet, l, r *node) (left, right, rightFirst uint32) { return pairNearPlain(p, l, r) }

func weigh(p *packet, soup *mesh.Soup, triangles []int32, rows [][lanes]float32) (near uint64) {
	return weighPlain(p, soup, triangles, rows)
}
