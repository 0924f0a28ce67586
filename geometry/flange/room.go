package flange

import "seamwright/geometry/near"

// room is what hosts are worked on in, one after another, so that its buffers grow once and not for each.
type room struct {
	around vicinity
	scene  scene
	patch  patch
	cutter cutter
	whole  region // of one stack
	places placeTable
	traced []place
	angles []float64 // of the corners of the host at hand, as its fan
}

// on is the finder for one host, in a room.
func (f *finder) on(host int, in *room) *finder {
	own := *f
	own.room, own.around, own.scene, own.edge = in, &in.around, &in.scene, near.NoHint
	in.around.reset(&own, host)
	return &own
}

// sized is a buffer of n zeros, in the place of an old one if that is large enough.
func sized[T any](old []T, n int) []T {
	if cap(old) < n {
		return make([]T, n)
	}
	old = old[:n]
	clear(old)
	return old
}
