//go:build !purego

package near

import (
	"math"

	"golang.org/x/sys/cpu"

	"seamwright/geometry/mesh"
)

// fast says whether the processor has the instructions of packet_amd64.s.
var fast = cpu.X86.HasAVX2 && cpu.X86.HasFMA

// middles finds the middles of a packet's triangles.
func middles(p *packet, soup *mesh.Soup) {
	if !fast || soup.Len() > math.MaxInt32/mesh.RecordSize { // whose distances in memory are 32 bits wide
		middlesPlain(p, soup)
		return
	}
	middlesAVX2(p, &soup.Records()[0])
}

// pairNear gives, a bit for each lane, the places that may be near enough to two boxes, and those that are nearer to
// the right one.
func pairNear(p *packet, l, r *node) (left, right, rightFirst uint32) {
	if !fast {
		return pairNearPlain(p, l, r)
	}
	return pairNearAVX2(p, l, r)
}

// weigh gives one to eight triangles a row each of least squared distances, lowers the packet's limits by the greatest,
// and gives a bit for each lane whose least is not above its limit, eight for each triangle.
func weigh(p *packet, soup *mesh.Soup, triangles []int32, rows [][lanes]float32) (near uint64) {
	if !fast {
		return weighPlain(p, soup, triangles, rows)
	}
	return weighAVX2(p, &soup.Records()[0], &triangles[0], len(triangles), &rows[0])
}

//go:noescape
func middlesAVX2(p *packet, records *byte)

//go:noescape
func pairNearAVX2(p *packet, l, r *node) (left, right, rightFirst uint32)

//go:noescape
func weighAVX2(p *packet, records *byte, triangles *int32, n int, rows *[lanes]float32) (near uint64)
